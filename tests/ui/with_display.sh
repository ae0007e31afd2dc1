#!/bin/sh
# Run a test on an X display of its own, without a screen; skip it where Xvfb is absent.
# usage: with_display.sh COMMAND...
set -u
if ! command -v Xvfb >/dev/null; then
  echo "1..0 # SKIP Xvfb is not here (package xvfb)"
  exit 0
fi
folder=$(mktemp -d)
Xvfb -displayfd 3 -screen 0 1920x1200x24 -nolisten tcp -noreset 3>"$folder/number" 2>"$folder/log" &
server=$!
trap 'kill $server 2>/dev/null; wait $server 2>/dev/null; rm -rf "$folder"' EXIT
tries=0
while ! [ -s "$folder/number" ]; do
  tries=$((tries + 1))
  if [ $tries -gt 100 ]; then
    echo "1..0 # SKIP Xvfb does not start here"
    exit 0
  fi
  sleep 0.1
done
DISPLAY=:$(cat "$folder/number") XVFB_PID=$server "$@"

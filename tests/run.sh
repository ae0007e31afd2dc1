#!/bin/sh
# Install what is missing, build, run all tests.  The last line is `N passed, N failed`.
# usage: sh tests/run.sh
set -u
cd "$(dirname "$0")/.." || exit 1
. tests/lib.sh

if [ $# != 0 ]; then
  echo "usage: sh tests/run.sh" >&2
  exit 2
fi
# shellcheck disable=SC2086 # one word a package
need $packages_build $packages_test
command -v npm >/dev/null || need nodejs npm
if ! build build; then
  failed=1
  finish
fi
# Some reference tests compare with the npm library `tonal`.
if ! [ -d build/tonal/node_modules/tonal ]; then
  mkdir -p build/tonal
  npm install --silent --fetch-retries=1 --fetch-timeout=20000 --prefix build/tonal tonal@6.4.3 >build/tonal/log 2>&1 ||
    echo "No network for npm: comparisons with tonal are skipped"
fi
test_build build
finish

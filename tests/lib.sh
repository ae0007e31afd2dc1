# Sourced by the scripts: packages, builds, counts.
# shellcheck shell=sh

packages_build="gcc libc6-dev meson ninja-build pkg-config lv2-dev liblilv-dev libjansson-dev libcairo2-dev libpango1.0-dev fonts-dejavu-core libx11-dev libsqlite3-dev"
packages_test="libcmocka-dev python3 lilv-utils sordi midicsv python3-mido abcmidi binutils xvfb fluidsynth timgm6mb-soundfont sox poppler-utils librsvg2-bin"
packages_hosts="jackd2 libjack-jackd2-dev jalv ardour lv2-examples imagemagick xdotool"

# need PACKAGE...: install those that are missing; ends the script if that cannot be done.
need() {
  missing=
  for package; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' ||
      missing="$missing $package"
  done
  [ -z "$missing" ] && return
  echo "Installing:$missing"
  as_root=
  if [ "$(id -u)" != 0 ]; then
    if ! command -v sudo >/dev/null; then
      echo "Please install as root: apt-get install$missing" >&2
      exit 1
    fi
    as_root=sudo
  fi
  log=$(mktemp)
  # shellcheck disable=SC2086 # one word a package
  if ! { $as_root apt-get update &&
         $as_root env DEBIAN_FRONTEND=noninteractive \
           apt-get install -y --no-install-recommends $missing; } >"$log" 2>&1; then
    tail -20 "$log" >&2
    rm -f "$log"
    echo "Could not install:$missing" >&2
    exit 1
  fi
  rm -f "$log"
}

# build FOLDER [MESON OPTION...]: set up if that has not been done, and compile.
build() {
  folder=$1
  shift
  if ! [ -f "$folder/build.ninja" ]; then
    meson setup "$folder" "$@" >"$folder.log" 2>&1 || {
      cat "$folder.log" >&2
      return 1
    }
    rm -f "$folder.log"
  fi
  ninja -C "$folder" >"$folder/build.log" 2>&1 || {
    grep -E 'error|warning|FAILED' -A 5 "$folder/build.log" >&2
    return 1
  }
}

passed=0
failed=0

# test_build FOLDER [MESON TEST OPTION...]: run tests, print what needs a look, and add
# to the counts of test cases.  Time limits end what hangs; they fit a busy machine, too.
test_build() {
  folder=$1
  shift
  rm -f "$folder"/meson-logs/testlog*.junit.xml
  meson test -C "$folder" --no-rebuild --quiet --print-errorlogs --timeout-multiplier 5 \
    "$@"
  status=$?
  # shellcheck disable=SC2046 # two numbers
  set -- $(python3 tests/count.py "$folder")
  passed=$((passed + ${1:-0}))
  failed=$((failed + ${2:-1}))
  # A test that ended badly without a failed case counts as one.
  if [ "$status" != 0 ] && [ "${2:-1}" = 0 ]; then failed=$((failed + 1)); fi
}

# finish: the last line, and the exit code.
finish() {
  echo "$passed passed, $failed failed"
  [ "$failed" = 0 ]
  exit
}

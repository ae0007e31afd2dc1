#!/bin/sh
# A first look: build everything, take a recorded take through the plug-in, print a review.
# usage: sh docs/try.sh [BUILD]    (BUILD: a folder that is built already)
set -eu
cd "$(dirname "$0")/.."
. tests/lib.sh

build=${1:-build}
chart=presets/charts/lantern-row.chart
take=docs/demo/lantern-row.mid
out=$build/demo

if [ $# = 0 ]; then
  echo "Installing what is missing, and building (a minute or two) ..."
  # shellcheck disable=SC2086 # one word a package
  need $packages_build $packages_test
  build "$build"
fi
mkdir -p "$out"

echo
echo "== The chart: $chart"
cat "$chart"
echo
echo "== The take through the plug-in, in a host with its transport rolling"
"$build/tests/plugin/play_take" "$chart" "$take" "$out"
echo
echo "== The review"
"$build/core/waymark" review "$take" --chart "$chart" --early 0.25
echo
echo "== Where everything is"
rm -rf "$out/lv2"
mkdir -p "$out/lv2"
ln -s ../../plugin "$out/lv2/waymark.lv2" # a folder of bundles, as hosts want it
ln -s ../../presets "$out/lv2/waymark-presets.lv2"
cat <<END
$out/tagged.mid   the melody as the plug-in sent it: chord tones on channel 1,
$(printf %${#out}s)              scale tones on 2, chromatic notes on 3
$out/marks.mid    its marks: notes on lanes, and Marker events with text
$build/core/waymark     the command line; '$build/core/waymark --help' lists what it does
$build/plugin           the plug-in, an LV2 bundle

To see it in a DAW, start the DAW with the folder of bundles in its path, for instance

    LV2_PATH=\$PWD/$out/lv2:/usr/lib/lv2 ardour

then put Waymark on a MIDI track in front of its instrument, give it the chart
file above, and play; docs/daw.md goes through it step by step.  To install instead:
sudo meson install -C $build
END

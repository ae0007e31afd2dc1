#!/usr/bin/env python3
"""`waymark run` as other programs see it; print TAP.

usage: run.py WAYMARK REFERENCE_FOLDER DEMO_TAKE DEMO_CHART ($WAY_REFERENCE comes first)

python3-mido and midicsv read what is written.  The intervals of a real solo's notes (take/
in the reference folder: GuitarSet, Xi et al., ISMIR 2018, CC BY 4.0) must be those of the
marks.  Without folder or program a part is skipped.
"""
import csv
import os
import re
import shutil
import subprocess
import sys
import tempfile

try:
    import mido
except ImportError:
    mido = None

waymark, reference, demo, demo_chart = sys.argv[1:]
take = os.path.join(os.environ.get("WAY_REFERENCE", reference), "take")
# Semitones of the degrees of the major scale.
MAJOR = {"R": 0, "1": 0, "2": 2, "3": 4, "4": 5, "5": 7, "6": 9, "7": 11, "9": 2, "11": 5,
         "13": 9}


def run(folder, path, chart, *more):
    out = os.path.join(folder, "out.mid")
    subprocess.run([waymark, "run", path, "--chart", chart, "-o", out, *more], check=True,
                   stdout=subprocess.DEVNULL)
    return out


def semitones(degree):
    sign = degree.rstrip("R0123456789")
    return (MAJOR[degree[len(sign):]] + sign.count("#") - sign.count("b")) % 12


def markers(path):
    return [m.text for m in mido.MidiFile(path).tracks[-1] if m.type == "marker"]


def tagging_changes_no_track(folder):
    before = mido.MidiFile(demo).tracks
    after = mido.MidiFile(run(folder, demo, demo_chart)).tracks
    assert len(after) == len(before) + 1
    for a, b in zip(before, after):
        assert list(a) == list(b), a.name


def snapping_changes_note_numbers_only(folder):
    def bare(message):
        return message.copy(note=0) if message.type.startswith("note_") else message
    before = mido.MidiFile(demo).tracks[1]
    after = mido.MidiFile(run(folder, demo, demo_chart, "--handling", "snap")).tracks[1]
    assert [bare(m) for m in before] == [bare(m) for m in after]
    assert list(before) != list(after)
    assert not any(" chromatic " in m for m in markers(os.path.join(folder, "out.mid")))


def midicsv_reads_it(folder):
    out = run(folder, demo, demo_chart)
    text = subprocess.run(["midicsv", out], check=True, capture_output=True, text=True).stdout
    assert text.count("Marker_t") == len(markers(out)) > 100


def solo_has_the_intervals_of_its_annotation(folder):
    with open(os.path.join(take, "notes.csv"), encoding="utf-8") as f:
        rows = list(csv.DictReader(f))
    out = run(folder, os.path.join(take, "take.mid"), os.path.join(take, "chart.txt"))
    roles = [re.match(r"role (\S+) (.*) over", m) for m in markers(out)]
    roles = [r for r in roles if r]
    assert [semitones(r[1]) for r in roles] == [int(r["interval_from_root"]) for r in rows]
    assert sum(r[2] == "chord tone" for r in roles) == sum(
        int(r["is_chord_tone"]) for r in rows)


def main():
    cases = [tagging_changes_no_track, snapping_changes_note_numbers_only, midicsv_reads_it,
             solo_has_the_intervals_of_its_annotation]
    print(f"1..{len(cases)}")
    for number, case in enumerate(cases, 1):
        skip = ("no python3-mido" if not mido else
                "no midicsv" if case is midicsv_reads_it and not shutil.which("midicsv") else
                "no reference folder" if "solo" in case.__name__ and not os.path.isdir(take)
                else None)
        title = case.__name__.replace("_", " ")
        if skip:
            print(f"ok {number} - {title} # SKIP {skip}")
            continue
        with tempfile.TemporaryDirectory() as folder:
            try:
                case(folder)
                print(f"ok {number} - {title}")
            except (AssertionError, subprocess.CalledProcessError) as problem:
                print(f"not ok {number} - {title}\n# {problem!r}")


if __name__ == "__main__":
    main()

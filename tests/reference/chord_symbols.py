#!/usr/bin/env python3
"""Chord symbols against outside tables, in seventeen keys; print TAP.

usage: chord_symbols.py WAYMARK REFERENCE_FOLDER ($WAY_REFERENCE comes first)

chord_symbols.csv holds symbols on C and the pitch classes that at least two independent
libraries agree on; musicxml_kinds.csv the chord kinds of MusicXML 4.0 (kind-value).
"""
import csv
import os
import subprocess
import sys

waymark, reference = sys.argv[1:]
reference = os.environ.get("WAY_REFERENCE", reference)
ROOTS = {"C": 0, "C#": 1, "Db": 1, "D": 2, "D#": 3, "Eb": 3, "E": 4, "F": 5, "F#": 6,
         "Gb": 6, "G": 7, "G#": 8, "Ab": 8, "A": 9, "A#": 10, "Bb": 10, "B": 11}
# How Waymark writes the kinds.  A dominant thirteenth names its eleventh.
KINDS = {"major": "", "minor": "m", "augmented": "aug", "diminished": "dim",
         "dominant": "7", "major-seventh": "maj7", "minor-seventh": "m7",
         "diminished-seventh": "dim7", "augmented-seventh": "7#5",
         "half-diminished": "m7b5", "major-minor": "mMaj7", "major-sixth": "6",
         "minor-sixth": "m6", "dominant-ninth": "9", "major-ninth": "maj9",
         "minor-ninth": "m9", "dominant-11th": "11", "major-11th": "maj11",
         "minor-11th": "m11", "dominant-13th": "13add11", "major-13th": "maj13",
         "minor-13th": "m13", "suspended-second": "sus2", "suspended-fourth": "sus4",
         "power": "5"}


def table(name):
    with open(os.path.join(reference, name), encoding="utf-8") as f:
        return list(csv.DictReader(f))


def check(number, title, wanted):
    """wanted: symbols on C without the C, and semitones above the root"""
    asked = [(root, above, root + text) for text, above in wanted for root in ROOTS]
    run = subprocess.run([waymark, "chord", "-"], capture_output=True, text=True,
                         input="".join(symbol + "\n" for _, _, symbol in asked))
    bad = []
    for (root, above, symbol), line in zip(asked, run.stdout.splitlines()):
        fields = line.split("\t")
        got = [] if fields[1] == "error" else [
            (int(pc) - ROOTS[root]) % 12 for pc in fields[5].split()]
        if sorted(got) != above:
            bad.append(f"# {symbol}: {above} expected: {line}")
    same = len(run.stdout.splitlines()) == len(asked)
    print(f"{'ok' if same and not bad else 'not ok'} {number} - {title}, "
          f"{len(asked)} symbols")
    print("\n".join(bad), end="\n" if bad else "")


def semitones(text):
    return sorted(int(n) for n in text.split())


if not os.path.exists(os.path.join(reference, "chord_symbols.csv")):
    print("1..0 # SKIP no reference folder")
    sys.exit()
print("1..2")
check(1, "symbols that outside libraries agree on",
      [(row["symbol"][1:], semitones(row["semitones_above_root"]))
       for row in table("chord_symbols.csv")])
check(2, "kinds of MusicXML", [(KINDS[row["kind"]], semitones(row["rel"]))
                               for row in table("musicxml_kinds.csv")])

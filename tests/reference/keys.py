#!/usr/bin/env python3
"""Compare the keys found with correlation against key profiles; print TAP.

usage: keys.py WAYMARK PROGRESSIONS REFERENCE

The profiles are those of Krumhansl and Kessler (1982), from REFERENCE/key_profiles.csv:
each key's twelve weights are correlated with how long each pitch class sounds.
"""
import csv
import json
import os
import re
import subprocess
import sys

NAMES = "C Db D Eb E F Gb G Ab A Bb B".split()
STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}


def pitch_class(name):
    return (STEPS[name[0]] + name.count("#") - name.count("b")) % 12


def moved(bars, by):
    """The bars with every root moved up by some semitones."""
    return re.sub(r"(?<![A-Za-z0-9#])[A-G][#b]?",
                  lambda root: NAMES[(pitch_class(root[0]) + by) % 12], bars)


def found(waymark, bars):
    """(pitch class of the tonic, mode) and, by pitch class, how long it sounds."""
    run = subprocess.run([waymark, "chart", "-", "--json"], input="| %s |\n" % bars,
                         capture_output=True, text=True, check=True)
    chart = json.loads(run.stdout)
    key = chart["key"]
    return (pitch_class(key["tonic"]), key["mode"]), chart["chords"]


def correlation(a, b):
    mean_a, mean_b = sum(a) / 12, sum(b) / 12
    a, b = [x - mean_a for x in a], [x - mean_b for x in b]
    over = sum(x * y for x, y in zip(a, b))
    under = (sum(x * x for x in a) * sum(y * y for y in b)) ** 0.5
    return over / under if under else 0


def by_profile(profiles, tones, chords):
    weights = [0] * 12
    for chord in chords:
        for pc in tones[chord["symbol"]]:
            weights[pc] += chord["beats"]
    return max(((tonic, mode) for mode in profiles for tonic in range(12)),
               key=lambda k: correlation(weights[k[0]:] + weights[:k[0]],
                                         profiles[k[1]]))


def tones_of(waymark, symbols):
    run = subprocess.run([waymark, "chord", "--json", "-"], input="\n".join(symbols),
                         capture_output=True, text=True, check=True)
    return {s: o["pitch_classes"] for s, o in zip(symbols, json.loads(run.stdout))}


def profiles_in(path):
    """Weights by mode; None where the file is absent."""
    if not os.path.exists(path):
        return None
    with open(path, encoding="utf-8") as f:
        return {row["mode"]: [float(row["w%d" % i]) for i in range(12)]
                for row in csv.DictReader(f) if row["profile"] == "KrumhanslKessler"}


def main():
    waymark, progressions, reference = sys.argv[1:]
    path = os.path.join(os.environ.get("WAY_REFERENCE", reference), "key_profiles.csv")
    profiles = profiles_in(path)
    with open(progressions, encoding="utf-8") as f:
        lines = [re.match(r"(\S+) (major|minor): (.*)", line) for line in f]
    cases = [(pitch_class(m[1]), m[2], m[3]) for m in lines if m]
    ours = theirs = 0
    same = True
    for tonic, mode, bars in cases:
        answers = set()
        for by in range(12):
            key, chords = found(waymark, moved(bars, by))
            answers.add(((key[0] - by) % 12, key[1]))
        same = same and len(answers) == 1
        ours += answers == {(tonic, mode)}
        if answers != {(tonic, mode)}:
            print("# %s %s: found %s in %s" % (NAMES[tonic], mode, sorted(answers), bars))
        if profiles:
            tones = tones_of(waymark, sorted({c["symbol"] for c in chords}))
            plain = by_profile(profiles, tones, chords)
            theirs += ((plain[0] - by) % 12, plain[1]) == (tonic, mode)
    print("# of %d keys, found %d" % (len(cases), ours))
    print("1..3")
    print("%s 1 - the same key in all twelve transpositions"
          % ("ok" if same else "not ok"))
    print("%s 2 - nineteen keys of twenty"
          % ("ok" if cases and ours >= 0.95 * len(cases) else "not ok"))
    if not profiles:
        print("ok 3 # SKIP no key profiles at %s" % path)
    else:
        print("%s 3 - one in ten more than the %d found by profile"
              % ("ok" if ours >= theirs + 0.1 * len(cases) else "not ok", theirs))


main()

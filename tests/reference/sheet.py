#!/usr/bin/env python3
"""Read the diagrams of hand-outs back from their SVG; print TAP.

usage: sheet.py WAYMARK CHARTS

Single diagrams: every place of each scale and chord in the window has its dot, and every
dot belongs.  Hand-outs of all tunes on five tunings: the same for the diagram of each
stage and for the two of each chord, with the notes that `waymark map` tells.
"""
import glob
import json
import os
import random
import re
import subprocess
import sys
import tempfile

from frets import HAIR, ROOTS, TUNINGS, paths, pitch, pitch_class, read_dots, scales

# Spelled from their symbols by hand; common practice, no source.
CHORDS = {"Cmaj7": "C E G B", "F#m7b5": "F# A C E", "Bb7": "Bb D F Ab", "Ebm": "Eb Gb Bb",
          "G7b9": "G B D F Ab", "Adim7": "A C Eb Gb", "D6": "D F# A B", "Esus4": "E A B",
          "Abmaj9": "Ab C Eb G Bb", "C#+": "C# F A"}
STAGES = ["pentatonic", "blues", "triad", "seventh", "chord-scale", "chord-scale",
          "chord-scale", "all"]
VERMILION = "rgb(83.529412%,36.862745%,0%)"
WINDOWS = [(0, 5), (0, 12), (3, 8), (7, 12)]


def run(*words):
    return subprocess.run(words, check=True, capture_output=True, text=True).stdout


def single(waymark, folder, words, tuning, first, last, left):
    out = os.path.join(folder, "one.svg")
    run(waymark, "sheet", *words, "--tuning", tuning, "--frets", f"{first}-{last}", "-o", out,
        *(["--left"] if left else []))
    with open(out, encoding="utf-8") as f:
        return read_dots(f.read(), first, left, first == 0)


def places(tuning, notes, first, last):
    opens = [pitch(n) for n in tuning.split()]
    return {(s, f) for s in range(len(opens)) for f in range(first, last + 1)
            if (opens[s] + f) % 12 in notes}


def singles(waymark, folder):
    """What differed in diagrams of one scale or chord."""
    rng = random.Random(11)
    asked = [(["--scale", f"{ROOTS[(5 * i) % 12]} {name}"],
              {(pitch_class(ROOTS[(5 * i) % 12]) + s) % 12 for s in steps})
             for i, (name, steps) in enumerate(scales(waymark))]
    asked += [(["--chord", symbol], {pitch_class(n) for n in notes.split()})
              for symbol, notes in CHORDS.items()]
    wrong = []
    for i, (words, notes) in enumerate(asked):
        tuning = TUNINGS[i % len(TUNINGS)]
        first, last = rng.choice(WINDOWS)
        got, strings = single(waymark, folder, words, tuning, first, last, i % 3 == 0)
        if strings != len(tuning.split()) or set(got) != places(tuning, notes, first, last):
            wrong.append(f"{words} {tuning} {first}-{last}")
    return len(asked), wrong


def diagrams(svg, first):
    """The set of places of each diagram on a page, in the order they were drawn."""
    found, wires, dots = [], [], []
    strings = 0

    def flat(points):
        return len(points) == 2 and abs(points[0][1] - points[1][1]) < 0.01

    def close():
        if not wires:
            return
        xs = sorted(w[0][0] for w in wires)
        top, bottom = (f(p[1] for w in wires for p in w) for f in (min, max))
        gap = (bottom - top) / (strings - 1)
        found.append({(round((bottom - y) / gap),
                       sum(1 for w in xs if w < x) + first - (0 if first == 0 else 1))
                      for x, y in dots if xs[0] - 1.5 * (xs[1] - xs[0]) < x < xs[-1]
                      and top - gap / 2 < y < bottom + gap / 2})

    for style, points, bends in paths(svg):
        vertical = not bends and len(points) == 2 and abs(points[0][0] - points[1][0]) < 0.01
        if vertical and f"stroke:{HAIR}" in style:
            if dots:
                close()
                wires, dots, strings = [], [], 0
            wires.append(points)
        elif wires and not dots and "fill:none" in style and flat(points):
            strings += 1
        elif wires and (bends and f"fill:rgb(100%,100%,100%)" not in style or
                        f"fill:{VERMILION}" in style):
            xs, ys = zip(*points)
            dots.append(((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2))
    close()
    return found


def material(waymark, chart, name):
    """For each chord, the pitch classes of a material over it."""
    told = json.loads(run(waymark, "map", chart, "-m", name, "--json"))
    return [{row["pitch_class"] for row in told["rows"] if row["cells"][i]["in_material"]}
            for i in range(len(told["chords"]))]


def wanted(waymark, chart):
    """The sets of a hand-out's diagrams, in order."""
    by_name = {name: material(waymark, chart, name) for name in set(STAGES)}
    n = len(by_name["all"])
    sets = [by_name[name][max(stage - 2, 0) % n] for stage, name in enumerate(STAGES)]
    told = json.loads(run(waymark, "map", chart, "-m", "all", "--json"))
    for i in range(n):
        sets.append({row["pitch_class"] for row in told["rows"]
                     if row["cells"][i]["role"] == "chord tone"})
        sets.append(by_name["chord-scale"][i])
    return sets


def hand_outs(waymark, charts, folder):
    out = os.path.join(folder, "all.svg")
    wrong, seen = [], 0
    for number, chart in enumerate(charts):
        sets = wanted(waymark, chart)
        for tuning in TUNINGS:
            first, last = WINDOWS[(number + len(tuning)) % len(WINDOWS)]
            run(waymark, "sheet", chart, "--tuning", tuning, "--frets", f"{first}-{last}",
                "-o", out)
            with open(out, encoding="utf-8") as f:
                got = diagrams(f.read(), first)
            seen += len(got)
            want = [places(tuning, notes, first, last) for notes in sets]
            if got != want:
                bad = [i for i, (a, b) in enumerate(zip(got, want)) if a != b]
                wrong.append(f"{os.path.basename(chart)} {tuning} {first}-{last}: "
                             f"{len(got)} of {len(want)} diagrams, other places in {bad[:5]}")
    return seen, wrong


def main():
    waymark = os.path.abspath(sys.argv[1])
    charts = sorted(glob.glob(os.path.join(sys.argv[2], "*.chart")))
    with tempfile.TemporaryDirectory() as folder:
        one, one_wrong = singles(waymark, folder)
        many, many_wrong = hand_outs(waymark, charts, folder)
    print("1..2")
    print("not ok 1" if one_wrong or one < 40 else "ok 1",
          f"- {one} single diagrams have a dot at each place of their notes, and no other")
    print("not ok 2" if many_wrong or many < 500 else "ok 2",
          f"- so have {many} diagrams of hand-outs")
    for said in (one_wrong + many_wrong)[:8]:
        print("#", said)


main()

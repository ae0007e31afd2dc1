#!/usr/bin/env python3
"""Read fretboards back from their SVG; print TAP.

usage: frets.py FRET_SVG WAYMARK

Every dot's pitch, open string and fret added up, belongs to the scale, and every place of
the scale in the window has its dot: for all scales in all keys, on five tunings.  Pitches
are counted from note names (scientific pitch notation, MIDI 60 = C4) and from the degrees
that `waymark scale --list` prints, not by the code under test.
"""
import random
import re
import subprocess
import sys

TUNINGS = ["E2 A2 D3 G3 B3 E4", "B1 E2 A2 D3 G3 B3 E4", "E1 A1 D2 G2", "D2 G2 D3 G3 B3 D4",
           "C#2 G#2 C#3 F#3 A#3 D#4 G4 B4 E5"]
ROOTS = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]
NATURALS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
MAJOR = [0, 2, 4, 5, 7, 9, 11]
GREEN, BLUE = "rgb(0%,61.960784%,45.098039%)", "rgb(33.72549%,70.588235%,91.372549%)"
SOFT, HAIR = "rgb(32.941176%,34.901961%,36.470588%)", "rgb(74.117647%,75.294118%,76.078431%)"


def pitch_class(note):
    return (NATURALS[note[0]] + note.count("#") - note[1:].count("b")) % 12


def pitch(note):
    name, octave = re.match(r"([A-G][#b]*)(\d)", note).groups()
    return 12 * (int(octave) + 1) + NATURALS[name[0]] + name.count("#") - name[1:].count("b")


def semitones(degree):
    number = int(degree.strip("#b"))
    return (MAJOR[(number - 1) % 7] + degree.count("#") - degree.count("b")) % 12


def scales(waymark):
    out = subprocess.run([waymark, "scale", "--list"], check=True, capture_output=True,
                         text=True).stdout
    for line in out.splitlines():
        name, degrees = line.split("\t")[:2]
        yield name, [semitones(d) for d in degrees.split()]


def paths(svg):
    """(style, points, bends or not) of each path outside the letters."""
    for style, d, matrix in re.findall(
            r'<path style="([^"]*)" d="([^"]*)"(?: transform="matrix\(([^)]*)\)")?',
            svg.split("</defs>")[-1]):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", d)]
        a, b, c, d_, e, f = map(float, matrix.split(",")) if matrix else (1, 0, 0, 1, 0, 0)
        yield style, [(a * x + c * y + e, b * x + d_ * y + f)
                      for x, y in zip(numbers[::2], numbers[1::2])], "C" in d


def middle(points):
    xs, ys = zip(*points)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def read_dots(svg, first, left, opens):
    """{(string, fret): is filled} of a picture whose leftmost whole fret is known."""
    strings, wires, dots = set(), set(), []
    for style, points, bends in paths(svg):
        if bends:
            if f"fill:{GREEN}" in style or f"stroke:{BLUE}" in style:
                dots.append((middle(points), GREEN in style))
        elif f"stroke:{SOFT}" in style and points[0][1] == points[1][1]:
            strings.add(points[0][1])
        elif f"stroke:{HAIR}" in style:
            wires.add(points[0][0])
    wires = sorted(wires, reverse=left)
    strings = sorted(strings, reverse=True)
    read = {}
    for (x, y), filled in dots:
        string = min(range(len(strings)), key=lambda s: abs(strings[s] - y))
        before = sum(1 for w in wires if (w > x if left else w < x))
        read[string, before + first - (1 if not opens else 0)] = filled
    return read, len(strings)


def cases(waymark):
    rng = random.Random(7)
    for number, (name, steps) in enumerate(scales(waymark)):
        for key, root in enumerate(ROOTS):
            for tuning in TUNINGS:
                capo = rng.choice([0, 0, 0, 2, 5])
                first = rng.choice([capo, capo, capo + rng.randrange(1, 8)])
                last = first + rng.randrange(4, 13)
                yield name, steps, root, tuning, capo, (number + key) % 3 == 0, first, last


def check(case, svg):
    name, steps, root, tuning, capo, left, first, last = case
    notes = {(pitch_class(root) + s) % 12 for s in steps}
    opens = [pitch(n) for n in tuning.split()]
    want = {(s, f): (opens[s] + f) % 12 == pitch_class(root)
            for s in range(len(opens)) for f in range(first, last + 1)
            if (opens[s] + f) % 12 in notes}
    got, strings = read_dots(svg, first, left, first == capo)
    if strings != len(opens):
        return f"{strings} strings"
    if got != want:
        return f"{sorted(set(got.items()) ^ set(want.items()))[:6]}"
    return None


def main():
    all_cases = list(cases(sys.argv[2]))
    lines = "".join(f"{capo} {int(left)} {first} {last} {tuning}|{root} {name}\n"
                    for name, _, root, tuning, capo, left, first, last in all_cases)
    out = subprocess.run([sys.argv[1]], input=lines, check=True, capture_output=True,
                         text=True).stdout.split("--\n")[:-1]
    wrong = [(case, said) for case, svg in zip(all_cases, out) if (said := check(case, svg))]
    print("1..2")
    print("ok 1" if len(out) == len(all_cases) > 5000 else "not ok 1",
          f"- {len(out)} fretboards were drawn")
    print("not ok 2" if wrong else "ok 2", "- each place of each scale has its dot")
    for case, said in wrong[:5]:
        print("#", *case, said)


if __name__ == "__main__":
    main()

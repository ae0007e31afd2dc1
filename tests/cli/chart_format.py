#!/usr/bin/env python3
"""Try every example of docs/chart-format.md; print TAP.

usage: chart_format.py PROGRAM MANUAL

A block ```chart is followed by ```played, what `waymark chart` must make of it (bars
divided by `|` or line ends, chords with their beats), or by ```refused, its message.
"""
import json
import re
import subprocess
import sys
from fractions import Fraction


def beats(chord):
    return str(Fraction(chord["beats"]).limit_denominator(64))


def played(program, chart):
    """The form in the notation of the manual, or the message."""
    done = subprocess.run([program, "chart", "--json", "-"], input=chart.encode(),
                          capture_output=True, timeout=10)
    if done.returncode:
        return done.stderr.decode().removeprefix("standard input:").strip()
    bars = {}
    for chord in json.loads(done.stdout)["chords"]:
        bars.setdefault(chord["bar"], []).append(chord)
    cells = []
    for chords in bars.values():
        cells.append(" ".join(
            c["symbol"] + (">" + c["target"] if "target" in c else "")
            + (":" + beats(c) if len(chords) > 1 else "") for c in chords))
    return " | ".join(cells)


def main():
    program, manual = sys.argv[1:]
    with open(manual, encoding="utf-8") as f:
        blocks = re.findall(r"^```(\w+)\n(.*?)^```$", f.read(), re.M | re.S)
    pairs = list(zip(blocks[::2], blocks[1::2]))
    print(f"1..{len(pairs)}")
    for number, ((kind, chart), (answer, text)) in enumerate(pairs, 1):
        assert kind == "chart" and answer in ("played", "refused"), (kind, answer)
        want = " | ".join(text.strip().split("\n"))
        got = played(program, chart)
        print(f"{'ok' if got == want else 'not ok'} {number} - "
              + re.sub(r"[#\n]", " ", chart.strip())[:60])
        if got != want:
            print(f"# expected {want}\n# got      {got}")


if __name__ == "__main__":
    main()

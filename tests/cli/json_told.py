#!/usr/bin/env python3
"""What stands in the JSON of each command is told in its manual: json_told.py WAYMARK SOURCE.

Each key, at any depth, is a word of the command's part of docs/waymark.1 (of
docs/review.md for those that send there)."""
import json
import pathlib
import re
import subprocess
import sys
import tempfile

WAYMARK, SOURCE = (pathlib.Path(path).resolve() for path in sys.argv[1:])
CHART = str(SOURCE / "presets/charts/lantern-row.chart")
TAKE = str(SOURCE / "docs/demo/lantern-row.mid")
OTHER = str(SOURCE / "tests/data/takes/slack_tide.mid")
CALLS = [
    ["chord", "Cmaj7", "H"],
    ["name", "C", "E", "G"],
    ["name", "C", "C#", "D", "D#"],
    ["name", "H"],
    ["scale", "dorian", "D"],
    ["scale", "--list"],
    ["scale", "--of", "Am7"],
    ["scale", "no such", "D"],
    ["numeral", "C", "V7", "H"],
    ["numeral", "--chords", "C", "G7"],
    ["chart", CHART],
    ["chart", "-"],
    ["map", CHART],
    ["map", CHART, "--material", "pentatonic"],
    ["line", CHART],
    ["run", TAKE, "--chart", CHART],
    ["backing", CHART, "-o", "loop.mid"],
    ["fit", TAKE, "--chart", CHART, "--dry-run"],
    ["review", TAKE, "--chart", CHART, "--log", "--db", "log.db"],
    ["review", OTHER, "--chart", CHART, "--log", "--db", "log.db"],
    ["log", "--db", "log.db"],
    ["log", "--db", "log.db", "--compare", "1", "2"],
]
# Members of these are named by the music, not by the document: `"b7": 12`.
COUNTS = {"roles", "degrees", "embellishments", "landed"}


def keys(value):
    """All keys that are names of the document."""
    if isinstance(value, list):
        for one in value:
            yield from keys(one)
    elif isinstance(value, dict):
        for key, one in value.items():
            if " " not in key:
                yield key
            if key not in COUNTS or isinstance(one, list):
                yield from keys(one)


def manual(command):
    page = (SOURCE / "docs/waymark.1").read_text().replace("\\-", "-")
    text = page.split(f".SS waymark {command} ")[1].split("\n.S")[0]
    text += page.split(".SH JSON\n")[1].split("\n.SH")[0]
    if "docs/review.md" in text or command == "log":
        text += (SOURCE / "docs/review.md").read_text()
    return set(re.findall(r"[a-z0-9_]+", text))


def main():
    print(f"1..{len(CALLS)}")
    with tempfile.TemporaryDirectory() as folder:
        for number, call in enumerate(CALLS, 1):
            run = subprocess.run([WAYMARK, *call, "--json"], cwd=folder, text=True,
                                 capture_output=True, input="| C | Am |\n", check=False)
            told = manual(call[0])
            missing = sorted(set(keys(json.loads(run.stdout))) - told)
            shown = " ".join(w.replace(str(SOURCE) + "/", "") for w in call)
            print("not ok" if missing else "ok", number, "-", shown)
            if missing:
                print("# not told:", " ".join(missing))


main()

#!/usr/bin/env python3
"""The review of real playing against outside annotations; print TAP.

usage: review.py WAYMARK REFERENCE_FOLDER ($WAY_REFERENCE comes first)

take/ in the reference folder is a guitar solo of GuitarSet (Xi, Bittner, Pauwels, Ye,
Bello, ISMIR 2018, CC BY 4.0) with the interval of every note to its chord.  The tunes
are examples of Debian's abcmidi, turned to MIDI by abc2midi; python3-mido counts their
notes.  Files of npm packages, as they are and damaged, are read fully or refused with
the reason.  Without folder or program a part is skipped.
"""
import csv
import glob
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile

import midi_files

try:
    import mido
except ImportError:
    mido = None

ABC = "/usr/share/doc/abcmidi/examples"
waymark, reference = sys.argv[1:]
reference = os.environ.get("WAY_REFERENCE", reference)
number = 0


def report(title, problem=None, skip=None):
    global number
    number += 1
    print("not ok" if problem else "ok", number, "-",
          title + (f" # SKIP {skip}" if skip else ""))
    if problem:
        print("#", problem)


def review(take, chart, *more):
    done = subprocess.run([waymark, "review", take, "--chart", chart, "--json", *more],
                          capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(done.stderr.strip())
    return json.loads(done.stdout)


def rows(name):
    with open(os.path.join(reference, "take", name), encoding="utf-8") as f:
        return list(csv.DictReader(f))


def differs(pairs):
    """The first pair that is not equal, or None."""
    for i, (got, want) in enumerate(pairs):
        if got != want:
            return f"{i}: {got}, expected {want}"
    return None


def check_solo():
    if not os.path.isdir(os.path.join(reference, "take")):
        report("a guitar solo", skip="no reference folder")
        return
    got = review(os.path.join(reference, "take", "take.mid"),
                 os.path.join(reference, "take", "chart.txt"))
    notes, want = got["notes"], rows("notes.csv")
    report("71 notes are found", None if len(notes) == len(want) == 71 else len(notes))
    report("pitch, chord and interval of every note", differs(
        ((n["midi"], n["chord"], n["interval"]),
         (int(w["midi"]), w["chord"], int(w["interval_from_root"])))
        for n, w in zip(notes, want)))
    tick = 1 / 480
    report("onsets, to a tick of the file", next(
        (f"{i}: {n}" for i, (n, w) in enumerate(zip(notes, want))
         if abs(n["onset_beats"] - float(w["onset_beats"])) > tick), None))
    # Sorted: of notes of one pitch that overlap, the file can't say which ends first.
    ends = sorted((n["midi"], n["onset_beats"] + n["duration_beats"]) for n in notes)
    report("ends, to a tick of the file", next(
        (f"{got}, expected {end}" for got, end in zip(ends, sorted(
            (int(w["midi"]), float(w["onset_beats"]) + float(w["duration_beats"]))
            for w in want))
         if abs(got[1] - end[1]) > 2 * tick), None))
    report("chord tones", differs(
        (n["role"] == "chord tone", w["is_chord_tone"] == "1") for n, w in zip(notes, want)))
    report("23 chord tones in total", None if got["totals"]["roles"]["chord tone"] == 23
           else got["totals"])
    report("landings", differs(
        ((x["change_beats"], x["chord"], x["first_onset"] + 1, x["interval"],
          x["role"] == "chord tone"),
         (float(w["change_beats"]), w["symbol"], int(w["note_i"]),
          int(w["interval_from_root"]), w["is_chord_tone"] == "1"))
        for x, w in zip(got["landings"], rows("landings.csv"), strict=True)))
    sums = got["totals"]["landings"]
    report("6 landings, 3 on chord tones",
           None if (sums["changes"], sums["on_chord_tones"]) == (6, 3) else sums)


def count_notes(path, track):
    """Note-ons of a track, as mido counts them."""
    return sum(m.type == "note_on" and m.velocity > 0
               for m in mido.MidiFile(path, clip=True).tracks[track])


def check_tune(name, folder, chart):
    shutil.copy(os.path.join(ABC, name), folder)
    subprocess.run(["abc2midi", name], cwd=folder, stdout=subprocess.DEVNULL,
                   stderr=subprocess.DEVNULL, check=False)
    for path in sorted(glob.glob(f"{folder}/{name.removesuffix('.abc')}*.mid")):
        try:
            got = review(path, chart)
        except RuntimeError as why:
            report(os.path.basename(path), str(why))
            continue
        want = count_notes(path, got["track"])
        report(f"{os.path.basename(path)}: {want} notes",
               None if len(got["notes"]) == want else f"{len(got['notes'])} notes")


def check_tunes():
    names = ["araber.abc", "boys.abc", "coleraine.abc", "dergasn.abc"]
    if not (mido and shutil.which("abc2midi") and
            all(os.path.exists(os.path.join(ABC, n)) for n in names)):
        report("tunes", skip="no abc2midi, examples or python3-mido")
        return
    with tempfile.TemporaryDirectory() as folder:
        chart = os.path.join(folder, "chart.txt")
        with open(chart, "w", encoding="utf-8") as f:
            f.write("key: D major\n| D | G | A7 | D |\n")
        for name in names:
            check_tune(name, folder, chart)


def whole(document):
    """What is missing in a review, or None: phrases hold every note once, and indices
    mean notes."""
    notes, phrases = document["notes"], document["phrases"]
    held = [i for p in phrases for i in range(p["first_note"], p["last_note"] + 1)]
    if held != list(range(len(notes))):
        return "phrases do not hold every note once"
    if any(a["onset_beats"] > b["onset_beats"] for a, b in zip(notes, notes[1:])):
        return "notes do not rise"
    for x in document["landings"]:
        for i in (x["held_over"], x["first_onset"]):
            if i is not None and not 0 <= i < len(notes):
                return "a landing without a note"
    return None


def read_or_refused(path, chart):
    """A problem, True for a review, or False for a refusal."""
    done = subprocess.run([waymark, "review", path, "--chart", chart, "--json"],
                          capture_output=True, text=True, check=False, timeout=60)
    if not done.returncode:
        return whole(json.loads(done.stdout)) or True
    reason = done.stderr.strip().removeprefix(path + ": ")
    told = re.fullmatch(r"byte \d+: .+|no notes in the (file|track)|"
                        r"the take goes on for over a million changes of chord|is empty",
                        reason)
    return False if done.returncode == 1 and told else f"{done.returncode}: {reason}"


def check_files(title, paths, chart):
    if not paths:
        report(title, skip="no files")
        return
    answers = {p: read_or_refused(p, chart) for p in paths}
    problems = [f"{p}: {a}" for p, a in answers.items() if not isinstance(a, bool)]
    report(f"{title}: {sum(a is True for a in answers.values())} reviewed, "
           f"{sum(a is False for a in answers.values())} refused",
           "; ".join(problems[:3]))


def damaged(paths, folder):
    """Copies cut short, and copies with a byte changed."""
    rng = random.Random(5)
    for number, path in enumerate(paths):
        with open(path, "rb") as f:
            data = bytearray(f.read())
        if number % 2:
            del data[rng.randrange(len(data)):]
        if data and not number % 2:
            data[rng.randrange(len(data))] = rng.randrange(256)
        out = os.path.join(folder, f"{number}.mid")
        with open(out, "wb") as f:
            f.write(data)
        yield out


def check_packages():
    paths = midi_files.of_npm_packages()
    with tempfile.TemporaryDirectory() as folder:
        chart = os.path.join(folder, "chart.txt")
        with open(chart, "w", encoding="utf-8") as f:
            f.write("key: D major\n| D | G | A7>3 | D |\n")
        check_files("files of npm packages", paths, chart)
        check_files("the same damaged", list(damaged(paths, folder)), chart)


check_solo()
check_tunes()
check_packages()
print(f"1..{number}")

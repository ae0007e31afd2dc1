#!/usr/bin/env python3
"""Fitted sketches and backings as other programs read them; print TAP.

usage: fit.py WAYMARK DATA_FOLDER DEMO_FOLDER CHARTS_FOLDER REFERENCE_FOLDER
       ($WAY_REFERENCE comes first)

Fits every MIDI file of these folders, of Debian's abcmidi examples (by abc2midi) and of
npm packages, and damaged copies: no byte may change but those the dry run lists, and
python3-mido must find the same events but for their note numbers.  midicsv and python3-mido
read backings.  Without a program or folder its part is skipped.
"""
import glob
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile

import midi_files

try:
    import mido
except ImportError:
    mido = None

waymark, data, demo, charts, reference = sys.argv[1:]
reference = os.environ.get("WAY_REFERENCE", reference)
OPTIONS = [[], ["--material", "triad", "--by-channel"],
           ["--material", "pentatonic", "--embellishing", "passing,neighbour,approach"],
           ["--scope", "strong", "--max-distance", "3", "--range-low", "40",
            "--range-high", "90"]]


def damaged(paths, copies, folder):
    """Copies with a few bytes changed; the seed is the file's place."""
    for number, path in enumerate(paths):
        source = open(path, "rb").read()
        for copy in range(copies):
            rng = random.Random(1000 * number + copy)
            b = bytearray(source)
            for _ in range(1 + copy):
                if len(b) > 30:
                    b[rng.randrange(22, len(b))] = rng.randrange(256)
            name = os.path.join(folder, f"{number}-{copy}.mid")
            with open(name, "wb") as to:
                to.write(b)
            yield name


def bare(path):
    """All events as mido sees them, note numbers apart; None if it cannot read them."""
    try:
        file = mido.MidiFile(path, clip=True)
    except Exception:  # what mido itself cannot read is no measure
        return None
    return [[(m.time, m.copy(note=0)) if hasattr(m, "note") else (m.time, m) for m in track]
            for track in file.tracks]


def fit(path, chart, options, folder):
    """Whether the file was fitted; raises if more than the listed bytes changed."""
    out = os.path.join(folder, "out.mid")
    call = [waymark, "fit", path, "--chart", chart, *options]
    dry = subprocess.run([*call, "--dry-run", "--json"], capture_output=True, check=False)
    assert dry.returncode in (0, 1), (path, dry.stderr)
    done = subprocess.run([*call, "-o", out], capture_output=True, check=False)
    assert done.returncode == dry.returncode, (path, done.stderr)
    if dry.returncode:
        assert dry.stderr.strip() and not dry.stdout, path
        return False
    listed = sorted(b for n in json.loads(dry.stdout)["notes"] for b in n["bytes"])
    before, after = open(path, "rb").read(), open(out, "rb").read()
    assert len(before) == len(after), path
    changed = [i for i, (x, y) in enumerate(zip(before, after)) if x != y]
    assert changed == listed, (path, options)
    if mido:
        assert bare(path) == bare(out), (path, options)
    return True


def fit_all(paths, folder):
    if not paths:
        return None
    chart = os.path.join(charts, "gull-market.chart")
    fitted = sum(fit(p, chart, OPTIONS[i % len(OPTIONS)], folder)
                 for i, p in enumerate(paths))
    return f"{fitted} of {len(paths)} files fitted, the rest refused"


def ours():
    return [p for folder in (data, demo, reference) for p in midi_files.below(folder)]


def files_at_hand(folder):
    return fit_all(ours(), folder)


def abcmidi_examples(folder):
    return fit_all(midi_files.of_abc_tunes(folder), folder)


def files_of_npm_packages(folder):
    return fit_all(midi_files.of_npm_packages(), folder)


def damaged_files(folder):
    paths = ours() + midi_files.of_abc_tunes(folder)
    where = os.path.join(folder, "damaged")
    os.mkdir(where)
    return fit_all(list(damaged(paths, 3, where)), folder)


def damaged_files_of_npm_packages(folder):
    return fit_all(list(damaged(midi_files.of_npm_packages(), 1, folder)), folder)


def backings(folder):
    """Note-ons and note-offs pair up; tempo, metre and markers are those of the chart."""
    if not mido:
        return None
    out = os.path.join(folder, "loop.mid")
    paths = sorted(glob.glob(f"{charts}/*.chart"))
    for path in paths:
        for feel in ("straight", "swing", "waltz", "bossa"):
            subprocess.run([waymark, "backing", path, "-o", out, "--feel", feel, "--choruses", "2"],
                           check=True, stdout=subprocess.DEVNULL)
            chart = json.loads(subprocess.run([waymark, "chart", path, "--json"], check=True,
                                              capture_output=True).stdout)
            check_backing(mido.MidiFile(out), chart)
            if shutil.which("midicsv"):
                text = subprocess.run(["midicsv", out], check=True, capture_output=True,
                                      text=True, errors="replace").stdout
                assert text.count("Note_on_c") == text.count("Note_off_c") > 0
    return f"{len(paths)} charts in four feels"


def check_backing(file, chart):
    names = [t.name for t in file.tracks]
    assert names == [chart["title"], "Comping", "Bass", "Click", "Chords"], names
    head = file.tracks[0]
    tempo = next(m for m in head if m.type == "set_tempo").tempo
    assert abs(mido.tempo2bpm(tempo) - chart["tempo"]) < 0.01
    metre = next(m for m in head if m.type == "time_signature")
    assert (metre.numerator, metre.denominator) == (chart["metre"]["beats"],
                                                    chart["metre"]["unit"])
    markers = [m.text for m in head if m.type == "marker"]
    assert markers[0] == "count-in" and markers.count("top chorus 2") == 1
    for track in file.tracks[1:]:
        sounding = set()
        for m in track:
            if m.type == "note_on" and m.velocity:
                assert m.note not in sounding
                sounding.add(m.note)
            elif m.type in ("note_on", "note_off"):
                sounding.remove(m.note)
        assert not sounding, track.name


def main():
    cases = [files_at_hand, abcmidi_examples, files_of_npm_packages, damaged_files,
             damaged_files_of_npm_packages, backings]
    print(f"1..{len(cases)}")
    for number, case in enumerate(cases, 1):
        title = case.__name__.replace("_", " ")
        with tempfile.TemporaryDirectory() as folder:
            try:
                found = case(folder)
                print(f"ok {number} - {title}" + (f" ({found})" if found else " # SKIP"))
            except (AssertionError, subprocess.CalledProcessError) as problem:
                print(f"not ok {number} - {title}\n# {problem!r}")


if __name__ == "__main__":
    main()

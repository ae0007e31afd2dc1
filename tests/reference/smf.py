#!/usr/bin/env python3
"""MIDI files as other programs read them, before and after we write them; print TAP.

usage: smf.py SMF_COPY DATA_FOLDER REFERENCE_FOLDER ($WAY_REFERENCE comes first)

Reads the files of both folders, the example tunes of Debian's abcmidi, turned to MIDI by
abc2midi, and the sound files of npm packages; copies each with SMF_COPY; midicsv and python3-mido
must find the same events in both.  Without a program or folder its part is skipped.
"""
import os
import shutil
import subprocess
import sys
import tempfile

import midi_files

try:
    import mido
except ImportError:
    mido = None


def by_midicsv(path):
    """Lines of midicsv, without its bookkeeping."""
    if not shutil.which("midicsv"):
        return None
    done = subprocess.run(["midicsv", path], capture_output=True, check=False)
    return done.stdout if not done.returncode else None


def by_mido(path):
    if not mido:
        return None
    try:
        file = mido.MidiFile(path, clip=False)
    except Exception:  # what mido itself cannot read is no measure
        return None
    return (file.type, file.ticks_per_beat,
            [[(m.time, m.bin() if not m.is_meta else m.bytes()) for m in track]
             for track in file.tracks])


READERS = {"midicsv": by_midicsv, "mido": by_mido}


def main():
    copier, data, reference = sys.argv[1:]
    folders = data, os.environ.get("WAY_REFERENCE", reference)
    number = 0
    with tempfile.TemporaryDirectory() as work:
        files = [f for folder in folders for f in midi_files.below(folder)]
        files += midi_files.of_abc_tunes(work)
        files += [f for f in midi_files.of_npm_packages() if "Bad" not in f]
        compared = dict.fromkeys(READERS, 0)
        for path in files:
            copy = os.path.join(work, "copy")
            done = subprocess.run([copier, path, copy], capture_output=True, text=True,
                                  check=False)
            refused = done.returncode and "SMPTE" in done.stderr
            problems = [] if refused or not done.returncode else [done.stderr.strip()]
            for name, reader in READERS.items():
                before = None if refused else reader(path)
                if before is None:
                    continue
                compared[name] += 1
                if reader(copy) != before:
                    problems.append(f"{name} finds other events in the copy")
            number += 1
            print("not ok" if problems else "ok", number, "-", os.path.basename(path))
            for problem in problems:
                print("#", problem)
        for name, count in compared.items():
            number += 1
            skip = "" if count else " # SKIP not installed"
            print("ok", number, "-", name, f"has read {count} files" + skip)
    print(f"1..{number}")


main()

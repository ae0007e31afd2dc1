#!/usr/bin/env python3
"""Review a million notes to JSON, beside midicsv's dump of the same file.

usage: review.py WAYMARK CHART
"""
import os
import random
import resource
import shutil
import struct
import subprocess
import sys
import tempfile

NOTES = 1000000


def quantity(value):
    out = [value & 0x7F]
    while value := value >> 7:
        out.insert(0, value & 0x7F | 0x80)
    return bytes(out)


def take(rests):
    """A line of random notes; `rests` is the share of them that a phrase begins with."""
    rng = random.Random(1)
    track = bytearray()
    for _ in range(NOTES):
        key = 48 + rng.randrange(30)
        pause = rng.randrange(480, 1440) if rng.random() < rests else rng.randrange(20)
        track += quantity(pause) + bytes([0x90, key, 90])
        track += quantity(100 + rng.randrange(100)) + bytes([0x80, key, 0])
    track += b"\0\xff\x2f\0"
    return (b"MThd" + struct.pack(">IHHH", 6, 0, 1, 480) +
            b"MTrk" + struct.pack(">I", len(track)) + track)


def seconds(command):
    """User and system time of the fastest of three runs."""
    best = None
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        best = spent if best is None else min(best, spent)
    return best


def main():
    waymark, chart = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "million.mid")
        for what, rests in ("without rests", 0), ("in phrases of 17 notes", 1 / 17):
            with open(path, "wb") as f:
                f.write(take(rests))
            ours = seconds([waymark, "review", path, "--chart", chart, "--json"])
            peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024
            print(f"{what}: {ours:.2f} s, {peak / NOTES:.0f} bytes a note at most")
            if shutil.which("midicsv"):
                theirs = seconds(["midicsv", path])
                print(f"  midicsv: {theirs:.2f} s; ratio {ours / theirs:.2f}")


main()

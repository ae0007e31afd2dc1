#!/usr/bin/python3
"""The guide in jalv, on a JACK server of its own, event by event beside `waymark run`.

usage: jalv.py WAYMARK PLUGIN_BUNDLE JACK_PLAYER (empty if there is none)
"""
import contextlib
import os
import shutil
import subprocess
import sys
import tempfile
import time

try:
    import take as takes
except ImportError:
    print("1..0 # SKIP python3-mido is not here")
    sys.exit(0)

waymark, bundle, player = sys.argv[1:]
TAG = {"source": 1, "tag_channel": 1, "early": 0.25}
TAG_OPTIONS = ("--source", "chart", "--tag-channel", "1", "--early", "0.25")


def ports(env):
    return subprocess.run(["jack_lsp"], env=env, capture_output=True, text=True,
                          check=False).stdout.split()


@contextlib.contextmanager
def host(folder, chart, controls, period):
    """jalv with the guide in it; gives the environment of its JACK server."""
    env = dict(os.environ, JACK_DEFAULT_SERVER=f"waymark{os.getpid()}",
               JACK_NO_AUDIO_RESERVATION="1", LV2_PATH=takes.lv2_path(folder, bundle))
    state = os.path.join(folder, "state")
    os.mkdir(state)
    with open(os.path.join(state, "state.ttl"), "w", encoding="ascii") as f:
        f.write(takes.preset(chart, controls))
    with open(os.path.join(folder, "log"), "w", encoding="ascii") as log:
        jackd = subprocess.Popen(
            ["jackd", "-n", env["JACK_DEFAULT_SERVER"], "--no-realtime", "--no-mlock", "-d",
             "dummy", "-r", str(takes.RATE), "-p", str(period), "-C", "0", "-P", "0"],
            stdout=log, stderr=log)
        jalv = None
        try:
            subprocess.run(["jack_wait", "-t", "10", "-w"], env=env, check=True,
                           stdout=log, stderr=log)
            jalv = subprocess.Popen(["jalv", "-i", "-x", "-n", "plug", "-l", state], env=env,
                                    stdout=log, stderr=log, stdin=subprocess.DEVNULL)
            for _ in range(200):
                if "plug:marks" in ports(env):
                    break
                time.sleep(0.05)
            else:
                raise AssertionError("jalv has no port plug:marks")
            yield env
            assert jalv.poll() is None, "jalv has ended by itself"
        finally:
            for process in (jalv, jackd):
                if process:
                    process.terminate()
                    process.wait(20)


def read(path):
    with open(path, encoding="ascii") as f:
        rows = [line.split() for line in f]
    return [(int(row[0]), bytes(int(b, 16) for b in row[1:])) for row in rows]


def play(take, chart, controls, period=256, times=1):
    """Through jalv; what came out of both outputs."""
    with tempfile.TemporaryDirectory() as folder:
        with host(folder, chart, controls, period) as env:
            command = [player, "-n", str(times), "-m", "{}/{}".format(*take.metre)]
            for frame, bpm in take.tempos:
                command += ["-t", f"{frame}:{bpm}"]
            last = 0
            for name, events in take.tracks.items():
                path = os.path.join(folder, name)
                with open(path, "w", encoding="ascii") as f:
                    for frame, message in take.sorted(name):
                        f.write(f"{frame} {message.hex(' ')}\n")
                        last = max(last, frame)
                command += ["-p", f"plug:{name}:{path}"]
            for name in ("out", "marks"):
                command += ["-r", f"plug:{name}:{os.path.join(folder, name)}.got"]
            command += ["-l", str(last + 2400)]
            subprocess.run(command, env=env, check=True, timeout=120)
        return [read(os.path.join(folder, name + ".got")) for name in ("out", "marks")]


def through_run(take, chart, *options):
    with tempfile.TemporaryDirectory() as folder:
        return takes.through_run(waymark, folder, take, chart, *options)


def compare(take, chart, controls, options, frames=0, **more):
    """Both ways; events and marks are the same."""
    out, marks = play(take, chart, controls, **more)
    events, expected = through_run(take, chart, *options)
    takes.must_match(take, out, events, frames, "event")
    takes.must_match(take, takes.lane_notes(marks)[:len(expected)], expected, frames, "mark")
    assert not takes.hanging(out) and not takes.hanging(marks)


def tagged_over_a_chart():
    take = takes.Take()
    takes.improvise(take, 24, 1)
    compare(take, takes.CHART, TAG, TAG_OPTIONS)


def snapped_and_moved_with_long_blocks():
    take = takes.Take()
    takes.improvise(take, 24, 2)
    compare(take, takes.CHART, {"source": 1, "handling": 2, "material": 0, "held": 2},
            ("--source", "chart", "--handling", "snap", "--material", "triad", "--held",
             "move"), period=1024)


def filtered_over_a_chord_track_with_short_blocks():
    take = takes.Take()
    takes.improvise(take, 12, 3)
    takes.comp(take, 12, [(48, 52, 55, 59), (45, 48, 52, 55), (50, 53, 57, 60)])
    compare(take, None, {"source": 2, "handling": 1, "material": 5},
            ("--source", "track", "--handling", "filter"), frames=1, period=64)


def tempo_changes():
    take = takes.Take(((0, 120), (24000 * 8, 100), (24000 * 8 + 28800 * 12, 150)))
    takes.improvise(take, 16, 4)
    # The timebase tells places in 1920ths of a beat, which is coarser than a frame.
    compare(take, takes.CHART, TAG, TAG_OPTIONS, frames=1)


def six_eight():
    take = takes.Take(((0, 180),), (6, 8))
    takes.improvise(take, 16, 5)
    compare(take, takes.WALTZ, TAG, TAG_OPTIONS)


def located_back_to_the_start():
    take = takes.Take()
    takes.improvise(take, 8, 6)
    last = take.sorted("melody")[-1][0]
    out, marks = play(take, takes.CHART, TAG, times=2)
    for events in (out, takes.lane_notes(marks)):
        second = next(i for i in range(1, len(events)) if events[i][0] < events[i - 1][0])
        # The transport rolls on for a while behind the last note.
        passes = [[e for e in part if e[0] <= last]
                  for part in (events[:second], events[second:])]
        assert passes[0] == passes[1], passes


def bypassed():
    take = takes.Take()
    takes.improvise(take, 4, 7)
    out, marks = play(take, takes.CHART, {"enabled": 0, **TAG})
    assert out == take.sorted("melody") and not marks


if not player or not all(map(shutil.which, ("jackd", "jack_lsp", "jack_wait", "jalv"))):
    takes.skip("JACK or jalv is not here (sh tests/run.sh --hosts)")
    sys.exit(0)
sys.exit(takes.tap([(f.__name__, f) for f in (
    tagged_over_a_chart, snapped_and_moved_with_long_blocks,
    filtered_over_a_chord_track_with_short_blocks, tempo_changes, six_eight,
    located_back_to_the_start, bypassed)]) != 0)

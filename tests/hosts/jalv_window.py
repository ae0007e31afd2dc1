#!/usr/bin/python3
"""The window in jalv.gtk3, on a display and a JACK server of its own, while a take plays.

usage: jalv_window.py WAYMARK PLUGIN_BUNDLE JACK_PLAYER (empty if there is none)

With WAY_PICTURES set to a folder, the pictures taken of the display are kept there.
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
TOOLS = ("jackd", "jack_lsp", "jack_wait", "jalv.gtk3", "Xvfb", "import")
WIDTH, HEIGHT = 1280, 800


@contextlib.contextmanager
def running(command, env, log):
    process = subprocess.Popen(command, env=env, stdout=log, stderr=log,
                               stdin=subprocess.DEVNULL)
    try:
        yield process
    finally:
        process.terminate()
        process.wait(20)


def display(log):
    """An X server and the name of its display."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{WIDTH}x{HEIGHT}x24",
         "-nolisten", "tcp"], pass_fds=[write], stdout=log, stderr=log)
    os.close(write)
    with os.fdopen(read) as f:
        return server, ":" + f.readline().strip()


def wait_for_port(env, name):
    for _ in range(200):
        found = subprocess.run(["jack_lsp"], env=env, capture_output=True, text=True,
                               check=False).stdout.split()
        if name in found:
            return
        time.sleep(0.05)
    raise AssertionError(f"no port {name}")


def picture(env, folder, name):
    """The display as (width, height, bytes of red, green and blue)."""
    raw = subprocess.run(["import", "-window", "root", "-depth", "8", "rgb:-"], env=env,
                         check=True, capture_output=True).stdout
    assert len(raw) == WIDTH * HEIGHT * 3, len(raw)
    kept = os.environ.get("WAY_PICTURES")
    if kept:
        subprocess.run(["import", "-window", "root", os.path.join(kept, name)], env=env,
                       check=True)
    return raw


def colours(raw):
    """How many points have each colour."""
    counts = {}
    for i in range(0, len(raw), 3):
        key = raw[i:i + 3]
        counts[key] = counts.get(key, 0) + 1
    return counts


@contextlib.contextmanager
def host(folder, chart):
    env = dict(os.environ, JACK_DEFAULT_SERVER=f"waymark{os.getpid()}", GDK_BACKEND="x11",
               JACK_NO_AUDIO_RESERVATION="1", LV2_PATH=takes.lv2_path(folder, bundle))
    state = os.path.join(folder, "state")
    os.mkdir(state)
    with open(os.path.join(state, "state.ttl"), "w", encoding="ascii") as f:
        f.write(takes.preset(chart, {"source": 1}))
    with open(os.path.join(folder, "log"), "w", encoding="ascii") as log, \
            contextlib.ExitStack() as stack:
        server, env["DISPLAY"] = display(log)
        stack.callback(lambda: (server.terminate(), server.wait(20)))
        jackd = ["jackd", "-n", env["JACK_DEFAULT_SERVER"], "--no-realtime", "--no-mlock",
                 "-d", "dummy", "-r", str(takes.RATE), "-p", "512", "-C", "0", "-P", "0"]
        stack.enter_context(running(jackd, env, log))
        subprocess.run(["jack_wait", "-t", "10", "-w"], env=env, check=True, stdout=log,
                       stderr=log)
        jalv = stack.enter_context(running(
            ["jalv.gtk3", "-x", "-n", "plug", "-l", state], env, log))
        wait_for_port(env, "plug:marks")
        time.sleep(1.5) # until its window stands
        yield env
        assert jalv.poll() is None, "jalv has ended by itself"


def plays_in_its_window():
    take = takes.Take()
    takes.improvise(take, 8, 1, controllers=False)
    with tempfile.TemporaryDirectory() as folder:
        with host(folder, takes.CHART) as env:
            before = picture(env, folder, "jalv-still.png")
            path = os.path.join(folder, "melody")
            with open(path, "w", encoding="ascii") as f:
                for frame, message in take.sorted("melody"):
                    f.write(f"{frame} {message.hex(' ')}\n")
            with running([player, "-w", "-m", "4/4", "-t", "0:120", "-p",
                          f"plug:melody:{path}", "-l", str(12 * takes.RATE)], env,
                         subprocess.DEVNULL):
                time.sleep(7)
                during = picture(env, folder, "jalv-playing.png")
                time.sleep(0.5)
                later = picture(env, folder, "jalv-later.png")
    there = colours(during)
    for name, colour in (("chord tones", (0x00, 0x9E, 0x73)), ("scale tones",
                                                                (0x56, 0xB4, 0xE9))):
        assert there.get(bytes(colour), 0) > 200, f"no {name} in the picture"
    changed = sum(a != b for a, b in zip(before, during))
    assert changed > 5000, f"only {changed} bytes changed since before it played"
    moved = sum(a != b for a, b in zip(during, later))
    assert moved > 300, f"only {moved} bytes changed in half a second"


if not player or not all(map(shutil.which, TOOLS)):
    takes.skip("JACK, jalv.gtk3, Xvfb or import is not here (sh tests/run.sh --hosts)")
    sys.exit(0)
sys.exit(takes.tap([(f.__name__, f) for f in (plays_in_its_window,)]) != 0)

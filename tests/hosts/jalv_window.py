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
    import display
    import take as takes
except ImportError:
    print("1..0 # SKIP python3-mido is not here")
    sys.exit(0)

waymark, bundle, player = sys.argv[1:]
TOOLS = ("jackd", "jack_lsp", "jack_wait", "jalv.gtk3", "Xvfb", "import", "convert")
SIZE = 1280, 800
LIGHT = bytes((0xF7, 0xF6, 0xF2)) # the ground of core/draw/theme.c


def has_port(env, name):
    return name in subprocess.run(["jack_lsp"], env=env, capture_output=True, text=True,
                                  check=False).stdout.split()


@contextlib.contextmanager
def host(folder, chart, look=None):
    env = dict(os.environ, JACK_DEFAULT_SERVER=f"waymark{os.getpid()}", GDK_BACKEND="x11",
               JACK_NO_AUDIO_RESERVATION="1", LV2_PATH=takes.lv2_path(folder, bundle))
    state = os.path.join(folder, "state")
    os.mkdir(state)
    with open(os.path.join(state, "state.ttl"), "w", encoding="ascii") as f:
        f.write(takes.preset(chart, {"source": 1}, look))
    with open(os.path.join(folder, "log"), "w", encoding="ascii") as log, \
            contextlib.ExitStack() as stack:
        env["DISPLAY"] = stack.enter_context(display.opened(SIZE, log))
        jackd = ["jackd", "-n", env["JACK_DEFAULT_SERVER"], "--no-realtime", "--no-mlock",
                 "-d", "dummy", "-r", str(takes.RATE), "-p", "512", "-C", "0", "-P", "0"]
        stack.enter_context(display.running(jackd, env, log))
        subprocess.run(["jack_wait", "-t", "10", "-w"], env=env, check=True, stdout=log,
                       stderr=log)
        jalv = stack.enter_context(display.running(
            ["jalv.gtk3", "-x", "-n", "plug", "-l", state], env, log))
        display.wait_for("its ports", 20, lambda: has_port(env, "plug:marks"))
        time.sleep(1.5) # until its window stands
        yield env
        assert jalv.poll() is None, "jalv has ended by itself"


def plays_in_its_window():
    take = takes.Take()
    takes.improvise(take, 8, 1, controllers=False)
    with tempfile.TemporaryDirectory() as folder:
        with host(folder, takes.CHART) as env:
            before = display.picture(env, SIZE, "jalv-still.png")
            path = os.path.join(folder, "melody")
            with open(path, "w", encoding="ascii") as f:
                for frame, message in take.sorted("melody"):
                    f.write(f"{frame} {message.hex(' ')}\n")
            play = [player, "-w", "-m", "4/4", "-t", "0:120", "-p",
                    f"plug:melody:{path}", "-l", str(12 * takes.RATE)]
            with display.running(play, env, subprocess.DEVNULL):
                time.sleep(7)
                during = display.picture(env, SIZE, "jalv-playing.png")
                time.sleep(0.5)
                later = display.picture(env, SIZE, "jalv-later.png")
    assert display.has_roles(during), "no signs in the picture"
    changed = display.apart(before, during)
    assert changed > 5000, f"only {changed} bytes changed since before it played"
    moved = display.apart(during, later)
    assert moved > 300, f"only {moved} bytes changed in half a second"


def comes_back_as_it_was_left():
    """The look of a saved state, which another process wrote."""
    with tempfile.TemporaryDirectory() as folder:
        with host(folder, takes.CHART, "theme: light; instrument: keyboard") as env:
            display.wait_for("the light theme", 20, lambda: display.colours(
                display.picture(env, SIZE, "jalv-look.png")).get(LIGHT, 0) > 200000)


if not player or not all(map(shutil.which, TOOLS)):
    takes.skip("JACK, jalv.gtk3, Xvfb or ImageMagick is not here (sh tests/run.sh --hosts)")
    sys.exit(0)
sys.exit(takes.tap([(f.__name__, f) for f in (
    plays_in_its_window, comes_back_as_it_was_left)]) != 0)

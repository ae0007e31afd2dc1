#!/usr/bin/python3
"""The window in Ardour's own, on a display of its own, while a take plays.

usage: ardour_window.py WAYMARK PLUGIN_BUNDLE PRESETS_BUNDLE

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
    from ardour_session import Session, shifted
except ImportError:
    print("1..0 # SKIP python3-mido is not here")
    sys.exit(0)

waymark, *bundles = sys.argv[1:]
TOOLS = ("ardour", "ardour7-lua", "Xvfb", "import", "convert", "xdotool")
SIZE = 1600, 1000
WINDOW = 900, 420
LIGHT = bytes((0xF7, 0xF6, 0xF2)) # the ground of core/draw/theme.c
# An engine that starts without being asked for; ports of no device.
CONFIG = """<?xml version="1.0" encoding="UTF-8"?>
<Ardour>
  <Config>
    <Option name="try-autostart-engine" value="1"/>
    <Option name="hide-dummy-backend" value="0"/>
  </Config>
  <Extra>
    <AudioMIDISetup>
      <EngineStates>
        <State backend="None (Dummy)" driver="Normal Speed" device="Silence"
          input-device="Silence" output-device="Silence" sample-rate="48000"
          buffer-size="1024" n-periods="0" input-latency="0" output-latency="0"
          input-channels="0" output-channels="0" active="1" use-buffered-io="0"
          midi-option="" lru="1"/>
      </EngineStates>
    </AudioMIDISetup>
  </Extra>
</Ardour>
"""


def make_session(folder):
    """A session whose plug-in window is open."""
    take = shifted(takes.Take(), lambda part: takes.improvise(part, 14, 1,
                                                              controllers=False))
    session = Session(folder, bundles, take, takes.CHART, {"source": 1})
    words = [w for w in session.stage("put", "preset=Session") if w[0] == "PLUGIN"][0]
    path = os.path.join(folder, "session", "session.ardour")
    with open(path, encoding="utf-8") as f:
        text = f.read()
    window = (f'<Extra><UI><Window name="P-{words[1]}-{words[2]}" visible="1" x-off="340" '
              'y-off="330" x-size="900" y-size="454" custom-ui="1"/></UI></Extra>')
    with open(path, "w", encoding="utf-8") as f:
        f.write(text.replace("</Session>", window + "</Session>"))
    home = os.path.join(folder, "home", ".config", "ardour7")
    os.makedirs(home, exist_ok=True)
    with open(os.path.join(home, "config"), "w", encoding="ascii") as f:
        f.write(CONFIG)
    with open(os.path.join(home, ".a7"), "w", encoding="ascii"):
        pass # it has been here before: no questions
    return session


def tool(env, *words):
    done = subprocess.run(["xdotool", *words], env=env, capture_output=True, text=True,
                          check=False, timeout=30)
    return done.stdout.split()


def windows(env, name):
    """The windows with a name, and their sizes."""
    found = {}
    for window in tool(env, "search", "--name", name):
        words = tool(env, "getwindowgeometry", "--shell", window)
        sizes = dict(w.split("=", 1) for w in words if "=" in w)
        found[window] = (int(sizes.get("WIDTH", 0)), int(sizes.get("HEIGHT", 0)))
    return found


def own_window(env):
    """The guide's own window in Ardour's."""
    return next((w for w, size in windows(env, "^Waymark$").items() if size == WINDOW), None)


@contextlib.contextmanager
def opened(session):
    """Ardour with its session; environment, its window and the guide's."""
    env = dict(session.env, ARDOUR_TRY_AUTOSTART_ENGINE="1")
    log_path = os.path.join(session.folder, "log")
    with open(log_path, "w", encoding="utf-8") as log, \
            display.opened(SIZE, log) as env["DISPLAY"], \
            display.running(["ardour", "-n", os.path.join(session.folder, "session",
                                                          "session.ardour")], env, log) as host:
        try:
            guide = display.wait_for("the guide's window", 120, lambda: own_window(env))
        except AssertionError as e:
            display.picture(env, SIZE, "ardour-without.png")
            with open(log_path, encoding="utf-8", errors="replace") as f:
                raise AssertionError(f"{e}\n{f.read()[-1500:]}") from e
        main = display.wait_for("its window", 60,
                                lambda: next(iter(windows(env, "session.* - Ardour")), None))
        yield env, main, guide
        assert host.poll() is None, "Ardour has ended by itself"


def press(env, window, key):
    tool(env, "windowfocus", window)
    time.sleep(0.3)
    tool(env, "key", key)


def grounds(env, guide):
    counts = display.colours(display.picture(env, WINDOW, "ardour-look.png", guide))
    return counts.get(LIGHT, 0) > 100000


def plays_and_comes_back_as_it_was_left():
    with tempfile.TemporaryDirectory() as folder:
        session = make_session(folder)
        with opened(session) as (env, main, guide):
            display.wait_for("signs", 30, lambda: display.has_roles(
                display.picture(env, WINDOW, "ardour-still.png", guide)))
            before = display.picture(env, WINDOW, "ardour-still.png", guide)
            press(env, guide, "space") # no key of the guide's: it goes on to Ardour
            time.sleep(9)
            during = display.picture(env, WINDOW, "ardour-window.png", guide)
            display.picture(env, SIZE, "ardour-playing.png")
            time.sleep(0.5)
            later = display.picture(env, WINDOW, "ardour-later.png", guide)
            assert display.has_roles(during), "no signs in the picture"
            assert display.apart(before, during) > 5000
            assert display.apart(during, later) > 300
            # Keys reach the guide; what it changes is saved with the session.
            press(env, guide, "shift+t")
            display.wait_for("the light theme", 10, lambda: grounds(env, guide))
            press(env, main, "ctrl+s")
            time.sleep(3)
        with opened(session) as (env, main, guide): # another process
            display.wait_for("the look it had", 10, lambda: grounds(env, guide))


missing = [name for name in TOOLS if not shutil.which(name)]
if missing:
    takes.skip(f"{', '.join(missing)} not here (sh tests/run.sh --hosts)")
    sys.exit(0)
sys.exit(takes.tap([(f.__name__, f) for f in (plays_and_comes_back_as_it_was_left,)]) != 0)

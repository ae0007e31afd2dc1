#!/usr/bin/python3
"""The guide in Ardour: chord track in the side chain, tempo map, presets, sessions.

What Ardour records of both outputs is compared with `waymark run`, event by event.
usage: ardour.py WAYMARK PLUGIN_BUNDLE PRESETS_BUNDLE
"""
import os
import shutil
import subprocess
import sys
import tempfile

try:
    import mido
    import take as takes
except ImportError:
    print("1..0 # SKIP python3-mido is not here")
    sys.exit(0)

waymark, bundle, presets = sys.argv[1:]
LUA = os.path.join(os.path.dirname(os.path.abspath(__file__)), "ardour.lua")
# The first bar is silent, because recording begins a little late.
LEAD = 4
# Ardour keeps notes in 1920ths of a beat, going in and coming out.
SLACK = 40
CONTROLS = {"start_bar": 2, "tag_channel": 1, "early": 0.25}


class Session:
    """A session on disk, and what it takes to start Ardour on it."""

    def __init__(self, folder, take, chart, controls):
        self.folder, self.take, self.chart = folder, take, chart
        own = os.path.join(folder, "own.lv2")
        os.mkdir(own)
        with open(os.path.join(own, "manifest.ttl"), "w", encoding="ascii") as f:
            f.write(takes.preset(chart, controls).replace("<>", "<urn:test:preset>"))
        os.mkdir(os.path.join(folder, "home"))
        self.env = dict(os.environ, HOME=os.path.join(folder, "home"),
                        LV2_PATH=takes.lv2_path(folder, bundle, presets, own))
        # Set by meson; Ardour does not live through its own end with it.
        self.env.pop("MALLOC_PERTURB_", None)
        self.end = take.sorted("melody")[-1][0]
        beats = take.tick(self.end) // take.beat + 1 - LEAD
        tempos = ",".join(f"{frame}:{bpm}" for frame, bpm in take.tempos)
        for words in self.stage("make", f"tempos={tempos}", f"beats={beats}",
                                f"lead={LEAD}"):
            if words[0] == "SOURCE":
                self.write_source(*words[1:])

    def write_source(self, track, path):
        """Put a track's notes into the region that was made for them."""
        part = takes.Take()
        lead = LEAD * self.take.beat
        part.tracks["melody"] = [(self.take.tick(frame) - lead, message)
                                 for frame, message in self.take.tracks[track]]
        part.write(path)
        merged = mido.merge_tracks(mido.MidiFile(path).tracks)
        mido.MidiFile(type=0, ticks_per_beat=part.division, tracks=[merged]).save(path)

    def stage(self, name, *more):
        """Run ardour.lua; the lines it prints, as words."""
        done = subprocess.run(
            ["ardour7-lua", LUA, f"stage={name}", f"dir={self.folder}/session",
             f"uri={takes.GUIDE}", *more], env=self.env, capture_output=True, text=True,
            timeout=120, check=False)
        if done.returncode:
            raise AssertionError(f"Ardour: {done.stdout[-1000:]}\n{done.stderr[-1000:]}")
        return [line.split("\t") for line in done.stdout.splitlines() if "\t" in line]

    def recorded(self, lines):
        """What was captured of each output: notes, with the frames they came at."""
        outputs = []
        for words in lines:
            if words[0] != "CAPTURE":
                continue
            path, position, latency = words[2], int(words[3]), int(words[4])
            file = mido.MidiFile(path)
            tick, events = 0, []
            for message in mido.merge_tracks(file.tracks):
                tick += message.time
                if message.type in ("note_on", "note_off"):
                    at = self.take.tick(position) + tick / file.ticks_per_beat * \
                        self.take.division
                    events.append((self.take.frame(at) + latency, bytes(message.bytes())))
            outputs.append(events)
        return outputs

    def play(self, *more):
        lines = self.stage("play", "preset=Session", f"upto={self.end + 24000}", *more)
        return lines, *self.recorded(lines)

    def again(self):
        lines = self.stage("again", f"upto={self.end + 24000}")
        return lines, *self.recorded(lines)

    def compare(self, out, marks, *options):
        events, expected = takes.through_run(waymark, self.folder, self.take, self.chart,
                                             "--start-bar", "2", *options)
        got = takes.lane_notes(marks)[:len(expected)]
        takes.must_match(self.take, *in_order(out, events), SLACK, "event")
        takes.must_match(self.take, *in_order(got, expected), SLACK, "mark")
        assert not takes.hanging(out) and not takes.hanging(marks)


def in_order(got, expected):
    """Both with what comes at one time in an order of its own: Ardour sorts notes."""
    ends = [i for i in range(1, len(expected))
            if expected[i][0] - expected[i - 1][0] > SLACK] + [len(got) + len(expected)]
    return [sum((sorted(events[start:end], key=lambda e: e[1:])
                 for start, end in zip([0] + ends, ends)), []) for events in (got, expected)]


def shifted(take, draw):
    """Draw what is played, and let it begin behind the silent bar."""
    part = takes.Take(take.tempos[:1])
    draw(part)
    lead = LEAD * take.beat
    for name, events in part.tracks.items():
        take.tracks[name] += [(round(take.frame(frame + lead)), m) for frame, m in events]
    return take


def chart_tempo_map_and_reopened_session():
    take = shifted(takes.Take(((0, 120), (24000 * 16, 96), (24000 * 16 + 30000 * 8, 144))),
                   lambda part: takes.improvise(part, 10, 1, controllers=False))
    options = ("--source", "chart", "--tag-channel", "1", "--early", "0.25")
    with tempfile.TemporaryDirectory() as folder:
        session = Session(folder, take, takes.CHART, {**CONTROLS, "source": 1})
        lines, out, marks = session.play()
        session.compare(out, marks, *options)
        labels = [words[1] for words in lines if words[0] == "PRESET"]
        assert "1 Five notes all the way" in labels and len(labels) > 10, labels
        # The next day.
        lines, out, marks = session.again()
        values = [float(words[2]) for words in lines if words[0] == "CONTROL"]
        # handling, material, ... start bar: in the order of the ports.
        assert values == [1, 0, 5, 0, 0, 1, 0.25, 0, 16, 48, 1, 2, 16, 0], values
        session.compare(out, marks, *options)


def chord_track_in_the_side_chain():
    def draw(part):
        takes.improvise(part, 8, 2, controllers=False)
        takes.comp(part, 8, [(48, 52, 55, 59), (45, 48, 52, 55), (50, 53, 57, 60)])
    take = shifted(takes.Take(), draw)
    with tempfile.TemporaryDirectory() as folder:
        session = Session(folder, take, None,
                          {**CONTROLS, "source": 2, "handling": 2, "material": 1})
        _, out, marks = session.play()
        session.compare(out, marks, "--source", "track", "--tag-channel", "1", "--early",
                        "0.25", "--handling", "snap", "--material", "seventh")


def bypassed_under_a_held_note():
    beat = 24000
    take = takes.Take()
    # A C sharp over C is moved down to C.  Ardour runs at 20 times its speed, so bypass is
    # switched with beats to spare.
    take.note("melody", 5 * beat, 65 * beat, 61)
    take.note("melody", 50 * beat, beat, 73)
    take.note("melody", 120 * beat, beat, 73)
    with tempfile.TemporaryDirectory() as folder:
        session = Session(folder, take, "key: C major\n| C |",
                          {"source": 1, "handling": 2, "material": 0, "snap": 2})
        _, out, _ = session.play(f"off={8 * beat}", f"on={75 * beat}")
        notes = [(m[0] & 0xF0, m[1]) for _, m in out]
        assert notes == [(0x90, 60), (0x90, 73), (0x80, 73), (0x80, 60), (0x90, 72),
                         (0x80, 72)], out
        assert abs(out[3][0] - 70 * beat) <= SLACK, out


if not shutil.which("ardour7-lua"):
    takes.skip("Ardour is not here (sh tests/run.sh --hosts)")
    sys.exit(0)
sys.exit(takes.tap([(f.__name__, f) for f in (
    chart_tempo_map_and_reopened_session, chord_track_in_the_side_chain,
    bypassed_under_a_held_note)]) != 0)

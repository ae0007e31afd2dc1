"""Sessions of Ardour with the guide on a melody track, made and played by ardour.lua."""
import os
import subprocess

import mido
import take as takes

LUA = os.path.join(os.path.dirname(os.path.abspath(__file__)), "ardour.lua")
# The first bar is silent, because recording begins a little late.
LEAD = 4


class Session:
    """A session on disk, and what it takes to start Ardour on it."""

    def __init__(self, folder, bundles, take, chart, controls):
        self.folder, self.take, self.chart = folder, take, chart
        own = os.path.join(folder, "own.lv2")
        os.mkdir(own)
        with open(os.path.join(own, "manifest.ttl"), "w", encoding="ascii") as f:
            f.write(takes.preset(chart, controls).replace("<>", "<urn:test:preset>"))
        os.mkdir(os.path.join(folder, "home"))
        self.env = dict(os.environ, HOME=os.path.join(folder, "home"),
                        LV2_PATH=takes.lv2_path(folder, *bundles, own))
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
            timeout=240, check=False)
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


def shifted(take, draw):
    """Draw what is played, and let it begin behind the silent bar."""
    part = takes.Take(take.tempos[:1])
    draw(part)
    lead = LEAD * take.beat
    for name, events in part.tracks.items():
        take.tracks[name] += [(round(take.frame(frame + lead)), m) for frame, m in events]
    return take

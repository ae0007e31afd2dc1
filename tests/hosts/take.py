"""Takes for real hosts, and what `waymark run` makes of them.

A tick of the files written here is a frame of sound at the first tempo, so that times can
be compared exactly.
"""
import os
import random
import re
import subprocess

import mido

RATE = 48000
GUIDE = "urn:waymark:guide"
CHART = ("title: Gull Market\nkey: F major\ntempo: 120\n"
         "| F | Dm7>3 | Gm7 / C7 / | F |\n| Am7b5 D7b9 | Gm | N.C. | C7>b7 |\n")
WALTZ = "title: Lighthouse Jig\nkey: D minor\ntime: 6/8\n| Dm | A7 Dm | Bb>3 C7 | F A7 |\n"
# The lanes of docs/marks.md, by the words that a Marker of `waymark run` begins with.
LANES = [(r"role (again )?\S+ chord tone", 60), (r"role (again )?\S+ scale tone", 62),
         (r"role (again )?\S+ chromatic", 64), (r"landing (held )?\S+ target", 65),
         (r"landing (held )?\S+ chord tone", 67), (r"landing (held )?\S+ other", 69),
         ("change", 71), ("top", 72), ("resolution", 74), ("learned", 76)]
MAJOR = {"R": 0, "1": 0, "2": 2, "3": 4, "4": 5, "5": 7, "6": 9, "7": 11, "9": 2, "11": 5,
         "13": 9}


class Take:
    """Tempos and notes: frames and bytes, by track."""

    def __init__(self, tempos=((0, 120),), metre=(4, 4)):
        self.tempos, self.metre = tempos, metre
        self.tracks = {"melody": [], "chords": []}
        # Frames a quarter note lasts at the first tempo, which counts beats of the metre.
        self.division = round(RATE * 60 / tempos[0][1] * metre[1] / 4)
        self.beat = self.division * 4 // metre[1]

    def add(self, track, frame, *message):
        self.tracks[track].append((frame, bytes(message)))

    def note(self, track, frame, length, key, velocity=90, channel=0):
        self.add(track, frame, 0x90 | channel, key, velocity)
        self.add(track, frame + length, 0x80 | channel, key, 64)

    def sorted(self, track):
        """By frame; at one frame what ends comes first."""
        return sorted(self.tracks[track], key=lambda e: (e[0], e[1][0] & 0xF0 == 0x90))

    def frame(self, tick):
        """The frame of a tick, through all tempos."""
        frame, last, first = 0.0, 0, self.tempos[0][1]
        for at, (_, bpm) in zip(self.tempo_ticks(), self.tempos):
            if at > tick:
                break
            frame += (at - last) * first / bpm_before if at else 0
            last, bpm_before = at, bpm
        return frame + (tick - last) * first / bpm_before

    def tempo_ticks(self):
        ticks, tick = [], 0
        for i, (frame, _) in enumerate(self.tempos):
            if i:
                before, bpm = self.tempos[i - 1]
                tick += round((frame - before) * bpm / self.tempos[0][1])
            ticks.append(tick)
        return ticks

    def tick(self, frame):
        at = max(i for i, (start, _) in enumerate(self.tempos) if start <= frame)
        start, bpm = self.tempos[at]
        return self.tempo_ticks()[at] + round((frame - start) * bpm / self.tempos[0][1])

    def write(self, path):
        """As a MIDI file of format 1: tempo, melody, chords."""
        out = mido.MidiFile(type=1, ticks_per_beat=self.division)
        conductor = mido.MidiTrack()
        beats, unit = self.metre
        conductor.append(mido.MetaMessage("time_signature", numerator=beats,
                                          denominator=unit))
        last = 0
        for tick, (_, bpm) in zip(self.tempo_ticks(), self.tempos):
            conductor.append(mido.MetaMessage(
                "set_tempo", tempo=round(60e6 / bpm * unit / 4), time=tick - last))
            last = tick
        out.tracks.append(conductor)
        for name in ("melody", "chords"):
            track, last = mido.MidiTrack([mido.MetaMessage("track_name", name=name)]), 0
            for frame, message in self.sorted(name):
                tick = self.tick(frame)
                track.append(mido.Message.from_bytes(message, time=tick - last))
                last = tick
            out.tracks.append(track)
        out.save(path)


def improvise(take, bars, seed, controllers=True):
    """Notes on and beside the beat, some held over bar lines, with a wheel and a pedal."""
    rng = random.Random(seed)
    step = take.beat // 4
    frame = step
    end = bars * take.metre[0] * take.beat
    while frame < end - take.beat:
        length = rng.choice((step, 2 * step, 3 * step, 6 * step)) - rng.choice((0, 60, 600))
        take.note("melody", frame, length, rng.randrange(50, 84), rng.randrange(1, 128))
        if not rng.randrange(6) and controllers:
            take.add("melody", frame + 30, 0xB0, 1, rng.randrange(128))
        # Legato now and then; beside the grid now and then, but on whole ticks of any tempo.
        frame += max(length, 30) if rng.randrange(3) else length + rng.choice((0, 300, step))
        frame -= frame % 30


def comp(take, bars, chords):
    """A chord a bar on the chord track, a little broken."""
    bar = take.metre[0] * take.beat
    for i in range(bars):
        for k, key in enumerate(chords[i % len(chords)]):
            take.note("chords", i * bar + 60 * k, bar - 3000, key, 70, 2)


def semitones(degree):
    sign = degree.rstrip("R0123456789")
    return (MAJOR[degree[len(sign):]] + sign.count("#") - sign.count("b")) % 12


def lane(text):
    """Number and velocity of the note that stands for a Marker."""
    number = next(n for words, n in LANES if re.match(words, text))
    degree = re.match(r"(?:role(?: again)?|landing(?: held)?|resolution) (\S+)", text)
    return number, semitones(degree[1]) + 1 if degree else 100


def through_run(waymark, folder, take, chart, *options):
    """What `waymark run` sends: melody events, and its marks as notes on lanes."""
    path, out = os.path.join(folder, "take.mid"), os.path.join(folder, "run.mid")
    take.write(path)
    command = [waymark, "run", path, "-o", out, "--track", "melody", *options]
    if chart:
        with open(os.path.join(folder, "song.chart"), "w", encoding="ascii") as f:
            f.write(chart)
        command += ["--chart", f.name]
    if take.tracks["chords"]:
        command += ["--chord-track", "chords"]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    tracks = mido.MidiFile(out).tracks
    events, marks = [], []
    tick = 0
    for message in tracks[1]:
        tick += message.time
        if not message.is_meta:
            events.append((take.frame(tick), bytes(message.bytes())))
    tick = 0
    for message in tracks[-1]:
        tick += message.time
        if message.type == "marker":
            marks.append((take.frame(tick), *lane(message.text)))
    return events, marks


def lane_notes(events):
    """The note-ons of a recorded marks port, as (frame, number, velocity)."""
    return [(frame, m[1], m[2]) for frame, m in events if m[0] & 0xF0 == 0x90 and m[2]]


def hanging(events):
    """The notes that sound at the end."""
    sounding = {}
    for _, m in events:
        if m[0] & 0xE0 == 0x80:
            key = (m[0] & 15, m[1])
            on = m[0] >= 0x90 and m[2]
            sounding[key] = max(0, sounding.get(key, 0) + (1 if on else -1))
    return [key for key, n in sounding.items() if n]


def must_match(take, got, expected, frames, what):
    """The same events in the same order, each within some frames of the other.

    On a beat half a tick of music is fine, too: what comes by itself comes on the first
    frame that is nearer to its tick than to the one before.
    """
    half = take.division / 3840 / 2 + 1
    for i, (a, b) in enumerate(zip(got, expected)):
        apart = abs(a[0] - b[0])
        on_beat = take.tick(round(b[0])) % take.beat == 0
        if a[1:] != b[1:] or apart > frames and not (on_beat and apart <= half):
            around = [f"  {x} {y}" for x, y in zip(got[max(0, i - 3):i + 3],
                                                   expected[max(0, i - 3):i + 3])]
            raise AssertionError(f"{what} {i}: {a} in the host, {b} in waymark run\n"
                                 + "\n".join(around))
    assert len(got) == len(expected), \
        f"{len(got)} {what}s in the host, {len(expected)} in waymark run"
    assert got, f"no {what}s"


def preset(chart, controls, look=None):
    """A preset with a chart in it, and a look, as Turtle."""
    ports = " , ".join(f'[ lv2:symbol "{symbol}" ; pset:value {float(value)} ]'
                       for symbol, value in controls.items())
    text = (chart or "").replace("\n", "\\n")
    more = f' ; <{GUIDE}#look> "{look}"' if look else ""
    return f"""@prefix lv2: <http://lv2plug.in/ns/lv2core#> .
@prefix pset: <http://lv2plug.in/ns/ext/presets#> .
@prefix rdfs: <http://www.w3.org/2000/01/rdf-schema#> .
@prefix state: <http://lv2plug.in/ns/ext/state#> .
<> a pset:Preset ; lv2:appliesTo <{GUIDE}> ; rdfs:label "Session" ;
  lv2:port {ports} ;
  state:state [ <{GUIDE}#chartText> "{text}"{more} ] .
"""


def lv2_path(folder, *bundles):
    """Lay out a folder for LV2_PATH with these bundles in it."""
    place = os.path.join(folder, "lv2")
    os.makedirs(place, exist_ok=True)
    for i, bundle in enumerate(bundles):
        os.symlink(os.path.abspath(bundle), os.path.join(place, f"{i}.lv2"))
    return place + ":/usr/lib/lv2:/usr/local/lib/lv2"


def tap(cases):
    """Run named functions, print TAP; the number of those that failed."""
    print(f"1..{len(cases)}")
    failed = 0
    for i, (name, case) in enumerate(cases, 1):
        try:
            case()
            print(f"ok {i} - {name}", flush=True)
        except Exception as e:  # whatever a host does, the other cases go on
            failed += 1
            print(f"not ok {i} - {name}", flush=True)
            for line in f"{type(e).__name__}: {e}".splitlines():
                print("#", line)
    return failed


def skip(why):
    print(f"1..0 # SKIP {why}")

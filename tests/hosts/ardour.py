#!/usr/bin/python3
"""The guide in Ardour: chord track in the side chain, tempo map, presets, sessions.

What Ardour records of both outputs is compared with `waymark run`, event by event.
usage: ardour.py WAYMARK PLUGIN_BUNDLE PRESETS_BUNDLE
"""
import os
import shutil
import sys
import tempfile

try:
    import take as takes
    from ardour_session import Session, shifted
except ImportError:
    print("1..0 # SKIP python3-mido is not here")
    sys.exit(0)

waymark, bundle, presets = sys.argv[1:]
# Ardour keeps notes in 1920ths of a beat, going in and coming out.
SLACK = 40
CONTROLS = {"start_bar": 2, "tag_channel": 1, "early": 0.25}


def in_order(got, expected):
    """Both with what comes at one time in an order of its own: Ardour sorts notes."""
    ends = [i for i in range(1, len(expected))
            if expected[i][0] - expected[i - 1][0] > SLACK] + [len(got) + len(expected)]
    return [sum((sorted(events[start:end], key=lambda e: e[1:])
                 for start, end in zip([0] + ends, ends)), []) for events in (got, expected)]


def compare(session, out, marks, *options):
    events, expected = takes.through_run(waymark, session.folder, session.take,
                                         session.chart, "--start-bar", "2", *options)
    got = takes.lane_notes(marks)[:len(expected)]
    takes.must_match(session.take, *in_order(out, events), SLACK, "event")
    takes.must_match(session.take, *in_order(got, expected), SLACK, "mark")
    assert not takes.hanging(out) and not takes.hanging(marks)


def chart_tempo_map_and_reopened_session():
    take = shifted(takes.Take(((0, 120), (24000 * 16, 96), (24000 * 16 + 30000 * 8, 144))),
                   lambda part: takes.improvise(part, 10, 1, controllers=False))
    options = ("--source", "chart", "--tag-channel", "1", "--early", "0.25")
    with tempfile.TemporaryDirectory() as folder:
        session = Session(folder, [bundle, presets], take, takes.CHART,
                          {**CONTROLS, "source": 1})
        lines, out, marks = session.play()
        compare(session, out, marks, *options)
        labels = [words[1] for words in lines if words[0] == "PRESET"]
        assert "1 Five notes all the way" in labels and len(labels) > 10, labels
        # The next day.
        lines, out, marks = session.again()
        values = [float(words[2]) for words in lines if words[0] == "CONTROL"]
        # handling, material, ... start bar: in the order of the ports.
        assert values == [1, 0, 5, 0, 0, 1, 0.25, 0, 16, 48, 1, 2, 16, 0], values
        compare(session, out, marks, *options)


def chord_track_in_the_side_chain():
    def draw(part):
        takes.improvise(part, 8, 2, controllers=False)
        takes.comp(part, 8, [(48, 52, 55, 59), (45, 48, 52, 55), (50, 53, 57, 60)])
    take = shifted(takes.Take(), draw)
    with tempfile.TemporaryDirectory() as folder:
        session = Session(folder, [bundle, presets], take, None,
                          {**CONTROLS, "source": 2, "handling": 2, "material": 1})
        _, out, marks = session.play()
        compare(session, out, marks, "--source", "track", "--tag-channel", "1", "--early",
                        "0.25", "--handling", "snap", "--material", "seventh")


def bypassed_under_a_held_note():
    beat = 24000
    take = takes.Take()
    # A C sharp over C is moved down to C.  Ardour runs at 5 times its speed, so bypass is
    # switched with beats to spare.
    take.note("melody", 5 * beat, 65 * beat, 61)
    take.note("melody", 50 * beat, beat, 73)
    take.note("melody", 120 * beat, beat, 73)
    with tempfile.TemporaryDirectory() as folder:
        session = Session(folder, [bundle, presets], take, "key: C major\n| C |",
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

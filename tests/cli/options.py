#!/usr/bin/env python3
"""One name for one thing: options.py WAYMARK SOURCE.

Reads the help of every command.  An option means the same everywhere, so it has the same
letter and takes a value of the same kind; a letter stands for one option.  What the
plug-in has as a control, `waymark run` has as an option of that name.  The manual page
lists each option as help does."""
import pathlib
import re
import subprocess
import sys

WAYMARK, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])
# Controls that mean nothing over a file.
LIVE_ONLY = {"enabled", "mark_channel", "marks_on_out", "marks_as_text"}
OPTION = re.compile(r"^  (?:-(\w), |    )--([a-z-]+)(?: (\S+))?(?:  |$| )", re.M)


def help_of(*words):
    return subprocess.run([WAYMARK, *words, "--help"], check=True, capture_output=True,
                          text=True).stdout


def options():
    """Every option: (command, letter, name, value)."""
    commands = re.findall(r"^  ([a-z]+) ", help_of(), re.M)
    return [(command, letter, name, value) for command in commands
            for letter, name, value in OPTION.findall(help_of(command))]


def manual():
    """Every option of the manual page: the same."""
    page = (SOURCE / "docs/waymark.1").read_text().replace("\\-", "-")
    found = []
    for part in page.split(".SS waymark ")[1:]:
        part = part.split("\n.SH ")[0]
        for line in re.findall(r"^\.TP\n\.BR? (.*)$", part, re.M):
            plain = re.sub(r'\\f[RI]|"|, ', " ", line)
            words = re.sub(r" (?=\|)|(?<=\|) | (?=\.\.)|(?<=\.\.) ", "", plain).split()
            letter = words.pop(0)[1:] if not words[0].startswith("--") else ""
            found.append((part.split()[0], letter, words[0][2:], "".join(words[1:])))
    return found


def standards():
    """What help and manual say is taken if an option is not given, where both do."""
    page = (SOURCE / "docs/waymark.1").read_text().replace("\\-", "-")
    told = []
    for part in page.split(".SS waymark ")[1:]:
        shown = dict(re.findall(r"--([a-z-]+) .* \((\S+)\)$", help_of(part.split()[0]),
                                re.M))
        for block in part.split("\n.TP\n")[1:]:
            name = re.search(r"--([a-z-]+)", block)[1]
            said = re.search(r"; ([^\s(]+?),? if not given", block)
            if said and name in shown:
                told.append((part.split()[0], name, shown[name], said[1]))
    return told


def unlike(rows, key, of):
    """What differs among rows with the same key."""
    seen, told = {}, []
    for row in rows:
        first = seen.setdefault(key(row), row)
        if of(first) != of(row):
            told.append(f"{first} {row}")
    return told


def missing():
    """Controls of the plug-in without an option of their name."""
    text = (SOURCE / "ttl/waymark.ttl").read_text()
    ports = re.findall(r"a lv2:InputPort , lv2:ControlPort.*?lv2:symbol \"(\w+)\"", text,
                       re.S)
    named = {name for command, _, name, _ in options() if command == "run"}
    return [p for p in ports if p not in LIVE_ONLY and p.replace("_", "-") not in named]


def main():
    rows = [row for row in options() if row[2] != "help"]
    page, told = manual(), standards()
    checks = {
        "an option has one letter and one kind of value": unlike(
            rows, lambda r: r[2], lambda r: (r[1], r[3])),
        "a letter stands for one option": unlike(
            [r for r in rows if r[1]], lambda r: r[1], lambda r: r[2]),
        "each control of the plug-in is an option of run": missing(),
        "help and manual take the same if an option is not given":
            [row for row in told if row[2] != row[3]] if len(told) > 30 else told or ["none"],
        "the manual page lists what help lists": sorted(set(rows) ^ set(page)),
    }
    print(f"1..{len(checks)}")
    for number, (title, found) in enumerate(checks.items(), 1):
        for line in found:
            print("#", line)
        print("not ok" if found or len(rows) < 100 else "ok", number, "-", title)


main()

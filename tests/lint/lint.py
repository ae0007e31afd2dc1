#!/usr/bin/env python3
"""Checks on the tree itself; print TAP.

usage: lint.py SOURCE_ROOT BUILD_ROOT [CHECK...]

CHECK is a part of a check's name; all run if none is given.  test_lint.py plants a breach
of each rule and wants to see it found.
"""
import os
import re
import subprocess
import sys

FLOORS = {"base": 0, "theory": 1, "time": 2, "live": 3, "chart": 3, "take": 4, "draw": 5,
          "cli": 6}
REAL_TIME = ("base", "theory", "time", "live")
DESK = ("chart", "take", "draw")
# What the two parts of the plug-in may use of the core.
PLUGIN = {"base", "theory", "time", "live", "chart"}
SCREEN = {"base", "theory", "time", "chart", "draw"}
# Headers of libraries, and the only places that may include them.
LIBRARIES = {
    r"lv2/|lilv/": r"plugin/|tests/",
    r"X11/": r"plugin/ui/window_x11\.|tests/",
    r"cairo|pango/": r"core/draw/|plugin/ui/(view|window_x11)\.|tests/",
    r"sqlite3": r"core/take/log\.|tests/",
    r"stdio\.h": r"core/(chart|take|draw|cli)/|plugin/|tests/",
    r"jansson": r"core/(chart|take|cli)/|tests/",
}
TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "meson.build", "plugin", "ttl", "core",
       "tests", "presets", "docs"}
# Commands have no header of their own: commands.h names them.
NO_HEADER = re.compile(r"core/cli/(main|cmd_\w+)\.c$")
UNFINISHED = re.compile(r"\b(TO" r"DO|FIX" r"ME|X" r"XX|HA" r"CK)\b")
SOURCES = (".c", ".h", ".py", ".sh", ".md", ".ttl", ".in", ".build", ".txt", ".1")
# All that a real-time library may ask of the C library: memory, strings, mathematics.
ALLOWED_SYMBOLS = re.compile(
    r"^(way_\w+|mem(cpy|move|set|cmp|chr)|bcmp|str(n?cmp|n?len|r?chr|spn|cspn|pbrk|str)"
    r"|(l?l?round|l?l?rint|floor|ceil|trunc|nearbyint|f?abs|fmod|remainder|modf|frexp"
    r"|ldexp|scalbn|exp2?|log(2|10)?|pow|sqrt|sin|cos|tan|atan2?|fmin|fmax|copysign)[fl]?"
    r"|_GLOBAL_OFFSET_TABLE_|__stack_chk_fail|__(asan|ubsan|tsan|sanitizer|gcov)_\w+"
    r"|__popcount[sdt]i2)$")
WRITABLE = (".data", ".bss", ".tdata", ".tbss", "*COM*")


def sources(root, *folders, ends=(".c", ".h")):
    """Paths below some folders (all if none given), relative to the root."""
    for folder in folders or (".",):
        for at, below, names in os.walk(os.path.join(root, folder)):
            below[:] = sorted(d for d in below if not re.match(
                r"build|\.git$|__pycache__|node_modules|\.cache", d))
            for name in sorted(names):
                if name.endswith(ends):
                    yield os.path.relpath(os.path.join(at, name), root)


def read(root, path):
    with open(os.path.join(root, path), encoding="utf-8") as f:
        return f.read()


def includes(root, path):
    """(line number, "quoted" or <angled>, what) of each include."""
    for number, line in enumerate(read(root, path).split("\n"), 1):
        found = re.match(r'\s*#\s*include\s*([<"])([^>"]+)', line)
        if found:
            yield number, found[1] == '"', found[2]


def allowed_floor(path, floor):
    """Whether the file may include that floor of the core."""
    parts = path.split("/")
    if parts[0] == "core":
        mine = parts[1]
        if mine == "draw" and floor == "live":
            return False
        return floor == mine or FLOORS[floor] < FLOORS[mine]
    if parts[0] == "plugin":
        return floor in (SCREEN if parts[1] == "ui" else PLUGIN)
    return True  # tests


def check_floors(root):
    """A file includes its own folder and lower floors only"""
    for path in sources(root, "core", "plugin", "tests"):
        for number, quoted, what in includes(root, path):
            floor = what.split("/")[0]
            if not quoted:
                continue
            if path.startswith("core/") and floor not in FLOORS:
                yield f"{path}:{number}: write \"floor/name.h\", not \"{what}\""
            elif floor in FLOORS and not allowed_floor(path, floor):
                yield f"{path}:{number}: may not include floor {floor}"


def check_libraries(root):
    """Each library is used in its own places only"""
    for path in sources(root, "core", "plugin", "tests"):
        for number, quoted, what in includes(root, path):
            for library, places in LIBRARIES.items():
                if not quoted and re.match(library, what) and not re.match(places, path):
                    yield f"{path}:{number}: <{what}> does not belong here"


def check_top(root):
    """The top level is fixed"""
    for name in sorted(os.listdir(root)):
        if name not in TOP and not name.startswith((".", "build")):
            yield f"{name}: does not belong on the top level"


def check_names(root):
    """Header, source and test share a name and are registered"""
    core, tests = read(root, "core/meson.build"), read(root, "tests/meson.build")
    for path in sources(root, "core", ends=(".c",)):
        floor, name = path.split("/")[1], os.path.basename(path)[:-2]
        if not NO_HEADER.match(path) and not os.path.exists(
                os.path.join(root, path[:-1] + "h")):
            yield f"{path}: has no header of that name"
        if f"'{floor}/{name}.c'" not in core:
            yield f"{path}: is not in core/meson.build"
        if floor in REAL_TIME + DESK and not os.path.exists(
                os.path.join(root, f"tests/unit/test_{name}.c")):
            yield f"{path}: has no tests/unit/test_{name}.c"
        command = re.match(r"core/cli/cmd_(\w+)\.c$", path)
        if command and not os.path.exists(
                os.path.join(root, f"tests/cli/{command[1]}.txt")):
            yield f"{path}: has no tests/cli/{command[1]}.txt"
    for path in sources(root, "tests/unit", ends=(".c",)):
        if f"'{os.path.basename(path)[5:-2]}'" not in tests:
            yield f"{path}: is not in tests/meson.build"
    for path in sources(root, "tests/cli", ends=(".txt",)):
        if f"'{os.path.basename(path)[:-4]}'" not in tests:
            yield f"{path}: is not in tests/meson.build"


def check_finished(root):
    """Nothing is left for later in words"""
    for path in sources(root, ends=SOURCES):
        for number, line in enumerate(read(root, path).split("\n"), 1):
            if UNFINISHED.search(line):
                yield f"{path}:{number}: {line.strip()}"


class Skipped(Exception):
    """A check that cannot run here, and why"""


def check_format(root):
    """C is laid out by clang-format"""
    try:
        version = subprocess.run(["clang-format", "--version"], check=True,
                                 capture_output=True, text=True).stdout
    except OSError:
        version = ""
    if "version 14." not in version: # others lay out a little differently
        raise Skipped("clang-format 14 is not here")
    done = subprocess.run(["clang-format", "--dry-run", "-Werror",
                           *sources(root, "core", "plugin", "tests")],
                          cwd=root, capture_output=True, text=True, check=False)
    yield from re.findall(r"^(\S+:\d+):\d+: error", done.stderr, re.M)


def check_links(root):
    """Files that are named stand where they are said to"""
    for path in sources(root, ends=SOURCES):
        text = read(root, path)
        named = [os.path.normpath(p) for p in re.findall(
            r"(?<![\w/.<-])((?:docs|tests|core|plugin|presets|ttl)/[\w./-]+\.\w+)\b", text)]
        if path.endswith(".md"):
            named += [os.path.normpath(os.path.join(os.path.dirname(path), p))
                      for p in re.findall(r"\]\((?![a-z]+:)([^)#\s]+)", text)]
        for name in sorted(set(named)):
            if not os.path.exists(os.path.join(root, name)) and "test_lint" not in path:
                yield f"{path}: {name} is not there"


def check_lengths(root):
    """README.md and DEVELOPERS.md can be read in one sitting"""
    for path, most in (("README.md", 120), ("DEVELOPERS.md", 150)):
        if read(root, path).count("\n") > most:
            yield f"{path}: more than {most} lines"


def check_symbols(root, build):
    """way_rt needs memory, string and mathematics functions only"""
    library = os.path.join(build, "core", "libway_rt.a")
    out = subprocess.run(["nm", "-u", library], check=True, capture_output=True, text=True)
    for name in sorted({line.split()[-1] for line in out.stdout.splitlines()
                        if line.strip() and not line.endswith(":")}):
        if not ALLOWED_SYMBOLS.match(name):
            yield f"way_rt needs {name}"


def check_writable(root, build):
    """way_rt has no writable static data"""
    library = os.path.join(build, "core", "libway_rt.a")
    out = subprocess.run(["objdump", "-t", library], check=True, capture_output=True,
                         text=True).stdout
    if re.search(r"__[atu]san|__ubsan|__gcov|__sancov", out):
        return  # instrumented: the compiler adds data of its own
    for line in out.splitlines():
        found = re.match(r"\S+ .{7} (\S+)\s+(\S+)\s+(\S.*)$", line)
        if found and found[1].startswith(WRITABLE) and not found[1].startswith(
                ".data.rel.ro") and int(found[2], 16):
            yield f"way_rt: {found[3]} stands in {found[1]}"


def options_of(text):
    return set(re.findall(r"(?<![\w-])--[a-z][a-z0-9-]*", text))


def check_manual(root, build):
    """README.md, the manual page and --help agree on commands, the last two on options"""
    waymark = os.path.join(build, "core", "waymark")

    def say(*words):
        return subprocess.run([waymark, *words], check=True, capture_output=True,
                              text=True).stdout

    page = read(root, "docs/waymark.1").replace("\\-", "-")
    parts = dict(re.findall(r'^\.SS "?waymark (\w+).*?\n(.*?)(?=^\.S[SH] |\Z)', page,
                            re.M | re.S))
    commands = re.findall(r"^  (\w+) ", say("--help"), re.M)
    listed = re.findall(r"^\| `waymark (\w+)", read(root, "README.md"), re.M)
    if listed != commands:
        yield f"README.md: lists {', '.join(listed)}; --help has {', '.join(commands)}"
    for name in sorted(set(commands) ^ set(parts)):
        yield f"{name}: in --help or in docs/waymark.1, but not in both"
    for name in commands:
        helped = options_of("\n".join(re.findall(r"^ .*?--\S+", say(name, "--help"), re.M)))
        written = set()
        for line in re.findall(r"^\.TP\n(.*)$", parts.get(name, ""), re.M):
            written |= options_of(line)
        for option in sorted((helped - {"--help"}) ^ written):
            yield f"{name}: {option} in --help or in docs/waymark.1, but not in both"


CHECKS = (check_floors, check_libraries, check_top, check_names, check_finished,
          check_format, check_links, check_lengths, check_symbols, check_writable, check_manual)


def main():
    roots = [os.path.abspath(a) for a in sys.argv[1:3]]
    checks = [c for c in CHECKS if any(w in c.__name__ for w in sys.argv[3:] or [""])]
    print(f"1..{len(checks)}")
    for number, check in enumerate(checks, 1):
        try:
            breaches = list(check(*roots[:check.__code__.co_argcount]))
        except Skipped as why:
            print(f"ok {number} - {check.__doc__} # SKIP {why}")
            continue
        print(f"{'not ok' if breaches else 'ok'} {number} - {check.__doc__}")
        for breach in breaches:
            print(f"# {breach}")


if __name__ == "__main__":
    main()

#!/usr/bin/env python3
"""Run the cases of one file through the command line; print TAP.

usage: run.py PROGRAM SOURCE_ROOT FILE

A case is a title and what follows it:

    == a bad symbol tells its column        title
    $ waymark chord C4                      shell line, run in an empty folder
    < Cmaj7                                 a line of standard input
    | C4<TAB>error...                       a line expected on standard output
    |~ ^C4\\terror                           the same, as a regular expression
    |...                                    any number of lines, to the end
    ! waymark: ...                          a line expected on standard error (!~, !...)
    ? 1                                     exit code; 0 if not given

Several `$` lines make one script.  It finds `waymark` on its path, tests/data at $DATA
and the charts at $CHARTS.  Lines that begin with `#` are comments.  A case whose script
ends with 77 is skipped.
"""
import os
import re
import subprocess
import sys
import tempfile


def read_cases(path):
    cases = []
    with open(path, encoding="utf-8", newline="") as f:
        for number, line in enumerate(f.read().split("\n"), 1):
            if line.startswith("=="):
                cases.append({"title": line[2:].strip(), "line": number, "$": [],
                              "<": [], "|": [], "!": [], "?": "0"})
            elif not line.strip() or line.startswith("#"):
                continue
            elif not cases or line[0] not in "$<|!?":
                sys.exit(f"{path}:{number}: not a line of a case: {line}")
            elif line[0] == "?":
                cases[-1]["?"] = line[1:].strip()
            elif line[0] in "|!":
                cases[-1][line[0]].append(line[1:])
            else:
                cases[-1][line[0]].append(line[2:])
    return cases


def same(expected, got):
    """Whether the lines agree with the expected ones."""
    lines = got.split("\n")
    if lines[-1] == "":
        lines.pop()
    for i, want in enumerate(expected):
        if want == "...":
            return True
        if i >= len(lines):
            return False
        if want.startswith("~"):
            if not re.search(want[1:].lstrip(" "), lines[i]):
                return False
        elif (want[1:] if want[:1] == " " else want) != lines[i]:
            return False
    return len(lines) == len(expected)


def run_case(case, program, root):
    """What differed, as lines; None if skipped."""
    env = dict(os.environ, PATH=os.path.dirname(program) + ":" + os.environ["PATH"],
               DATA=os.path.join(root, "tests", "data"),
               CHARTS=os.path.join(root, "presets", "charts"), LC_ALL="C.UTF-8")
    stdin = "".join(line + "\n" for line in case["<"])
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(["sh", "-c", "\n".join(case["$"])], cwd=folder, env=env,
                              input=stdin.encode(), capture_output=True, timeout=60)
    if done.returncode == 77:
        return None
    out, err = (b.decode("utf-8", "backslashreplace") for b in (done.stdout, done.stderr))
    bad = []
    if str(done.returncode) != case["?"]:
        bad.append(f"exit code {done.returncode}, expected {case['?']}")
    for sign, got in (("|", out), ("!", err)):
        if not same(case[sign], got):
            bad.append("expected:")
            bad += [f"  {sign}{line}" for line in case[sign]]
            bad.append("got:")
            bad += [f"  {sign} {line}" for line in got.split("\n")[:60]]
    return bad


def main():
    program, root, path = (os.path.abspath(a) for a in sys.argv[1:])
    cases = read_cases(path)
    print(f"1..{len(cases)}")
    for number, case in enumerate(cases, 1):
        bad = run_case(case, program, root)
        if bad is None:
            print(f"ok {number} - {case['title']} # SKIP")
            continue
        print(f"{'not ok' if bad else 'ok'} {number} - {case['title']}")
        for line in bad:
            print(f"# {path}:{case['line']}: {line}" if line == bad[0] else f"# {line}")


if __name__ == "__main__":
    main()

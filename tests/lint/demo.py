#!/usr/bin/env python3
"""Compare the printout in docs/demo.md, and the lines of it that README.md shows, with
what docs/try.sh prints now.

usage: demo.py SOURCE_ROOT BUILD_ROOT [--write]
"""
import difflib
import os
import subprocess
import sys

FENCE = "```\n"


def main():
    source, build = (os.path.abspath(a) for a in sys.argv[1:3])
    page = os.path.join(source, "docs", "demo.md")
    # The script is handed the build as a path from the source, so that it prints `build`.
    name = os.path.relpath(build, source)
    done = subprocess.run(["sh", os.path.join(source, "docs", "try.sh"), name],
                          capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(done.stdout + done.stderr)
    pad = " " * (len(name) - len("build"))
    got = done.stdout.replace(name + "/", "build/").replace(f"-C {name}", "-C build")
    got = got.replace("\n" + pad + " " * 23, "\n" + " " * 23) if pad else got
    with open(page, encoding="utf-8") as f:
        head, kept, tail = f.read().split(FENCE, 2)
    if "--write" in sys.argv:
        with open(page, "w", encoding="utf-8") as f:
            f.write(head + FENCE + got.lstrip("\n") + FENCE + tail)
        return
    diff = list(difflib.unified_diff(kept.splitlines(), got.lstrip("\n").splitlines(),
                                     "docs/demo.md", "docs/try.sh", lineterm=""))
    with open(os.path.join(source, "README.md"), encoding="utf-8") as f:
        shown = f.read().split("[docs/demo.md]")[1].split("\n## ")[0].splitlines()
    diff += [f"README.md: not in docs/demo.md: {line}" for line in shown
             if line.startswith("    ") and line[4:] not in got.splitlines() + ["..."]]
    if diff:
        diff.append("If that is as it should be: demo.py SOURCE_ROOT BUILD_ROOT --write")
    sys.exit("\n".join(diff[:60] + diff[60:][-1:]) or 0)


if __name__ == "__main__":
    main()

#!/usr/bin/env python3
"""Plant a breach of each rule in a small tree and want to see it found; print TAP.

usage: test_lint.py
"""
import os
import subprocess
import tempfile

import lint

GOOD = {
    "README.md": "# A\n| `waymark x A` | a |\n", "DEVELOPERS.md": "# B\n", "LICENSE": "", "meson.build": "",
    "core/meson.build": "'base/a.c'\n'live/e.c'\n'cli/cmd_x.c'\n'cli/cmd_y.c'\n",
    "core/base/a.h": "", "core/base/a.c": '#include "base/a.h"\n',
    "core/live/e.h": '#include "base/a.h"\n', "core/live/e.c": '#include "live/e.h"\n',
    "core/cli/cmd_x.c": '#include "live/e.h"\n#include <stdio.h>\n',
    "tests/meson.build": "'a'\n'e'\n'x'\n", "tests/unit/test_a.c": "",
    "tests/unit/test_e.c": "", "tests/cli/x.txt": "",
    "docs/waymark.1": ".SS waymark x\n.TP\n.B \\-\\-json\n",
    "build/core/waymark": "#!/bin/sh\n[ $1 = x ] && echo '      --json  J' || "
                          "echo '  x  X'\n",
}
RT = "#include <stdlib.h>\nvoid *way_a(void); void *way_a(void) { return %s; }\n"
# rule, file, its content with the breach
PLANTED = [
    ("check_floors", "core/base/a.c", '#include "live/e.h"\n'),
    ("check_floors", "core/live/e.c", '#include "e.h"\n'),
    ("check_floors", "core/draw/p.h", '#include "live/e.h"\n'),
    ("check_floors", "core/live/e.h", '#include "chart/c.h"\n'),
    ("check_floors", "plugin/p.c", '#include "take/t.h"\n'),
    ("check_floors", "plugin/ui/u.c", '#include "live/e.h"\n'),
    ("check_libraries", "core/base/a.c", "#include <stdio.h>\n"),
    ("check_libraries", "core/chart/c.h", "#include <lv2/atom/atom.h>\n"),
    ("check_libraries", "plugin/ui/u.c", "#include <X11/Xlib.h>\n"),
    ("check_top", "extra/a", ""),
    ("check_names", "core/base/b.c", ""),
    ("check_names", "core/cli/cmd_y.c", ""),
    ("check_names", "tests/unit/test_z.c", ""),
    ("check_names", "tests/cli/z.txt", ""),
    ("check_finished", "core/base/a.c", "// TO" "DO: more\n"),
    ("check_format", "core/base/a.c", "int  a;\n"),
    ("check_links", "core/base/a.h", "// see docs/more.md\n"),
    ("check_links", "README.md", "[more](docs/more.md)\n"),
    ("check_lengths", "README.md", "\n" * 121),
    ("check_symbols", "rt.c", RT % "malloc(1)"),
    ("check_writable", "rt.c", "int way_a; static int way_b = 3; int* way_c(void); "
                               "int* way_c(void) { return &way_b; }\n"),
    ("check_manual", "README.md", "| `waymark y` | b |\n"),
    ("check_manual", "docs/waymark.1", ".SS waymark x\n"),
    ("check_manual", "docs/waymark.1", ".SS waymark y\n"),
    ("check_manual", "docs/waymark.1", ".SS waymark x\n.TP\n.B \\-\\-json\n.TP\n"
                                       ".B \\-\\-more\n"),
]


def plant(root, files):
    for path, text in files.items():
        path = os.path.join(root, path)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "w", encoding="utf-8") as f:
            f.write(text)
        os.chmod(path, 0o755)


def run(check, extra):
    with tempfile.TemporaryDirectory() as root:
        plant(root, dict(GOOD, **{"rt.c": RT % "0"}, **extra) if "rt.c" not in extra
              else dict(GOOD, **extra))
        build = os.path.join(root, "build")
        subprocess.run(["cc", "-c", "-o", "rt.o", os.path.join(root, "rt.c")], check=True,
                       cwd=build)
        subprocess.run(["ar", "rc", "core/libway_rt.a", "rt.o"], check=True, cwd=build)
        os.remove(os.path.join(root, "rt.c"))
        found = getattr(lint, check)
        return list(found(*(root, build)[:found.__code__.co_argcount]))


def main():
    cases = [(c.__name__, None, {}) for c in lint.CHECKS]
    cases += [(check, path, {path: text}) for check, path, text in PLANTED]
    print(f"1..{len(cases)}")
    for number, (check, path, extra) in enumerate(cases, 1):
        try:
            breaches = run(check, extra)
        except lint.Skipped as why:
            print(f"ok {number} - {check} # SKIP {why}")
            continue
        right = bool(breaches) == bool(path)
        print(f"{'ok' if right else 'not ok'} {number} - {check} "
              + (f"finds a breach in {path}" if path else "passes a good tree"))
        for breach in breaches if not right else ():
            print(f"# {breach}")


if __name__ == "__main__":
    main()

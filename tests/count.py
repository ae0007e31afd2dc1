#!/usr/bin/env python3
"""Print `PASSED FAILED` test cases of the newest `meson test` in a build folder, and the
cases that failed or were skipped.

usage: count.py BUILD_ROOT
"""
import glob
import os
import sys
import xml.etree.ElementTree as ET


def main():
    logs = glob.glob(os.path.join(sys.argv[1], "meson-logs", "testlog*.junit.xml"))
    passed = failed = 0
    for case in ET.parse(max(logs, key=os.path.getmtime)).iter("testcase"):
        name = f"{case.get('classname')}: {case.get('name')}"
        if case.find("failure") is not None or case.find("error") is not None:
            failed += 1
            print(f"failed: {name}", file=sys.stderr)
        elif case.find("skipped") is not None:
            print(f"skipped: {name}", file=sys.stderr)
        else:
            passed += 1
    print(passed, failed)


if __name__ == "__main__":
    main()

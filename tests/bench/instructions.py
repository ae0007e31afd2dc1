"""How many instructions the guide takes, counted by callgrind: figures that no noise
of the machine can touch.

usage: instructions.py BENCH_GUIDE BENCH_COLD
"""
import re
import shutil
import subprocess
import sys
import tempfile

ROUNDS = 20


def counted(function, command):
    """The instructions `command` spends in a function, by unit, and the unit's name; None
    when there are no more cases."""
    with tempfile.NamedTemporaryFile() as out:
        run = subprocess.run(
            ["valgrind", "--tool=callgrind", f"--toggle-collect={function}*",
             f"--callgrind-out-file={out.name}", *command],
            capture_output=True, text=True, check=False)
        if run.returncode == 77:
            print(run.stdout, end="")
            sys.exit(77)
        if run.returncode:
            return None
        total = int(re.search(r"^totals: (\d+)", open(out.name).read(), re.M).group(1))
    units, name = run.stdout.strip().split(" ", 1)
    return total / int(units), name


def all_cases(of):
    """Yield of(0), of(1), ... until there is none."""
    case = 0
    while (found := of(case)) is not None:
        yield found
        case += 1


def main():
    if not shutil.which("valgrind"):
        print("valgrind is not installed: nothing can be counted")
        return 77
    guide, cold = sys.argv[1:]

    def race(case):
        ours = counted("time_round", [guide, str(case), "guide"])
        return ours and (*ours, counted("time_round", [guide, str(case), "fifths"])[0])

    for ours, name, theirs in all_cases(race):
        print(f"{name:34} eg-fifths {theirs:7.1f}   guide {ours:7.1f}   "
              f"ratio {ours / theirs:.2f}", flush=True)
    for ours, name in all_cases(
            lambda case: counted("measured", [cold, str(case), str(ROUNDS)])):
        print(f"{name:34} {ours:27.0f} a block", flush=True)
    return 0


sys.exit(main())

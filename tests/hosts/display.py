"""A display of its own for a host with windows, and pictures of it."""
import contextlib
import os
import subprocess
import time


@contextlib.contextmanager
def running(command, env, log):
    process = subprocess.Popen(command, env=env, stdout=log, stderr=log,
                               stdin=subprocess.DEVNULL)
    try:
        yield process
    finally:
        process.terminate()
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


@contextlib.contextmanager
def opened(size, log):
    """An X server; the name of its display."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{size[0]}x{size[1]}x24",
         "-nolisten", "tcp", "-noreset"], pass_fds=[write], stdout=log, stderr=log)
    os.close(write)
    try:
        with os.fdopen(read) as f:
            yield ":" + f.readline().strip()
    finally:
        server.terminate()
        server.wait(20)


def wait_for(what, seconds, look):
    """Look again and again until there is something; that."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = look()
        if found:
            return found
        time.sleep(0.2)
    raise AssertionError(f"waited {seconds} s for {what}")


def picture(env, size, name, window="root"):
    """A window as bytes of red, green and blue; kept as a file where WAY_PICTURES says."""
    raw = subprocess.run(["import", "-window", window, "-depth", "8", "rgb:-"], env=env,
                         check=True, capture_output=True).stdout
    assert len(raw) == size[0] * size[1] * 3, len(raw)
    kept = os.environ.get("WAY_PICTURES")
    if kept:
        subprocess.run(["convert", "-size", f"{size[0]}x{size[1]}", "-depth", "8", "rgb:-",
                        os.path.join(kept, name)], input=raw, check=True)
    return raw


def colours(raw):
    """How many points have each colour."""
    counts = {}
    for i in range(0, len(raw), 3):
        key = raw[i:i + 3]
        counts[key] = counts.get(key, 0) + 1
    return counts


def has_roles(raw):
    """Whether there are signs of chord tones and of scale tones (docs/screen.md)."""
    there = colours(raw)
    return all(there.get(bytes(c), 0) > 200
               for c in ((0x00, 0x9E, 0x73), (0x56, 0xB4, 0xE9)))


def apart(a, b):
    """Bytes that differ."""
    return sum(x != y for x, y in zip(a, b))

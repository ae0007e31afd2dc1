#!/usr/bin/env python3
"""Compare frames of the screen with kept pictures; print TAP.

usage: pictures.py WAYMARK SOURCE_ROOT [keep]

Kept are means of blocks of 6 by 6 pixels, so that other versions of a font or of cairo
make little difference: a picture agrees if the blocks differ by little on average, and
hardly one by much.  The pictures in docs are compared with what the commands beside them
draw.  With `keep` all are kept anew: look at each before that.
"""
import os
import re
import struct
import subprocess
import sys
import zlib

BLOCK = 6
MEAN_MOST = 2.0    # of 255, on average
BLOCK_MOST = 48    # of 255: a block that differs by more ...
SHARE_MOST = 0.01  # ... may be one in a hundred
TAKE = "docs/demo/lantern-row.mid"
FRAMES = {
    "full": ("lantern-row", "--at 10.3 --take " + TAKE),
    "small-dark": ("lantern-row", "--at 5.3 --size 480x270 --theme dark --take " + TAKE),
    "contrast": ("lantern-row", "--at 18.4.5 --theme contrast -m blues --take " + TAKE),
    "stage": ("gull-market", "--at 5.2 --view stage --size 640x360 --frets hand"),
    "keyboard": ("gull-market", "--at 6.2 --keyboard --size 480x640 --theme print"),
    "left": ("pilot-cutter", "--at 5.2 --left --capo 3 --notes --tuning dadgad"),
    "bass": ("fog-signal", "--at 8.2 --tuning bass --theme dark"),
}


def decode(data):
    """(width, height, rows of RGB bytes) of an RGB or RGBA PNG of 8 bits."""
    at, packed = 8, b""
    while at < len(data):
        size, kind = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + size]
        if kind == b"IHDR":
            width, height, depth, colour = struct.unpack(">IIBB", body[:10])
            assert depth == 8 and colour in (2, 6)
        elif kind == b"IDAT":
            packed += body
        at += size + 12
    step = 3 if colour == 2 else 4
    raw, rows, above = zlib.decompress(packed), [], bytes(width * step)
    for y in range(height):
        start = y * (width * step + 1)
        line = unfilter(raw[start], bytearray(raw[start + 1:start + 1 + width * step]),
                        above, step)
        rows.append(line)
        above = line
    if step == 4:
        rows = [b"".join(r[i:i + 3] for i in range(0, len(r), 4)) for r in rows]
    return width, height, rows


def unfilter(kind, line, above, step):
    """Undo a filter of W3C PNG, section 9."""
    for i in range(len(line)):
        a = line[i - step] if i >= step else 0
        b = above[i]
        if kind == 1:
            line[i] = (line[i] + a) & 255
        elif kind == 2:
            line[i] = (line[i] + b) & 255
        elif kind == 3:
            line[i] = (line[i] + (a + b) // 2) & 255
        elif kind == 4:
            c = above[i - step] if i >= step else 0
            p = a + b - c
            pa, pb, pc = abs(p - a), abs(p - b), abs(p - c)
            line[i] = (line[i] + (a if pa <= pb and pa <= pc else b if pb <= pc else c)) & 255
    return bytes(line)


def blocks(width, height, rows):
    """The same picture in blocks: (columns, rows of RGB bytes)."""
    columns, out = width // BLOCK, []
    for top in range(0, height - BLOCK + 1, BLOCK):
        line = bytearray()
        for left in range(0, columns * BLOCK * 3, BLOCK * 3):
            for part in range(3):
                total = sum(sum(rows[top + y][left + part:left + BLOCK * 3:3])
                            for y in range(BLOCK))
                line.append(total // (BLOCK * BLOCK))
        out.append(bytes(line))
    return columns, out


def encode(width, rows):
    def chunk(kind, body):
        return (struct.pack(">I", len(body)) + kind + body
                + struct.pack(">I", zlib.crc32(kind + body)))
    return (b"\x89PNG\r\n\x1a\n"
            + chunk(b"IHDR", struct.pack(">IIBBBBB", width, len(rows), 8, 2, 0, 0, 0))
            + chunk(b"IDAT", zlib.compress(b"".join(b"\0" + r for r in rows), 9))
            + chunk(b"IEND", b""))


def differ(kept, drawn):
    """What is too different, or None."""
    if len(kept) != len(drawn) or len(kept[0]) != len(drawn[0]):
        return "another size"
    apart = [abs(a - b) for x, y in zip(kept, drawn) for a, b in zip(x, y)]
    mean = sum(apart) / len(apart)
    share = sum(a > BLOCK_MOST for a in apart) / len(apart)
    if mean > MEAN_MOST or share > SHARE_MOST:
        return f"{mean:.2f} on average, {100 * share:.2f} % by much"
    return None


def draw(waymark, options):
    out = subprocess.run([waymark, "show", *options.split(), "--png", "-"], check=True,
                         capture_output=True).stdout
    return out, blocks(*decode(out))


def frames():
    """(file, options of waymark show, whole or in blocks) of every kept picture."""
    for name, (chart, options) in FRAMES.items():
        yield f"tests/data/screens/{name}.png", f"presets/charts/{chart}.chart {options}", False
    with open("docs/screen.md", encoding="utf-8") as f:
        for options, path in re.findall(r"^    waymark show (.*) --png (\S+)$", f.read(), re.M):
            yield path, options, True


def main():
    waymark = os.path.abspath(sys.argv[1])
    os.chdir(sys.argv[2])
    all_frames = list(frames())
    print(f"1..{len(all_frames)}")
    for number, (path, options, whole) in enumerate(all_frames, 1):
        out, (columns, rows) = draw(waymark, options)
        if sys.argv[3:] == ["keep"]:
            with open(path, "wb") as f:
                f.write(out if whole else encode(columns, rows))
        with open(path, "rb") as f:
            kept = decode(f.read())
        said = differ(blocks(*kept)[1] if whole else kept[2], rows)
        print("not ok" if said else "ok", number, "-", path, f"# {said}" if said else "")


main()

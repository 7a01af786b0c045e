"""One drawing that has something of everything, for comparing the backends with each other."""

from __future__ import annotations

import struct
import zlib

from engine.drawing.display import Group, Image, Item, Page, Path, Pen, Text
from engine.drawing.outline import arc, circle, line, parse_path, placement, polyline, rectangle, transformed

WIDTH_MM, HEIGHT_MM = 120.0, 80.0


def checked_png() -> bytes:
    """A picture of two by two pixels: red, white / white, blue."""
    rows = b"\x00\xd0\x20\x20\xff\xff\xff" + b"\x00\xff\xff\xff\x20\x40\xc0"
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", 2, 2, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(rows)),
        (b"IEND", b""),
    )
    body = b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + body


def everything() -> Page:
    """Lines, dashes, curves, fills on top of each other, holes, turned symbols, pictures and text of both weights."""
    return Page(WIDTH_MM, HEIGHT_MM, (*_lines(), *_shapes(), *_texts()), "Test picture")


def _lines() -> tuple[Item, ...]:
    wires = ("RD", "BK", "YE", "GN", "BU", "WH")
    cased = [
        Path(line(10, 6 + 4 * row, 50, 6 + 4 * row), Pen(colour, width))
        for row, code in enumerate(wires)
        for colour, width in (("casing", 1.4), (f"wire.{code}", 1.0))
    ]
    dashes = Path(polyline(((10, 34), (50, 34), (50, 40))), Pen("ac.boundary", 0.5, (4, 1.5, 0.5, 1.5)))
    return (Group("run:r1", tuple(cased)), dashes)


def _shapes() -> tuple[Item, ...]:
    holed = (*circle(65, 15, 8), *circle(65, 15, 4))
    fuse = (*rectangle(-4, -1.5, 8, 3, 0.5), *line(-8, 0, 8, 0))
    turned = tuple(
        Path(transformed(fuse, placement(85 + 12 * (turns % 2), 12 + 8 * (turns // 2), turns)), Pen("ink", 0.35))
        for turns in range(4)
    )
    return (
        Path(holed, Pen("ink", 0.35), "panel.edge"),
        Group("part:p1", turned),
        Path(parse_path("M55 35C60 25 70 45 75 30q5 -5 8 4a5 3 30 0 1 8 2"), Pen("accent", 0.7)),
        Path(arc(105, 30, 6, 180, 270), Pen("danger", 1.0)),
        Path(polyline(((100, 5), (115, 5), (107.5, 18)), closed=True), None, "requirement"),
        Image(100, 40, 12, 8, checked_png()),
    )


def _texts() -> tuple[Item, ...]:
    return (
        Text(10, 50, "-W17  2×35 mm²  RD/BK  4.2 m", 2.5),
        Text(10, 57, "Главный щит · Πίνακας ≤ 230 V", 3.5),
        Text(60, 66, "AVATAR To Wave Ty", 5.0, "middle", "bold", "accent"),
        Text(110, 74, "smallest lettering 1.8 mm ⏚ ✓ ½ Ω", 1.8, "end", colour="faint"),
        Text(7, 74, "turned -F3", 3.5, "start", "bold", angle_deg=90),
        Text(115, 60, "middle", 2.5, "middle", angle_deg=90),
    )

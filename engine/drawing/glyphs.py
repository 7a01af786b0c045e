"""Small drawings made by code: the device of a panel's way, the warning triangle. Millimetres, y down."""

from __future__ import annotations

from engine.drawing.display import Item, Path, Pen
from engine.drawing.outline import Outline, Point, circle, line, parse_path, polyline, rectangle

LINE_MM = 0.25

FLASH = (
    (53, 62), (41, 36), (49, 39), (45, 24), (41, 25), (49, 12), (54, 27), (50, 26), (60, 47), (50, 43), (57, 62),
)  # fmt: skip
"""Our own approximate flash in a triangle of base 100, y up: not the outline of the standard."""


def device_glyph(device: str, x: float, y: float, family: str = "iec", colour: str = "ink") -> list[Item]:
    """A breaker, fuse or switch 10 mm long on a horizontal line whose left end is at (x, y); else a plain line."""
    pen = Pen(colour, LINE_MM)
    if device == "fuse":
        return _fuse(x, y, pen, family)
    if device in ("breaker", "switch"):
        return _arched_breaker(x, y, pen) if family == "na" and device == "breaker" else _contact(x, y, pen, device)
    return [Path(line(x, y, x + 10.0, y), pen)]


def _fuse(x: float, y: float, pen: Pen, family: str) -> list[Item]:
    body = Path(rectangle(x + 1.5, y - 1.25, 7.0, 2.5), pen, "paper")
    if family == "na":
        curve = parse_path(f"M {x + 1.5} {y} q 1.75 -2.6 3.5 0 q 1.75 2.6 3.5 0")
        ends = [Path(circle(x + at, y, 0.5), pen, "paper") for at in (1.5, 8.5)]
        leads = [Path(line(x, y, x + 1.0, y), pen), Path(line(x + 9.0, y, x + 10.0, y), pen)]
        return [*leads, Path(curve, pen), *ends]
    return [body, Path(line(x, y, x + 10.0, y), pen)]


def _contact(x: float, y: float, pen: Pen, device: str) -> list[Item]:
    items: list[Item] = [
        Path(line(x, y, x + 2.5, y), pen),
        Path(line(x + 7.5, y, x + 10.0, y), pen),
        Path(line(x + 7.5, y, x + 2.5, y - 2.2), pen),
    ]
    if device == "breaker":
        cross = [(x + 1.6, y - 0.9, x + 3.4, y + 0.9), (x + 1.6, y + 0.9, x + 3.4, y - 0.9)]
        items += [Path(line(*stroke), pen) for stroke in cross]
    return items


def _arched_breaker(x: float, y: float, pen: Pen) -> list[Item]:
    dots = [Path(circle(x + at, y, 0.5), pen, "paper") for at in (2.0, 8.0)]
    leads = [Path(line(x, y, x + 1.5, y), pen), Path(line(x + 8.5, y, x + 10.0, y), pen)]
    return [*leads, Path(parse_path(f"M {x + 1.5} {y - 1.2} Q {x + 5} {y - 4.2} {x + 8.5} {y - 1.2}"), pen), *dots]


def warning_triangle(x: float, foot: float, base: float) -> list[Item]:
    """The warning triangle with its foot centred at (x, foot); approximates ISO 7010 W012 (from memory)."""
    height = base * 0.866
    band = base * 0.06
    edge: list[Point] = [(x - base / 2, foot), (x, foot - height), (x + base / 2, foot)]
    flash = [(x + (px - 50) * base / 100, foot - py * base / 100) for px, py in FLASH]
    return [
        Path(_closed(edge), Pen("safety.black", band), "safety.yellow"),
        Path(_closed(flash), None, "safety.black"),
    ]


def _closed(points: list[Point]) -> Outline:
    return polyline(points, closed=True)

"""How a run is drawn along its way: width by class, insulation colours in a dark casing, hops over what it crosses.

Knows a run's poles, size and colours and the points it is led through; not how it was led.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

import msgspec

from engine.drawing.display import Item, Path, Pen, Segment
from engine.drawing.metrics import Box
from engine.drawing.outline import Outline, Point, arc, circle, line
from engine.drawing.theme import WIRE, is_wire_code, wire_codes
from engine.model.network import Run

HOP_MM = 1.1
JOINT_MM = 0.85
CASING_MM = 0.22
CORE_MM = 0.32
HEAVY_MM2, FEEDER_MM2, SIGNAL_MM2 = 33.0, 8.0, 1.1
"""Least area of battery cables (2 AWG) and feeders (8 AWG), and what signal wires stay below (18 AWG is 0.8 mm²)."""

WIDTHS_MM: Mapping[str, float] = {"heavy": 1.0, "feeder": 0.7, "branch": 0.5, "signal": 0.25, "unknown": 0.35}
STRIPE_DASH_MM = (1.6, 1.6)
Hops = Mapping[int, tuple[float, ...]]
"""For each level stretch of a way (by its number) the x at which it hops over another run."""


class WireStyle(msgspec.Struct, frozen=True):
    """How wide a run is drawn (casing included) and in which core colours, side by side."""

    width_mm: float
    cores: tuple[str, ...]

    @property
    def outer_mm(self) -> float:
        """The whole width, casing included."""
        return self.width_mm + CASING_MM


@lru_cache(maxsize=512)
def wire_class(size: str) -> str:
    """ "heavy", "feeder", "branch" or "signal" by the size as written; "unknown" without a size that can be read."""
    from engine.electrics.sizes import parse_size

    try:
        area = parse_size(size).area_mm2
    except ValueError:  # not a size that can be read
        return "unknown"
    if area >= HEAVY_MM2:
        return "heavy"
    return "feeder" if area >= FEEDER_MM2 else "signal" if area < SIGNAL_MM2 else "branch"


def wire_style(run: Run) -> WireStyle:
    """Up to three cores side by side; with more, or with colours unknown, one dark line."""
    cores = tuple(code for code in run.colours if is_wire_code(code))
    if len(cores) != len(run.poles) or len(cores) > 3:
        cores = ()
    width = WIDTHS_MM[wire_class(run.size)]
    return WireStyle(max(width, CORE_MM * len(cores) if len(cores) > 1 else 0.0), cores)


def wire_items(style: WireStyle, points: Sequence[Point], hops: Hops, pen: Pen | None = None) -> tuple[Item, ...]:
    """The run along its points; `pen` takes the place of the insulation colours."""
    if pen:
        return (Path(way_outline(points, hops), pen),)
    if not style.cores:
        return (Path(way_outline(points, hops), Pen("casing", style.width_mm)),)
    items: list[Item] = [Path(way_outline(points, hops), Pen("casing", style.outer_mm))]
    share = style.width_mm / len(style.cores)
    for number, code in enumerate(style.cores):
        shift = (number - (len(style.cores) - 1) / 2) * share
        items += _core(code, way_outline(points, hops, shift), share)
    return tuple(items)


def _core(code: str, outline: Outline, width: float) -> list[Item]:
    base, *rest = wire_codes(code)
    items: list[Item] = [Path(outline, Pen(WIRE + base, width))]
    if rest:
        items.append(Path(outline, Pen(WIRE + rest[0], width * 0.6, STRIPE_DASH_MM)))
    return items


def way_outline(points: Sequence[Point], hops: Hops, shift_mm: float = 0.0) -> Outline:
    """The outline of a way, shifted to the right hand of its direction, with a half circle at each hop."""
    shifted = _shifted(points, shift_mm)
    segments: list[Segment] = [("M", shifted[0])]
    for number, (a, b) in enumerate(pairwise(shifted)):
        segments += _hopped(a, b, hops.get(number, ()))
        segments.append(("L", b))
    return tuple(segments)


def _hopped(a: Point, b: Point, at: Sequence[float]) -> list[Segment]:
    forward = b[0] > a[0]
    sign = 1.0 if forward else -1.0
    segments: list[Segment] = []
    for x in sorted(at, reverse=not forward):
        start, sweep = (180.0, 180.0) if forward else (0.0, -180.0)
        _, *bow = arc(x, a[1], HOP_MM, start, sweep)
        segments += [("L", (x - sign * HOP_MM, a[1])), *bow]
    return segments


def _shifted(points: Sequence[Point], shift_mm: float) -> list[Point]:
    """Each corner moves with both its stretches."""
    if not shift_mm:
        return list(points)
    normals = [_normal(a, b) for a, b in pairwise(points)]
    moved = []
    for number, (x, y) in enumerate(points):
        around = {normals[n] for n in (number - 1, number) if 0 <= n < len(normals)}
        moved.append((x + shift_mm * sum(n[0] for n in around), y + shift_mm * sum(n[1] for n in around)))
    return moved


def _normal(a: Point, b: Point) -> Point:
    length = abs(b[0] - a[0]) + abs(b[1] - a[1]) or 1.0
    return -(b[1] - a[1]) / length, (b[0] - a[0]) / length


def find_hops(paths: Mapping[str, Sequence[Point]]) -> dict[str, dict[int, tuple[float, ...]]]:
    """Where each run hops: its level stretches over the upright stretches of other runs."""
    upright = [
        (a[0], min(a[1], b[1]), max(a[1], b[1]), run)
        for run, points in paths.items()
        for a, b in pairwise(points)
        if a[0] == b[0]
    ]
    upright.sort()
    return {run: _hops_of(run, points, upright) for run, points in paths.items()}


def _hops_of(
    run: str, points: Sequence[Point], upright: Sequence[tuple[float, float, float, str]]
) -> dict[int, tuple[float, ...]]:
    hops: dict[int, tuple[float, ...]] = {}
    for number, (a, b) in enumerate(pairwise(points)):
        low, high = min(a[0], b[0]), max(a[0], b[0])
        if a[1] != b[1]:
            continue
        crossed = {x for x, top, foot, other in upright if low < x < high and top < a[1] < foot and other != run}
        if crossed:
            hops[number] = tuple(sorted(crossed))
    return hops


def joint(point: Point) -> Path:
    """The dot where runs of one port part."""
    return Path(circle(*point, JOINT_MM), None, "ink")


def core_strokes(points: Sequence[Point], count: int) -> tuple[tuple[Item, ...], Box] | None:
    """The strokes that count a cable's conductors (three at most; more: one and the figure), near its start.

    None where the first level stretch is too short.
    """
    for a, b in pairwise(points):
        if a[1] == b[1] and abs(b[0] - a[0]) >= 12.5:
            sign = 1.0 if b[0] > a[0] else -1.0
            x = a[0] + sign * (6.0 if a != points[0] else 5.0)
            strokes = tuple(_stroke(x + 0.9 * n, a[1]) for n in range(count))
            return strokes, (x - 1.0, a[1] - 1.8, x + 0.9 * count + 0.4, a[1] + 1.8)
    return None


def _stroke(x: float, y: float) -> Path:
    return Path(line(x - 0.75, y + 1.3, x + 0.75, y - 1.3), Pen("ink", 0.25))


def way_boxes(points: Sequence[Point], hops: Hops, width_mm: float) -> list[Box]:
    """The strips that a run covers, for keeping texts off it."""
    half = width_mm / 2 + 0.1
    boxes = [
        (min(a[0], b[0]) - half, min(a[1], b[1]) - half, max(a[0], b[0]) + half, max(a[1], b[1]) + half)
        for a, b in pairwise(points)
    ]
    for number, at in hops.items():
        y = points[number][1]
        boxes += [(x - HOP_MM - half, y - HOP_MM - half, x + HOP_MM + half, y) for x in at]
    return boxes

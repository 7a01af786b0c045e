"""Hatching of an area between two lines that go from left to right: strokes at an angle, cut where they leave the area.

Pure geometry in millimetres, y down.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence

import msgspec

from engine.drawing.outline import Point

Stroke = tuple[float, float, float, float]
PROBE_MM = 0.2
"""How closely a stroke is looked at; an area thinner than this is not hatched."""


class Shape(msgspec.Struct, frozen=True):
    """An area between an upper and a lower line with points at the same places across."""

    upper: Sequence[Point]
    lower: Sequence[Point]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, foot."""
        xs = [x for x, _ in self.upper]
        return min(xs), min(y for _, y in self.upper), max(xs), max(y for _, y in self.lower)

    def holds(self, x: float, y: float) -> bool:
        """Whether a place lies in the area."""
        return _height(self.upper, x) <= y <= _height(self.lower, x)


def hatched(shape: Shape, angle_deg: float, pitch_mm: float) -> Iterator[Stroke]:
    """The strokes (x0, y0, x1, y1) at an angle (0: across, 90: upright, 45: rising to the right), `pitch_mm` apart."""
    if len(shape.upper) < 2:
        return
    left, top, right, foot = shape.box
    turn = math.radians(angle_deg)
    along, aside = (math.cos(turn), -math.sin(turn)), (math.sin(turn), math.cos(turn))
    corners = [(x, y) for x in (left, right) for y in (top, foot)]
    offsets = [x * aside[0] + y * aside[1] for x, y in corners]
    reaches = [x * along[0] + y * along[1] for x, y in corners]
    for number in range(math.ceil(min(offsets) / pitch_mm), math.floor(max(offsets) / pitch_mm) + 1):
        start = (aside[0] * number * pitch_mm, aside[1] * number * pitch_mm)
        yield from _cut(shape, start, along, min(reaches), max(reaches))


def _cut(shape: Shape, start: Point, along: Point, first: float, last: float) -> Iterator[Stroke]:
    """The stretches of one line that lie in the area."""
    left, _, right, _ = shape.box
    begun: float | None = None
    count = int((last - first) / PROBE_MM) + 1
    for step in range(count + 1):
        at = first + step * PROBE_MM
        x, y = start[0] + along[0] * at, start[1] + along[1] * at
        inside = left <= x <= right and shape.holds(x, y)
        if inside and begun is None:
            begun = at
        elif not inside and begun is not None:
            yield _stroke(start, along, begun, at - PROBE_MM)
            begun = None
    if begun is not None:
        yield _stroke(start, along, begun, first + count * PROBE_MM)


def _stroke(start: Point, along: Point, begun: float, ended: float) -> Stroke:
    return (
        start[0] + along[0] * begun, start[1] + along[1] * begun, start[0] + along[0] * ended, start[1] + along[1] * ended,
    )  # fmt: skip


def _height(points: Sequence[Point], x: float) -> float:
    """The y of a line at a place across; its end points beyond."""
    after = bisect_right(points, x, key=lambda point: point[0])
    if after == 0:
        return points[0][1]
    if after == len(points):
        return points[-1][1]
    (x0, y0), (x1, y1) = points[after - 1], points[after]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)

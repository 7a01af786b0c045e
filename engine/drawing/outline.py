"""Outlines: making plain shapes, turning and mirroring them, and the box they fill; path strings come from the library.

Everything ends in the four verbs of the display list (M, L, C, Z) in millimetres, y down. Knows no symbol and no
backend.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import msgspec

from engine.drawing.display import Segment
from engine.drawing.metrics import Box
from engine.library.svg_path import PathError as PathError
from engine.library.svg_path import parse_path as parse_path

Outline = tuple[Segment, ...]
Point = tuple[float, float]

_KAPPA = 4 / 3 * math.tan(math.pi / 8)
"""Length of the handles of a quarter circle, in radii."""


class Transform(msgspec.Struct, frozen=True):
    """x' = a x + c y + e, y' = b x + d y + f (the order of SVG's matrix)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def point(self, x: float, y: float) -> Point:
        """Where a point goes."""
        return (self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def then(self, after: Transform) -> Transform:
        """This transform first, the other after it."""
        a, b = self.a * after.a + self.b * after.c, self.a * after.b + self.b * after.d
        c, d = self.c * after.a + self.d * after.c, self.c * after.b + self.d * after.d
        e, f = after.point(self.e, self.f)
        return Transform(a, b, c, d, e, f)


def translation(x_mm: float, y_mm: float) -> Transform:
    """A move to the right and down."""
    return Transform(e=x_mm, f=y_mm)


def quarter_turns(turns: int) -> Transform:
    """Clockwise (as seen on the sheet) by `turns` times 90 degrees about the origin; exact, no rounding."""
    a, b = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[turns % 4]
    return Transform(a, b, 0.0 - b, a)


def mirror() -> Transform:
    """Left for right about the y axis."""
    return Transform(a=-1.0)


def scaling(factor: float, factor_y: float | None = None) -> Transform:
    """Larger or smaller about the origin."""
    return Transform(a=factor, d=factor if factor_y is None else factor_y)


def placement(x_mm: float, y_mm: float, turns: int = 0, mirrored: bool = False) -> Transform:
    """How a symbol stands on the sheet: mirrored first, then turned, then moved."""
    start = mirror() if mirrored else Transform()
    return start.then(quarter_turns(turns)).then(translation(x_mm, y_mm))


def transformed(outline: Iterable[Segment], transform: Transform) -> Outline:
    """The outline under the transform."""
    return tuple((verb, _moved(values, transform)) for verb, values in outline)


def _moved(values: tuple[float, ...], transform: Transform) -> tuple[float, ...]:
    pairs = zip(values[::2], values[1::2], strict=True)
    return tuple(value for x, y in pairs for value in transform.point(x, y))


def polyline(points: Sequence[Point], closed: bool = False) -> Outline:
    """Straight lines from point to point."""
    first, *others = points
    lines = tuple(("L", point) for point in others)
    return (("M", first), *lines, *((("Z", ()),) if closed else ()))


def line(x0: float, y0: float, x1: float, y1: float) -> Outline:
    """One straight line."""
    return (("M", (x0, y0)), ("L", (x1, y1)))


def rectangle(x: float, y: float, width: float, height: float, radius: float = 0.0) -> Outline:
    """A rectangle from its top left corner, with rounded corners if a radius is given."""
    right, foot = x + width, y + height
    r = min(radius, width / 2, height / 2)
    if r <= 0:
        return polyline(((x, y), (right, y), (right, foot), (x, foot)), closed=True)
    k = r * (1 - _KAPPA)
    return (
        ("M", (x + r, y)),
        ("L", (right - r, y)),
        ("C", (right - k, y, right, y + k, right, y + r)),
        ("L", (right, foot - r)),
        ("C", (right, foot - k, right - k, foot, right - r, foot)),
        ("L", (x + r, foot)),
        ("C", (x + k, foot, x, foot - k, x, foot - r)),
        ("L", (x, y + r)),
        ("C", (x, y + k, x + k, y, x + r, y)),
        ("Z", ()),
    )


def circle(x: float, y: float, radius: float) -> Outline:
    """A circle from its centre."""
    return (*arc(x, y, radius, 0.0, 360.0), ("Z", ()))


def arc(x: float, y: float, radius: float, start_deg: float, sweep_deg: float) -> Outline:
    """Part of a circle; 0 degrees points right and angles grow clockwise, as y goes down."""
    start = (x + radius * _cos(start_deg), y + radius * _sin(start_deg))
    unit = _unit_arc(start_deg, sweep_deg)
    return (("M", start), *transformed(unit, Transform(radius, 0.0, 0.0, radius, x, y)))


def _cos(degrees: float) -> float:
    return (1.0, 0.0, -1.0, 0.0)[int(degrees // 90) % 4] if degrees % 90 == 0 else math.cos(math.radians(degrees))


def _sin(degrees: float) -> float:
    return _cos(degrees - 90)


def _unit_arc(start_deg: float, sweep_deg: float) -> Iterator[Segment]:
    """Curves along the unit circle, each a quarter at most (error below 0.03 % of the radius)."""
    pieces = max(1, math.ceil(abs(sweep_deg) / 90 - 1e-9))
    step = sweep_deg / pieces
    handle = 4 / 3 * math.tan(math.radians(step) / 4)
    for piece in range(pieces):
        one, two = start_deg + piece * step, start_deg + (piece + 1) * step
        x1, y1, x2, y2 = _cos(one), _sin(one), _cos(two), _sin(two)
        yield ("C", (x1 - handle * y1, y1 + handle * x1, x2 + handle * y2, y2 - handle * x2, x2, y2))


def bounds(outline: Iterable[Segment]) -> Box:
    """The box (mm) that the outline fills, curves by their true extremes. ValueError for an empty outline."""
    points: list[Point] = []
    here: Point = (0.0, 0.0)
    for verb, values in outline:
        if verb == "Z":
            continue
        points += _extremes(here, values) if verb == "C" else []
        here = (values[-2], values[-1])
        points.append(here)
    return box_of(points)


def box_of(points: Sequence[Point]) -> Box:
    """The box round points. ValueError if there are none."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), min(ys), max(xs), max(ys))


def _extremes(here: Point, values: tuple[float, ...]) -> list[Point]:
    xs, ys = (here[0], *values[::2]), (here[1], *values[1::2])
    at = [*_turning_points(*xs), *_turning_points(*ys)]
    return [(_bezier(t, *xs), _bezier(t, *ys)) for t in at]


def _bezier(t: float, p0: float, p1: float, p2: float, p3: float) -> float:
    s = 1 - t
    return s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3


def _turning_points(p0: float, p1: float, p2: float, p3: float) -> list[float]:
    """Where in (0, 1) the derivative of the curve is nought."""
    a, b, c = -p0 + 3 * p1 - 3 * p2 + p3, 2 * (p0 - 2 * p1 + p2), p1 - p0
    if abs(a) < 1e-12:
        roots = [-c / b] if abs(b) > 1e-12 else []
    else:
        root = b * b - 4 * a * c
        roots = [(-b + sign * math.sqrt(root)) / (2 * a) for sign in (1, -1)] if root >= 0 else []
    return [t for t in roots if 0 < t < 1]

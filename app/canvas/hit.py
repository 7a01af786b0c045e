"""What is under the cursor: ports first, then positions, parts, runs, notes. Pure geometry; knows no widget."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import msgspec

from engine.drawing.sheet import SheetDrawing
from engine.model.network import End

Box = tuple[float, float, float, float]
Point = tuple[float, float]


class Hit(msgspec.Struct, frozen=True):
    """What was found: `key` as in the selection ("" for nothing), the port or the leg of a run."""

    key: str = ""
    end: End | None = None
    leg: int = -1

    @property
    def kind(self) -> str:
        """ "port", "part", "position", "run", "note" or "" for the bare sheet."""
        return "port" if self.end else self.key.partition(":")[0]

    @property
    def part(self) -> str:
        """The id of the part that the port, position or part belongs to, or ""."""
        kind, _, rest = self.key.partition(":")
        return rest.partition("/")[0] if kind in ("part", "position") else ""


def hit(drawing: SheetDrawing, x_mm: float, y_mm: float, tolerance_mm: float, port_mm: float = math.inf) -> Hit:
    """What stands at the point, or comes within the tolerance of it; `port_mm` is that of ports where it is less."""
    return (
        port_near(drawing, x_mm, y_mm, min(tolerance_mm, port_mm))
        or _box_under(drawing, x_mm, y_mm, ("position", "part"))
        or _leg_near(drawing, x_mm, y_mm, tolerance_mm)
        or _box_under(drawing, x_mm, y_mm, ("note",))
        or Hit()
    )


def port_near(drawing: SheetDrawing, x_mm: float, y_mm: float, tolerance_mm: float) -> Hit | None:
    """The nearest port within the tolerance."""
    near = (
        (math.hypot(spot.x_mm - x_mm, spot.y_mm - y_mm), end)
        for end, spot in drawing.ports.items()
        if abs(spot.x_mm - x_mm) <= tolerance_mm and abs(spot.y_mm - y_mm) <= tolerance_mm
    )
    distance, end = min(near, default=(math.inf, ("", "")))
    return Hit(f"part:{end[0]}", End(part=end[0], port=end[1])) if distance <= tolerance_mm else None


def _box_under(drawing: SheetDrawing, x: float, y: float, kinds: tuple[str, ...]) -> Hit | None:
    """The smallest box over the point, of the first kind that has one."""
    for kind in kinds:
        over = [
            ((box[2] - box[0]) * (box[3] - box[1]), key)
            for key, box in drawing.boxes.items()
            if key.startswith(kind + ":") and box[0] <= x <= box[2] and box[1] <= y <= box[3]
        ]
        if over:
            return Hit(min(over)[1])
    return None


def _leg_near(drawing: SheetDrawing, x: float, y: float, tolerance: float) -> Hit | None:
    best, found = tolerance, None
    for run, points in drawing.paths.items():
        for leg, (a, b) in enumerate(pairwise(points)):
            distance = distance_to_leg((x, y), a, b)
            if distance <= best:
                best, found = distance, Hit(f"run:{run}", leg=leg)
    return found


def distance_to_leg(point: Point, a: Point, b: Point) -> float:
    """From a point to the nearest point of a straight leg, mm."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    along = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / square if square else 0.0
    share = min(max(along, 0.0), 1.0)
    return math.hypot(point[0] - a[0] - share * dx, point[1] - a[1] - share * dy)


def inside(drawing: SheetDrawing, box: Box) -> frozenset[str]:
    """Keys of the parts, runs and notes that lie wholly in the box."""
    keys = {
        key
        for key, item in drawing.boxes.items()
        if key.partition(":")[0] in ("part", "note") and _within(((item[0], item[1]), (item[2], item[3])), box)
    }
    return frozenset(keys | {f"run:{run}" for run, points in drawing.paths.items() if points and _within(points, box)})


def _within(points: Iterable[Point], box: Box) -> bool:
    return all(box[0] <= x <= box[2] and box[1] <= y <= box[3] for x, y in points)

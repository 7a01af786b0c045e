"""What a check adds to a sheet: numbered marks of findings, shown paths, live colours, values beside runs.

Four shapes that are told apart in grey: danger a filled triangle, requirement a filled square on its point, advice a
ring with a dot, cannot tell a dashed square with a query. Knows no rule and no finding, only keys of the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Literal

import msgspec

from engine.drawing.bounds import items_box
from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.labels import Ground
from engine.drawing.metrics import Box, text_width_mm
from engine.drawing.outline import Outline, Point, circle, line, polyline, rectangle
from engine.drawing.ports import grown

Severity = Literal["danger", "requirement", "advice", "unknown"]
SEVERITIES: tuple[Severity, ...] = ("danger", "requirement", "advice", "unknown")
MARK_MM = 4.2
NUMBER_MM = 1.8
STEP_MM = 1.25


class Mark(msgspec.Struct, frozen=True):
    """A finding at one thing of the sheet; `number` is that of the list of findings (0: none is written)."""

    key: str
    severity: Severity
    number: int = 0


class Annotation(msgspec.Struct, frozen=True):
    """What is drawn over a sheet. `paths` are sequences of keys ("run:w3", "part:p4"); `live` gives a run's theme
    colour ("live.dc"), `values` a text by run. Both by run id."""

    marks: tuple[Mark, ...] = ()
    paths: tuple[tuple[str, ...], ...] = ()
    live: Mapping[str, str] = {}
    values: Mapping[str, str] = {}


def mark_items(severity: Severity, x: float, y: float, size: float = MARK_MM) -> tuple[Item, ...]:
    """The mark of a severity centred at (x, y)."""
    h = size / 2
    match severity:
        case "danger":
            return (
                _filled([(x, y - h), (x + h * 1.08, y + h * 0.86), (x - h * 1.08, y + h * 0.86)], "danger"),
                Path(line(x, y - h * 0.3, x, y + h * 0.2), Pen("paper", 0.45)),
                Path(line(x, y + h * 0.54, x, y + h * 0.55), Pen("paper", 0.45)),
            )
        case "requirement":
            return (
                _filled([(x, y - h), (x + h, y), (x, y + h), (x - h, y)], "requirement"),
                Path(line(x - h * 0.4, y, x + h * 0.4, y), Pen("paper", 0.45)),
            )
        case "advice":
            return (
                Path(circle(x, y, h * 0.88), Pen("advice", 0.4), "paper"),
                Path(circle(x, y, h * 0.32), None, "advice"),
            )
    return (
        Path(
            rectangle(x - h * 0.85, y - h * 0.85, size * 0.85, size * 0.85, 0.4),
            Pen("unknown", 0.35, (0.9, 0.6)),
            "paper",
        ),
        Text(x, y + 1.1, "?", 2.2, "middle", "bold", "unknown"),
    )


def _filled(corners: list[Point], colour: str) -> Path:
    return Path(polyline(corners, closed=True), Pen(colour, 0.25), colour)


def place_marks(
    marks: Sequence[Mark], boxes: Mapping[str, Box], paths: Mapping[str, Sequence[Point]], ground: Ground
) -> Iterator[Group]:
    """Each mark, with its number, at the nearest free place by the thing it belongs to."""
    for mark in marks:
        box = boxes.get(mark.key)
        if box is None:
            continue
        x, y = _free_place(_width(mark), _wanted(mark.key, box, paths), ground)
        yield Group(f"mark:{mark.number}" if mark.number else f"mark:{mark.key}", _numbered(mark, x, y))


def _width(mark: Mark) -> float:
    return MARK_MM + (text_width_mm(str(mark.number), NUMBER_MM, "bold") + 0.6 if mark.number else 0.0)


def _wanted(key: str, box: Box, paths: Mapping[str, Sequence[Point]]) -> Box:
    """Runs get their mark at the middle of their longest stretch, other things round their box."""
    points = paths.get(key.removeprefix("run:")) if key.startswith("run:") else None
    if not points:
        return box
    stretches = sorted(pairwise(points), key=lambda s: -abs(s[0][0] - s[1][0]) - abs(s[0][1] - s[1][1]))
    (ax, ay), (bx, by) = stretches[0]
    x, y = (ax + bx) / 2, (ay + by) / 2
    return (x - 0.5, y - 0.5, x + 0.5, y + 0.5)


def _free_place(width: float, box: Box, ground: Ground) -> Point:
    """The centre of the mark itself; outwards ring by ring, clockwise from the upper right."""
    h = MARK_MM / 2
    places = list(_ring_places(width, box))
    for x, y in places:
        taken = (x - h, y - h, x - h + width, y + h)
        if ground.is_free(taken, 0.3):
            ground.take(taken)
            return x, y
    return places[0]


def _ring_places(width: float, box: Box) -> Iterator[Point]:
    h = MARK_MM / 2
    for ring in range(12):
        gap = 0.6 + h + ring * STEP_MM
        left, right, top, foot = box[0] - gap - width + 2 * h, box[2] + gap, box[1] - gap, box[3] + gap
        yield from ((right, top), (right, foot), (left, top), (left, foot))
        steps = int(max(right - left, foot - top) / STEP_MM)
        for n in range(1, steps):
            x, y = left + n * STEP_MM, top + n * STEP_MM
            if x < right:
                yield from ((x, top), (x, foot))
            if y < foot:
                yield from ((right, y), (left, y))


def _numbered(mark: Mark, x: float, y: float) -> tuple[Item, ...]:
    items = mark_items(mark.severity, x, y)
    if not mark.number:
        return items
    return (*items, Text(x + MARK_MM / 2 + 0.5, y + 0.9, str(mark.number), NUMBER_MM, "start", "bold", mark.severity))


def shown_path(
    keys: Sequence[str], outlines: Mapping[str, tuple[Outline, float]], boxes: Mapping[str, Box]
) -> Iterator[Item]:
    """A path as a broad band under its runs (`outlines`: way and width by run id) and round its parts."""
    for width, colour in ((2.6, "danger"), (2.0, "caution.fill")):
        for key in keys:
            run = key.removeprefix("run:")
            if run in outlines:
                way, own = outlines[run]
                yield Path(way, Pen(colour, own + width))
            elif key in boxes:
                box = grown(boxes[key], 1.0)
                frame = rectangle(box[0], box[1], box[2] - box[0], box[3] - box[1], 1.5)
                yield Path(frame, Pen(colour, width - 1.2), "caution.fill")


def items_ground(items: Sequence[Item], ground: Ground) -> None:
    """Take the ground of drawn items."""
    box = items_box(items)
    if box is not None:
        ground.take(box)

"""What a check adds to a sheet: numbered marks of findings, shown paths, what is live, values beside runs and parts.

Four shapes that are told apart in grey: danger a filled triangle, requirement a filled square on its point, advice a
ring with a dot, cannot tell a dashed square with a query. Knows no rule and no finding, only keys of the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import msgspec

from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.labels import Ground
from engine.drawing.metrics import Box, text_width_mm
from engine.drawing.outline import Outline, Point, circle, line, polyline, rectangle
from engine.drawing.ports import grown
from engine.drawing.severity import SEVERITIES as SEVERITIES
from engine.drawing.severity import Severity as Severity

MARK_MM = 4.2
NUMBER_MM = 1.8
STEP_MM = 1.25


class Mark(msgspec.Struct, frozen=True):
    """A finding at one thing of the sheet; `number` is that of the list of findings (0: none is written)."""

    key: str
    severity: Severity
    number: int = 0


class Annotation(msgspec.Struct, frozen=True):
    """What is drawn over a sheet: findings and their paths, or the boat in one condition (engine/drawing/overlay.py)."""

    marks: tuple[Mark, ...] = ()
    paths: tuple[tuple[str, ...], ...] = ()
    """Sequences of keys ("run:w3", "part:p4")."""
    condition: str = ""
    """The condition that is shown, in words: it heads the legend."""
    feeds: tuple[str, ...] = ()
    """What the legend says of each feed; feed 0 is lettered A."""
    live: Mapping[str, int] = {}
    """The feed of a run by its id, -1 where it is dead; runs that it does not name are returns and protective earth."""
    values: Mapping[str, tuple[str, ...]] = {}
    """By run id what it says beside the run: the longest form first."""
    beside: Mapping[str, str] = {}
    """By key of a part ("part:p4") what it says beside the part."""
    heat: Mapping[str, int] = {}
    """By run id how full it is: a class 1 to 5 (HEAT_TO), 0 where that is not known."""
    frames: Mapping[str, str] = {}
    """Parts that are framed ("part:p4"), with the word at the frame."""


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


MOST_TRIED = 60
"""Where there is no free place, the least crowded of so many is taken."""


def place_marks(
    marks: Sequence[Mark], boxes: Mapping[str, Box], paths: Mapping[str, Sequence[Point]], ground: Ground
) -> Iterator[Group]:
    """Each mark, with its number, at the nearest free place by the thing it belongs to; far off with a leader."""
    for mark in marks:
        box = boxes.get(mark.key)
        if box is None:
            continue
        points = paths.get(mark.key.removeprefix("run:"), ()) if mark.key.startswith("run:") else ()
        x, y, foot = _free_place(_width(mark), box, points, ground)
        items = _numbered(mark, x, y)
        leader = (_leader(mark, (x, y), foot),) if foot else ()
        yield Group(f"mark:{mark.number}" if mark.number else f"mark:{mark.key}", (*leader, *items))


def _leader(mark: Mark, centre: Point, foot: Point) -> Item:
    return Path(line(*centre, *foot), Pen(mark.severity, 0.18))


def _width(mark: Mark) -> float:
    return MARK_MM + (text_width_mm(str(mark.number), NUMBER_MM, "bold") + 0.6 if mark.number else 0.0)


def _free_place(width: float, box: Box, points: Sequence[Point], ground: Ground) -> tuple[float, float, Point | None]:
    """The centre of the mark itself, and where its leader ends if it has to stand off."""
    h = MARK_MM / 2
    tried: list[tuple[float, float, Point | None]] = []
    for x, y, foot in _run_places(points, width) if points else ring_places(width, box):
        if len(tried) < MOST_TRIED:
            tried.append((x, y, foot))
        taken = (x - h, y - h, x - h + width, y + h)
        if ground.is_free(taken, 0.3):
            ground.take(taken)
            return x, y, foot
    on_it = [(x, y, None) for x, y, _ in along(points)]
    return min((*on_it, *tried), key=lambda at: ground.crowding((at[0] - h, at[1] - h, at[0] - h + width, at[1] + h)))


def _run_places(points: Sequence[Point], width: float) -> Iterator[tuple[float, float, Point | None]]:
    """Beside the run along its whole way, middle of the longest stretch first; then farther off."""
    spots = list(along(points))
    for ring in range(24):
        off = MARK_MM / 2 + 0.9 + ring * STEP_MM
        for x, y, level in spots:
            foot = (x, y) if ring > 1 else None
            shifts = ((0.0, -off), (0.0, off)) if level else ((off, 0.0), (-off - width + MARK_MM, 0.0))
            yield from ((x + dx, y + dy, foot) for dx, dy in shifts)


def along(points: Sequence[Point]) -> Iterator[tuple[float, float, bool]]:
    """Points on a way, middle of its longest stretch first, each with whether it lies on a level stretch."""
    stretches = sorted(pairwise(points), key=lambda s: -abs(s[0][0] - s[1][0]) - abs(s[0][1] - s[1][1]))
    for (ax, ay), (bx, by) in stretches:
        steps = int((abs(ax - bx) + abs(ay - by)) / 2.5)
        for n in sorted(range(1, steps), key=lambda n: abs(n - steps / 2)):
            yield ax + (bx - ax) * n / steps, ay + (by - ay) * n / steps, ay == by


def ring_places(width: float, box: Box) -> Iterator[tuple[float, float, Point | None]]:
    """Outwards ring by ring, from the upper right."""
    h = MARK_MM / 2
    for ring in range(24):
        gap = 0.6 + h + ring * STEP_MM
        left, right, top, foot = box[0] - gap - width + 2 * h, box[2] + gap, box[1] - gap, box[3] + gap
        for x, y in _ring(left, right, top, foot):
            nearest = (min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3]))
            yield x, y, nearest if ring > 4 else None


def _ring(left: float, right: float, top: float, foot: float) -> Iterator[Point]:
    yield from ((right, top), (right, foot), (left, top), (left, foot))
    for n in range(1, int(max(right - left, foot - top) / STEP_MM)):
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

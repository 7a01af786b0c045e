"""What holds for every drawn sheet, whatever boat is on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from engine.drawing.bounds import overlap, texts
from engine.drawing.display import Group, Item, Text
from engine.drawing.metrics import Box, text_box
from engine.drawing.outline import Point
from engine.drawing.sheet import SheetDrawing

Stretch = tuple[Point, Point]
APART = ("frame", "title-block")


def stretches(points: Sequence[Point]) -> Iterator[Stretch]:
    """The straight pieces of a way."""
    return iter(pairwise(points))


def strip(stretch: Stretch, half_mm: float = 0.1) -> Box:
    """A straight piece as a thin box."""
    (ax, ay), (bx, by) = stretch
    return (min(ax, bx) - half_mm, min(ay, by) - half_mm, max(ax, bx) + half_mm, max(ay, by) + half_mm)


def labels(drawing: SheetDrawing) -> list[tuple[str, Text]]:
    """Every text of the sheet with the key of its group; without frame and title block."""
    groups = [item for item in drawing.page.items if isinstance(item, Group) and item.key not in APART]
    return [(group.key, text) for group in groups for text in texts(group.items)]


def outer_labels(drawing: SheetDrawing) -> list[tuple[str, Text]]:
    """The texts that do not belong to the inside of a part."""
    found = []
    for key, text in labels(drawing):
        own = drawing.boxes.get(key) if key.startswith("part:") else None
        if own is None or not overlap(text_box(text), own):
            found.append((key, text))
    return found


def part_boxes(drawing: SheetDrawing) -> dict[str, Box]:
    """The outlines of parts."""
    return {key: box for key, box in drawing.boxes.items() if key.startswith("part:")}


def runs_through_parts(drawing: SheetDrawing, ends: dict[str, tuple[str, str]]) -> list[str]:
    """Runs that touch the inside of a part: of a strange one anywhere, of their own but with their first stretch."""
    wrong = []
    for run, points in drawing.paths.items():
        pieces = list(stretches(points))
        for key, box in part_boxes(drawing).items():
            own = key.removeprefix("part:") in ends[run]
            inner = (box[0] + 0.3, box[1] + 0.3, box[2] - 0.3, box[3] - 0.3)
            for n, piece in enumerate(pieces):
                if own and n in (0, len(pieces) - 1):
                    continue
                if overlap(strip(piece, 0.01), inner):
                    wrong.append(f"{run} through {key}")
    return wrong


def overlapping_labels(drawing: SheetDrawing) -> list[str]:
    """Pairs of texts that overlap."""
    found = labels(drawing)
    return [
        f"{one.string!r} on {other.string!r}"
        for (_, one), (_, other) in combinations(found, 2)
        if overlap(text_box(one), text_box(other), -0.05)
    ]


def labels_on_parts(drawing: SheetDrawing) -> list[str]:
    """Texts beside parts and on runs that overlap a part."""
    return [
        f"{text.string!r} on {key}"
        for _, text in outer_labels(drawing)
        for key, box in part_boxes(drawing).items()
        if overlap(text_box(text), box, -0.05)
    ]


def labels_on_runs(drawing: SheetDrawing) -> list[str]:
    """Texts that overlap a run."""
    return [
        f"{text.string!r} on {run}"
        for _, text in outer_labels(drawing)
        for run, points in drawing.paths.items()
        for piece in stretches(points)
        if overlap(text_box(text), strip(piece), -0.02)
    ]


def shared_lanes(drawing: SheetDrawing, ends: dict[str, tuple[str, str]]) -> list[str]:
    """Pairs of runs that lie on each other though they share no port."""
    wrong = []
    for (one, a), (other, b) in combinations(drawing.paths.items(), 2):
        if set(ends[one]) & set(ends[other]):
            continue
        wrong += [f"{one} on {other}" for p in stretches(a) for q in stretches(b) if _collinear(p, q)]
    return wrong


def _collinear(p: Stretch, q: Stretch) -> bool:
    for axis in (0, 1):
        lines = {p[0][axis], p[1][axis], q[0][axis], q[1][axis]}
        other = 1 - axis
        low = max(min(p[0][other], p[1][other]), min(q[0][other], q[1][other]))
        high = min(max(p[0][other], p[1][other]), max(q[0][other], q[1][other]))
        if len(lines) == 1 and high - low > 1e-6:
            return True
    return False


def crossings(drawing: SheetDrawing) -> list[tuple[str, Point]]:
    """Each place where a level piece crosses an upright piece of another run, by the level one's run."""
    found = []
    for (one, a), (other, b) in ((x, y) for x in drawing.paths.items() for y in drawing.paths.items() if x is not y):
        del other
        for p in stretches(a):
            for q in stretches(b):
                if p[0][1] == p[1][1] and q[0][0] == q[1][0] and _cross(p, q):
                    found.append((one, (q[0][0], p[0][1])))
    return found


def _cross(level: Stretch, upright: Stretch) -> bool:
    x, y = upright[0][0], level[0][1]
    return min(level[0][0], level[1][0]) < x < max(level[0][0], level[1][0]) and min(
        upright[0][1], upright[1][1]
    ) < y < max(upright[0][1], upright[1][1])


def group_items(drawing: SheetDrawing, key: str) -> list[Item]:
    """The items of every group with this key."""
    groups = [item for item in drawing.page.items if isinstance(item, Group) and item.key == key]
    return [item for group in groups for item in group.items]

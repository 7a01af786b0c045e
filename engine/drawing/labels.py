"""Places texts where there is room: beside parts, along runs. The first free place in a fixed order.

Knows boxes and lines, no parts and no wires.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import msgspec

from engine.drawing.bounds import overlap
from engine.drawing.display import Anchor, Text, Weight
from engine.drawing.metrics import Box, text_box, text_width_mm
from engine.drawing.outline import Point
from engine.drawing.ports import grown
from engine.drawing.shapes import PartShape, TagLine

CELL_MM = 10.0
WIDEST_CLEAR_MM = 1.0
WORD_MM = 1.3
APART_MM = 100.0
"""Least distance of the two tags of a long run."""

CLEAR_MM = 0.25
APART_TAGS_MM = 0.6
GAP_MM = 0.9
TAIL, ACCENT = 0.33, 1.21
"""Below and above a line of text, in heights of capitals."""
RUN_TAG_MM = 1.8
LONG_RUN_MM = 200.0
START_MM = 2.0
STEP_MM = 2.5


class Ground:
    """What is taken on a sheet, as boxes sorted into cells; a working object of one drawing."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[Box]] = {}
        self._taken: list[Box] = []

    def copy(self) -> Ground:
        """The same ground, on which more can be taken."""
        twin = Ground()
        twin._cells = {cell: boxes.copy() for cell, boxes in self._cells.items()}
        twin._taken = self._taken.copy()
        return twin

    def take(self, box: Box) -> None:
        """Mark a box as taken."""
        self._taken.append(box)
        for cell in _cells(box, WIDEST_CLEAR_MM):
            self._cells.setdefault(cell, []).append(box)

    def is_free(self, box: Box, clear_mm: float = CLEAR_MM) -> bool:
        """Whether nothing taken comes nearer than the clearance, which is at most WIDEST_CLEAR_MM."""
        x0, y0, x1, y1 = box[0] - clear_mm, box[1] - clear_mm, box[2] + clear_mm, box[3] + clear_mm
        cells = self._cells
        for cell in _cells(box):
            for left, top, right, foot in cells.get(cell, ()):
                if x0 < right and left < x1 and y0 < foot and top < y1:
                    return False
        return True

    def free_spot(self, room: Box, width_mm: float, height_mm: float) -> Point | None:
        """The lowest, then leftmost place in the room for a rectangle, on a raster of 2.5 mm; None without one."""
        wide, high = math.ceil(width_mm / STEP_MM), math.ceil(height_mm / STEP_MM)
        columns = int((room[2] - room[0]) / STEP_MM)
        free = self._free_rows(room, columns)
        for top in range(len(free) - high, -1, -1):
            open_columns = (1 << columns) - 1
            for row in free[top : top + high]:
                open_columns &= row
            starts = _starts(open_columns, wide)
            if starts:
                return room[0] + (starts & -starts).bit_length() * STEP_MM - STEP_MM, room[1] + top * STEP_MM
        return None

    def _free_rows(self, room: Box, columns: int) -> list[int]:
        """The free cells of each row of the raster, as bits."""
        rows = [(1 << columns) - 1] * int((room[3] - room[1]) / STEP_MM)
        for x0, y0, x1, y1 in self._taken:
            left, right = max(0, int((x0 - room[0]) // STEP_MM)), min(columns - 1, int((x1 - room[0]) // STEP_MM))
            top, foot = max(0, int((y0 - room[1]) // STEP_MM)), min(len(rows) - 1, int((y1 - room[1]) // STEP_MM))
            if left <= right and top <= foot:
                mask = ~(((1 << (right - left + 1)) - 1) << left)
                for row in range(top, foot + 1):
                    rows[row] &= mask
        return rows

    def crowding(self, box: Box) -> int:
        """How many taken boxes it would touch."""
        return len({other for cell in _cells(box) for other in self._cells.get(cell, ()) if overlap(box, other)})


def _cells(box: Box, around_mm: float = 0.0) -> list[tuple[int, int]]:
    left, right = int((box[0] - around_mm) // CELL_MM), int((box[2] + around_mm) // CELL_MM)
    top, foot = int((box[1] - around_mm) // CELL_MM), int((box[3] + around_mm) // CELL_MM)
    return [(column, row) for column in range(left, right + 1) for row in range(top, foot + 1)]


def _starts(bits: int, length: int) -> int:
    """The bits at which so many set bits in a row begin."""
    done = 1
    while done < length and bits:
        step = min(done, length - done)
        bits &= bits >> step
        done += step
    return bits


def place_part_tag(shape: PartShape, x_mm: float, y_mm: float, lines: Sequence[TagLine], ground: Ground) -> list[Text]:
    """The lines beside a part, at the first place where they touch nothing; at the least crowded where all touch."""
    if not lines:
        return []
    moved = (shape.box[0] + x_mm, shape.box[1] + y_mm, shape.box[2] + x_mm, shape.box[3] + y_mm)
    best: tuple[int, list[Text]] | None = None
    for texts in _part_places(shape, moved, lines):
        crowding = sum(ground.crowding(grown(text_box(text), APART_TAGS_MM)) for text in texts)
        if crowding == 0:
            best = (0, texts)
            break
        if best is None or crowding < best[0]:
            best = (crowding, texts)
    assert best is not None
    for text in best[1]:
        ground.take(text_box(text))
    return best[1]


def _part_places(shape: PartShape, box: Box, lines: Sequence[TagLine]) -> Iterator[list[Text]]:
    """Places in order of preference: by the sides on which the part has pins, near first, then farther off."""
    order = _order(shape)
    for far in (0.0, 2.5, 5.0, 10.0):
        for place in order:
            yield from _at(place, box, lines, far)


def _order(shape: PartShape) -> tuple[str, ...]:
    sides = {side for pin in shape.pins for side in pin.sides}
    tall = shape.box[3] - shape.box[1] > 15.0
    if sides <= {"left", "bottom", "top"} and "left" in sides:
        return ("right", "above", "below", "left")
    if sides <= {"right", "bottom", "top"} and "right" in sides:
        return ("above", "left", "below", "right")
    if sides <= {"top", "bottom"}:
        return ("right", "left", "above", "below")
    return ("above", "below", "right", "left") if tall or "top" in sides else ("split", "above", "below", "right")


def _at(place: str, box: Box, lines: Sequence[TagLine], far: float) -> Iterator[list[Text]]:
    middle = (box[0] + box[2]) / 2
    if place == "split" and len(lines) > 1:
        yield _stack_up(lines[:1], middle, box[1] - GAP_MM - far) + _stack_down(lines[1:], middle, box[3] + GAP_MM)
    elif place in ("above", "split"):
        yield _stack_up(lines, middle, box[1] - GAP_MM - far)
        yield _stack_up(lines, box[0], box[1] - GAP_MM - far, "start")
        yield _stack_up(lines, box[2], box[1] - GAP_MM - far, "end")
    elif place == "below":
        yield _stack_down(lines, middle, box[3] + GAP_MM + far)
        yield _stack_down(lines, box[0], box[3] + GAP_MM + far, "start")
    else:
        yield from _beside(place, box, lines, far)


def _beside(place: str, box: Box, lines: Sequence[TagLine], far: float) -> Iterator[list[Text]]:
    """Designation and name share a line beside a part, so that rows of parts can stand close."""
    anchor: Anchor = "start" if place == "right" else "end"
    x = box[2] + GAP_MM + 0.4 + far if place == "right" else box[0] - GAP_MM - 0.4 - far
    rows = [lines[1], *lines[2:]] if len(lines) > 1 and lines[0].weight == "bold" else list(lines)
    tops = ((box[1] + box[3] - _height(rows)) / 2 - 0.4, box[1], box[3] - _height(rows) - 0.6)
    for top in tops:
        texts = _stack_down(rows, x, top, anchor)
        yield texts if rows == list(lines) else _with_designation(lines[0], texts, anchor)


def _with_designation(line: TagLine, texts: list[Text], anchor: Anchor) -> list[Text]:
    """The designation before the first text, on its base line."""
    first = texts[0]
    if anchor == "end":
        x = first.x_mm - text_width_mm(first.string, first.height_mm) - WORD_MM
        return [_text(line, x, first.y_mm, "end"), *texts]
    shift = text_width_mm(line.string, line.height_mm, line.weight) + WORD_MM
    moved = msgspec.structs.replace(first, x_mm=first.x_mm + shift)
    return [_text(line, first.x_mm, first.y_mm, "start"), moved, *texts[1:]]


def _height(lines: Sequence[TagLine]) -> float:
    return lines[0].height_mm + sum(_pitch(a, b) for a, b in pairwise(lines))


def _pitch(upper: TagLine, lower: TagLine) -> float:
    """Base line to base line: tails of the one and accents of the other keep apart."""
    return upper.height_mm * TAIL + lower.height_mm * ACCENT


def _text(line: TagLine, x: float, y: float, anchor: Anchor) -> Text:
    return Text(x, y, line.string, line.height_mm, anchor, line.weight, line.colour)


def _stack_down(lines: Sequence[TagLine], x: float, top: float, anchor: Anchor = "middle") -> list[Text]:
    texts: list[Text] = []
    y = top + lines[0].height_mm * ACCENT
    for number, line in enumerate(lines):
        y += _pitch(lines[number - 1], line) if number else 0.0
        texts.append(_text(line, x, y, anchor))
    return texts


def _stack_up(lines: Sequence[TagLine], x: float, foot: float, anchor: Anchor = "middle") -> list[Text]:
    """Lines in reading order whose last one stands on `foot`."""
    texts: list[Text] = []
    y = foot - lines[-1].height_mm * TAIL
    for number in range(len(lines) - 1, -1, -1):
        texts.append(_text(lines[number], x, y, anchor))
        y -= _pitch(lines[number - 1], lines[number]) if number else 0.0
    return texts[::-1]


def place_run_tags(points: Sequence[Point], width_mm: float, forms: Sequence[str], ground: Ground) -> list[Text]:
    """A run's tag (the longest form that fits), at both ends of a long run; nothing where not even the number fits."""
    first = place_along(points, width_mm, forms, ground)
    tags = [first] if first else []
    length = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(points))
    if first and length > LONG_RUN_MM:
        again = place_along(points[::-1], width_mm, forms, ground, far_from=first)
        tags += [again] if again else []
    return tags


def place_along(
    points: Sequence[Point],
    width_mm: float,
    forms: Sequence[str],
    ground: Ground,
    *,
    far_from: Text | None = None,
    weight: Weight = "regular",
    colour: str = "ink",
) -> Text | None:
    """One text on a run: over a level stretch if it can be, else along an upright one; well off another if told so."""
    far_end = far_from is not None
    stretches = list(pairwise(points))
    level = _by_length([one for one in stretches if one[0][1] == one[1][1]], far_end)
    upright = _by_length([one for one in stretches if one[0][0] == one[1][0]], far_end)
    for form in forms:
        for plain in (*_over(level, width_mm, form, far_end), *_along(upright, width_mm, form)):
            candidate = plain if weight == "regular" else msgspec.structs.replace(plain, weight=weight, colour=colour)
            near = far_from is not None and _distance(candidate, far_from) < APART_MM
            if not near and ground.is_free(text_box(candidate)):
                ground.take(text_box(candidate))
                return candidate
    return None


def _distance(one: Text, other: Text) -> float:
    return abs(one.x_mm - other.x_mm) + abs(one.y_mm - other.y_mm)


def _by_length(stretches: Iterable[tuple[Point, Point]], far_end: bool) -> list[tuple[Point, Point]]:
    """The longest first; for the far end the first long enough in order from there."""
    listed = list(stretches)
    if far_end:
        return listed
    return sorted(listed, key=lambda one: -abs(one[0][0] - one[1][0]) - abs(one[0][1] - one[1][1]))


def _over(stretches: Sequence[tuple[Point, Point]], width: float, string: str, far_end: bool) -> Iterator[Text]:
    length = text_width_mm(string, RUN_TAG_MM)
    for a, b in stretches:
        low, high = sorted((a[0], b[0]))
        room = high - low - length - 2 * START_MM
        if room < 0:
            continue
        starts = [low + START_MM + STEP_MM * n for n in range(int(room / STEP_MM) + 1)]
        if far_end and a[0] > b[0]:
            starts = [high - START_MM - length - STEP_MM * n for n in range(int(room / STEP_MM) + 1)]
        for y in (a[1] - width / 2 - 0.95, a[1] + width / 2 + 0.45 + RUN_TAG_MM * 1.2):
            yield from (Text(x, y, string, RUN_TAG_MM) for x in starts)


def _along(stretches: Sequence[tuple[Point, Point]], width: float, string: str) -> Iterator[Text]:
    length = text_width_mm(string, RUN_TAG_MM)
    for a, b in stretches:
        low, high = sorted((a[1], b[1]))
        room = high - low - length - 2 * START_MM
        if room < 0:
            continue
        feet = [high - START_MM - STEP_MM * n for n in range(int(room / STEP_MM) + 1)]
        for x in (a[0] - width / 2 - 0.95, a[0] + width / 2 + 0.45 + RUN_TAG_MM * 1.2):
            yield from (Text(x, y, string, RUN_TAG_MM, angle_deg=90) for y in feet)

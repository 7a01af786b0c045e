"""How the drawing lies: moving, turning, aligning, spreading. Never touches the network."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Literal

from engine.model.document import Document
from engine.model.edits.placing import snapped
from engine.model.edits.records import EditRefused, changed, each, ids_of, with_sheet
from engine.model.network import End, Run
from engine.model.sheets import Note, Place, Point, Rotation, Route, Sheet

Edge = Literal["left", "right", "top", "bottom", "centre", "middle"]
"""Edges and the two middles: "centre" puts centres on one vertical line, "middle" on one horizontal line."""

Axis = Literal["across", "down"]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom, mm on the sheet."""

TURNED: Mapping[Rotation, Rotation] = {0: 90, 90: 180, 180: 270, 270: 0}
TURNED_BACK: Mapping[Rotation, Rotation] = {new: old for old, new in TURNED.items()}


def move(document: Document, sheet_id: str, keys: Iterable[str], dx_mm: float, dy_mm: float) -> Document:
    """Parts and notes moved on the module, with the bends of the runs between them; other bends follow their end."""
    wanted, dx, dy = frozenset(keys), snapped(dx_mm), snapped(dy_mm)
    parts, notes = ids_of(wanted, "part"), ids_of(wanted, "note")
    if (dx, dy) == (0, 0) or not parts | notes:
        return document
    runs = {run.id: run for run in document.network.runs}

    def moved(sheet: Sheet) -> Sheet:
        return changed(
            sheet,
            places=_places(sheet, parts, lambda place: changed(place, x_mm=place.x_mm + dx, y_mm=place.y_mm + dy)),
            notes=each(sheet.notes, notes, lambda note: changed(note, x_mm=note.x_mm + dx, y_mm=note.y_mm + dy)),
            routes=tuple(_followed(route, runs[route.run], parts, dx, dy) for route in sheet.routes),
        )

    return with_sheet(document, sheet_id, moved)


def _places(sheet: Sheet, parts: frozenset[str], change: Callable[[Place], Place]) -> tuple[Place, ...]:
    return tuple(change(place) if place.part in parts else place for place in sheet.places)


def _followed(route: Route, run: Run, parts: frozenset[str], dx: float, dy: float) -> Route:
    """All bends where both ends moved; where one did, its nearest bend keeps the leg to the port straight."""
    at_a, at_b = run.a.part in parts, run.b.part in parts
    if at_a and at_b:
        return changed(route, bends=tuple((x + dx, y + dy) for x, y in route.bends))
    bends = _first_follows(route.bends, dx, dy) if at_a else route.bends
    bends = _first_follows(bends[::-1], dx, dy)[::-1] if at_b else bends
    return changed(route, bends=bends)


def _first_follows(bends: tuple[Point, ...], dx: float, dy: float) -> tuple[Point, ...]:
    """The first leg runs square to the leg after the first bend; with a single bend it cannot be told, so it stays."""
    if len(bends) < 2:
        return bends
    (x, y), (next_x, _) = bends[0], bends[1]
    first = (x, y + dy) if x == next_x else (x + dx, y)
    return (first, *bends[1:])


def rotate(document: Document, sheet_id: str, keys: Iterable[str], clockwise: bool = True) -> Document:
    """Parts turned by a quarter, each about its own origin."""
    turn = TURNED if clockwise else TURNED_BACK
    return _arranged(document, sheet_id, keys, lambda place: changed(place, rotation=turn[place.rotation]))


def mirror(document: Document, sheet_id: str, keys: Iterable[str]) -> Document:
    """Parts mirrored, each about its own axis."""
    return _arranged(document, sheet_id, keys, lambda place: changed(place, mirrored=not place.mirrored))


def resize(
    document: Document, sheet_id: str, part_id: str, width_mm: float | None, height_mm: float | None
) -> Document:
    """The set size of a bar, block or board; None: as large as it needs."""
    width, height = (None if size is None else max(snapped(size), 2.5) for size in (width_mm, height_mm))
    return _arranged(
        document, sheet_id, (f"part:{part_id}",), lambda place: changed(place, width_mm=width, height_mm=height)
    )


def _arranged(document: Document, sheet_id: str, keys: Iterable[str], change: Callable[[Place], Place]) -> Document:
    parts = ids_of(keys, "part")
    return with_sheet(document, sheet_id, lambda sheet: changed(sheet, places=_places(sheet, parts, change)))


def align(document: Document, sheet_id: str, boxes: Mapping[str, Box], edge: Edge) -> Document:
    """Parts (key: part id, with the box each fills) on one edge: the outermost one's, or the middle of them all."""
    if len(boxes) < 2:
        raise EditRefused("too-few", {"least": 2})
    shifts = {part: _shift(box, list(boxes.values()), edge) for part, box in boxes.items()}
    return _shifted(document, sheet_id, shifts)


def _shift(box: Box, boxes: list[Box], edge: Edge) -> Point:
    left, top, right, bottom = box
    match edge:
        case "left":
            return min(b[0] for b in boxes) - left, 0
        case "right":
            return max(b[2] for b in boxes) - right, 0
        case "top":
            return 0, min(b[1] for b in boxes) - top
        case "bottom":
            return 0, max(b[3] for b in boxes) - bottom
        case "centre":
            return _middle(boxes, 0, 2) - (left + right) / 2, 0
        case "middle":
            return 0, _middle(boxes, 1, 3) - (top + bottom) / 2


def _middle(boxes: list[Box], low: int, high: int) -> float:
    return (min(box[low] for box in boxes) + max(box[high] for box in boxes)) / 2


def distribute(document: Document, sheet_id: str, boxes: Mapping[str, Box], axis: Axis) -> Document:
    """Parts with equal gaps between the first and the last, as nearly as the module allows."""
    if len(boxes) < 3:
        raise EditRefused("too-few", {"least": 3})
    low, high = (0, 2) if axis == "across" else (1, 3)
    order = sorted(boxes, key=lambda part: boxes[part][low])
    filled = sum(boxes[part][high] - boxes[part][low] for part in order)
    gap = (boxes[order[-1]][high] - boxes[order[0]][low] - filled) / (len(order) - 1)
    shifts: dict[str, Point] = {}
    at = boxes[order[0]][low]
    for part in order:
        along = at - boxes[part][low]
        shifts[part] = (along, 0) if axis == "across" else (0, along)
        at += boxes[part][high] - boxes[part][low] + gap
    return _shifted(document, sheet_id, shifts)


def _shifted(document: Document, sheet_id: str, shifts: Mapping[str, Point]) -> Document:
    made = document
    for part, (dx, dy) in shifts.items():
        made = move(made, sheet_id, (f"part:{part}",), dx, dy)
    return made


def shifted_segment(points: tuple[Point, ...], index: int, delta_mm: float) -> tuple[Point, ...]:
    """The bends of a run after its leg `index` (points[index] to points[index + 1], ends included) is pushed sideways.

    A leg that ends on a port keeps the port: a new corner joins it to the pushed leg. Corners that no longer turn go.
    """
    (ax, ay), (bx, by) = points[index], points[index + 1]
    dx, dy = (delta_mm, 0.0) if abs(ax - bx) < abs(ay - by) else (0.0, delta_mm)
    pushed = _pushed((ax, ay), dx, dy), _pushed((bx, by), dx, dy)
    before = points[: index + 1] if index == 0 else points[:index]
    after = points[index + 1 :] if index == len(points) - 2 else points[index + 2 :]
    return straightened((*before, *pushed, *after))[1:-1]


def _pushed(point: Point, dx: float, dy: float) -> Point:
    """Put on the module across the leg; along it, as it was."""
    x, y = point
    return (snapped(x + dx) if dx else x, snapped(y + dy) if dy else y)


def straightened(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """The points without doubles and without those in the middle of a straight leg; the ends stay."""
    kept: list[Point] = []
    for point in points:
        if kept and point == kept[-1]:
            continue
        while len(kept) >= 2 and _in_line(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    return tuple(kept) if len(kept) > 1 else (*kept, *points[-1:])


def _in_line(a: Point, b: Point, c: Point) -> bool:
    return a[0] == b[0] == c[0] or a[1] == b[1] == c[1]


def add_note(document: Document, sheet_id: str, x_mm: float, y_mm: float, text: str) -> Document:
    """A line of text on the sheet. Refuses an empty one."""
    if not text.strip():
        raise EditRefused("note-empty")
    note = Note(id=f"n{document.next_id}", x_mm=snapped(x_mm), y_mm=snapped(y_mm), text=text.strip())
    made = with_sheet(document, sheet_id, lambda sheet: changed(sheet, notes=(*sheet.notes, note)))
    return changed(made, next_id=document.next_id + 1)


def set_note(document: Document, note_id: str, text: str, height_mm: float | None = None) -> Document:
    """Other words (and height) in a note. Refuses empty ones: delete the note instead."""
    if not text.strip():
        raise EditRefused("note-empty")

    def told(note: Note) -> Note:
        return changed(note, text=text.strip(), height_mm=height_mm or note.height_mm)

    sheets = tuple(changed(sheet, notes=each(sheet.notes, (note_id,), told)) for sheet in document.sheets)
    return changed(document, sheets=sheets)


def ends_on(document: Document, end: End) -> tuple[Run, ...]:
    """The runs that land on a port."""
    return tuple(run for run in document.network.runs if end in (run.a, run.b))

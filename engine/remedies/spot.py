"""Where on the sheet a device that a remedy puts into a run would stand: on the run, near one end, over nothing else."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from itertools import pairwise

import msgspec

from engine.drawing.sheet import Draughtsman, SheetDrawing
from engine.library.device import Library
from engine.library.symbol import Symbol, load_symbols
from engine.model.document import Document
from engine.model.network import Run
from engine.model.sheets import MODULE_MM, Rotation, Sheet

HALF_MM = 7.5
"""Half of the square that a small symbol with its lettering needs."""
FIRST_MM = 10.0
"""Off the end of the run."""
Box = tuple[float, float, float, float]
Point = tuple[float, float]


class Spot(msgspec.Struct, frozen=True):
    """A place for a small symbol, its first port towards where the run comes from."""

    sheet_id: str
    x_mm: float
    y_mm: float
    rotation: Rotation = 0


@lru_cache(maxsize=1)
def _symbols() -> Mapping[str, Symbol]:
    return load_symbols()


def spot_on(document: Document, library: Library, run: Run, from_a: bool) -> Spot:
    """The first free place along the run from one of its ends; where it is not drawn, the corner of the first sheet."""
    for sheet in document.sheets:
        if {run.a.part, run.b.part} <= {place.part for place in sheet.places}:
            drawing = Draughtsman(library, _symbols()).draw(document, sheet.id, frame=False)
            return _along(drawing, sheet, run, from_a)
    return Spot(document.sheets[0].id, 50.0, 50.0)


def _along(drawing: SheetDrawing, sheet: Sheet, run: Run, from_a: bool) -> Spot:
    way = drawing.paths.get(run.id, ())
    points = list(way if from_a else reversed(way))
    taken = [box for key, box in drawing.boxes.items() if key.startswith(("part:", "note:"))]
    taken += [_square(place.x_mm, place.y_mm, 2 * MODULE_MM) for place in sheet.places]
    spots = list(_steps(points))
    free = next((spot for spot in spots if not _hits(_square(spot[0], spot[1], HALF_MM), taken)), None)
    x, y, turned = free or (spots[len(spots) // 2] if spots else (50.0, 50.0, 0))
    return Spot(sheet.id, x, y, turned)


def _steps(points: list[Point]) -> Iterator[tuple[float, float, Rotation]]:
    """Points on the module along the way, none next to its ends or corners, with the turn of what stands there."""
    for (ax, ay), (bx, by) in pairwise(points):
        length = math.hypot(bx - ax, by - ay)
        at = FIRST_MM
        while at <= length - FIRST_MM:
            share = at / length
            yield ax + (bx - ax) * share, ay + (by - ay) * share, _turn(bx - ax, by - ay)
            at += MODULE_MM


def _turn(dx: float, dy: float) -> Rotation:
    if abs(dx) >= abs(dy):
        return 0 if dx >= 0 else 180
    return 90 if dy >= 0 else 270


def _square(x: float, y: float, half: float) -> Box:
    return x - half, y - half, x + half, y + half


def _hits(box: Box, taken: Iterable[Box]) -> bool:
    return any(box[0] < t[2] and t[0] < box[2] and box[1] < t[3] and t[1] < box[3] for t in taken)

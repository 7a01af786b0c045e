"""Where a new load stands on the sheet: in the column of the loads that its board feeds, level with its way, on nothing else.

Knows the sheet and how large parts are drawn; knows no electricity.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

import msgspec

from engine.drawing.bounds import overlap
from engine.drawing.display import Text
from engine.drawing.metrics import Box, text_box, text_width_mm
from engine.drawing.placed import PlacedPart, Shapes, placed_parts
from engine.drawing.ports import moved_box, on_module
from engine.drawing.shapes import PartShape, Variant, part_shape
from engine.drawing.sheets import drawing_area, foot_area, sheet_format
from engine.library.device import DeviceKind, Library
from engine.library.symbol import Symbol
from engine.model.document import Document
from engine.model.network import End, Part
from engine.model.sheets import MODULE_MM, Note, Sheet

BESIDE_MM = 50.0
"""From a way to its load where no other load shows how far they stand."""
CLEAR_MM = 1.0
MOST_STEPS = 60
TEXT_MM, TEXT_GAP_MM = 2.5, 2.5


class Spot(msgspec.Struct, frozen=True):
    """A sheet and the origin of a part on it, mm; `level`: its run goes straight."""

    sheet_id: str
    x_mm: float
    y_mm: float
    level: bool


def spot_for(
    document: Document, load: Part, kind: DeviceKind, end: End, library: Library, symbols: Mapping[str, Symbol]
) -> Spot | None:
    """Where a load stands that is fed from a port; None where the port's part is on no sheet, or the sheet is full."""
    for sheet in document.sheets:
        placed = placed_parts(document, sheet, library, symbols, Shapes())
        if end.part in placed:
            shape = part_shape(load, kind, symbols, _variant(document, kind))
            found = _on_sheet(document, sheet, placed, shape, end, _text_mm(load, kind))
            if found is not None:
                return found
    return None


def _variant(document: Document, kind: DeviceKind) -> Variant:
    unused = frozenset(port.name for port in kind.port if port.name != "supply")
    return Variant(document.network.particulars.symbols, unused=unused)


def _text_mm(load: Part, kind: DeviceKind) -> float:
    return text_width_mm(f"{load.designation} {load.label or kind.title}", TEXT_MM)


def _on_sheet(
    document: Document, sheet: Sheet, placed: Mapping[str, PlacedPart], shape: PartShape, end: End, text_mm: float
) -> Spot | None:
    source = placed[end.part]
    pin = source.pin(end.port)
    x_way, y_way = source.x_mm + pin.x_mm, source.y_mm + pin.y_mm
    own = shape.pin("supply")
    dx, dy = (own.x_mm, own.y_mm) if own else (0.0, 0.0)
    leftwards = bool(pin.sides) and pin.sides[0] == "left"
    taken = [*(one.box for one in placed.values()), *(_note_box(note) for note in sheet.notes)]
    areas = [drawing_area(sheet_format(sheet.format)), foot_area(sheet_format(sheet.format))]
    for x, y in _candidates(_column(document, placed, end, x_way, leftwards), y_way):
        at = (on_module(x - dx), on_module(y - dy))
        box = moved_box(shape.box, *at)
        room = (box[0], box[1], box[2] + TEXT_GAP_MM + text_mm, box[3])
        if _is_free(box, taken) and any(area is not None and _inside(room, area) for area in areas):
            return Spot(sheet.id, *at, level=y == y_way)
    return None


def _note_box(note: Note) -> Box:
    return text_box(Text(note.x_mm, note.y_mm, note.text, note.height_mm))


def _column(
    document: Document, placed: Mapping[str, PlacedPart], end: End, x_way: float, leftwards: bool
) -> tuple[float, ...]:
    """Where the supply pins of the board's other loads stand, most of them first; then a fixed way off."""
    far = x_way - BESIDE_MM if leftwards else x_way + BESIDE_MM
    fed: Counter[float] = Counter()
    for run in document.network.runs:
        for here, there in ((run.a, run.b), (run.b, run.a)):
            one = placed.get(there.part)
            if here.part == end.part and here.port.startswith("p") and one is not None and there.port == "supply":
                x = one.x_mm + one.pin(there.port).x_mm
                if (x < x_way) == leftwards:
                    fed[x] += 1
    return (*(x for x, _ in fed.most_common(1)), far, on_module((far + x_way) / 2))


def _candidates(columns: Iterable[float], y_way: float) -> Iterator[tuple[float, float]]:
    """Level with the way in each column; then in the first one further and further below, and above: never between the
    board and its loads, where their runs go."""
    listed = tuple(dict.fromkeys(columns))
    yield from ((x, y_way) for x in listed)
    yield from ((listed[0], y_way + step * MODULE_MM) for step in range(1, MOST_STEPS))
    yield from ((listed[0], y_way - step * MODULE_MM) for step in range(1, MOST_STEPS))


def _is_free(box: Box, taken: Iterable[Box]) -> bool:
    return not any(overlap(box, other, CLEAR_MM) for other in taken)


def _inside(box: Box, area: Box) -> bool:
    return box[0] >= area[0] and box[1] >= area[1] and box[2] <= area[2] and box[3] <= area[3]

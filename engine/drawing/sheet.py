"""The drawing of one sheet: parts, runs, tags, marks, cross references, legend and frame, as a display list.

A pure function of the document; `Draughtsman` keeps what did not change between two drawings. Knows no backend.
"""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from engine.drawing.bounds import moved
from engine.drawing.display import Group, Item, Page
from engine.drawing.metrics import Box
from engine.drawing.outline import Point
from engine.drawing.ports import Key, PortSpot, moved_box, on_module
from engine.drawing.shapes import PartShape, Variant, part_shape
from engine.library.device import Library
from engine.library.symbol import Symbol
from engine.model.document import Document
from engine.model.lookup import parts_by_id
from engine.model.sheets import Place, Sheet


class SheetDrawing(msgspec.Struct, frozen=True):
    """A drawn sheet: `page` is exactly what is printed; boxes are keyed "part:p3", "position:p4/12", "run:w7",
    "note:n2" (mm); paths hold each run's polyline as drawn."""

    page: Page
    ports: Mapping[Key, PortSpot]
    boxes: Mapping[str, Box]
    paths: Mapping[str, tuple[Point, ...]]


def draw_sheet(
    document: Document, sheet_id: str, library: Library, symbols: Mapping[str, Symbol]
) -> SheetDrawing:
    """The whole sheet. KeyError if there is no such sheet."""
    sheet = next(one for one in document.sheets if one.id == sheet_id)
    parts = parts_by_id(document.network)
    ports: dict[Key, PortSpot] = {}
    boxes: dict[str, Box] = {}
    items: list[Item] = []
    for place in sheet.places:
        part = parts[place.part]
        shape = part_shape(part, library[part.kind], symbols, Variant(rotation=place.rotation))
        _stand(place, shape, ports, boxes, items)
    return SheetDrawing(Page(420.0, 297.0, tuple(items), sheet.title), ports, boxes, {})


def _stand(
    place: Place, shape: PartShape, ports: dict[Key, PortSpot], boxes: dict[str, Box], items: list[Item]
) -> None:
    x, y = on_module(place.x_mm), on_module(place.y_mm)
    ports.update({(place.part, pin.port): pin.spot(x, y) for pin in shape.pins})
    boxes[f"part:{place.part}"] = moved_box(shape.box, x, y)
    items.append(Group(f"part:{place.part}", tuple(moved(item, x, y) for item in shape.items)))


def sheet_named(document: Document, sheet_id: str) -> Sheet:
    """The sheet with this id. KeyError if there is none."""
    for sheet in document.sheets:
        if sheet.id == sheet_id:
            return sheet
    raise KeyError(f"no sheet {sheet_id}")

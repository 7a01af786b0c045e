"""The parts of a sheet where they stand: shape, origin, pins and boxes on the sheet. Knows nothing of runs but where
they land."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.drawing.bounds import moved
from engine.drawing.crossref import anchor_name
from engine.drawing.display import Group
from engine.drawing.metrics import Box
from engine.drawing.ports import Key, PortSpot, ShapePin, moved_box, on_module
from engine.drawing.shapes import PartShape, Variant, part_shape
from engine.drawing.voltages import panel_voltages
from engine.library.device import DeviceKind, Library
from engine.library.expand import ports_of
from engine.library.symbol import Symbol
from engine.model.document import Document
from engine.model.lookup import parts_by_id
from engine.model.network import Part
from engine.model.sheets import Place, Sheet


class PlacedPart(msgspec.Struct, frozen=True):
    """A part where it stands on a sheet; the origin is on the module."""

    part: Part
    kind: DeviceKind
    place: Place
    shape: PartShape

    @property
    def x_mm(self) -> float:
        """The origin on the sheet."""
        return on_module(self.place.x_mm)

    @property
    def y_mm(self) -> float:
        """The origin on the sheet."""
        return on_module(self.place.y_mm)

    @property
    def box(self) -> Box:
        """The outline on the sheet."""
        return moved_box(self.shape.box, self.x_mm, self.y_mm)

    def pin(self, port: str) -> ShapePin:
        """The pin of a port; a port the kind does not have lands at the middle of the foot, so that its run is seen."""
        found = self.shape.pin(port)
        if found is not None:
            return found
        box = self.shape.box
        return ShapePin(port, on_module((box[0] + box[2]) / 2), on_module(box[3] + 1.2), ("bottom",))

    def group(self, sheet_id: str) -> Group:
        """The drawing, under the part's key, with its place for links."""
        drawn = tuple(moved(item, self.x_mm, self.y_mm) for item in self.shape.items)
        return Group(f"part:{self.part.id}", (Group(f"anchor:{anchor_name(sheet_id, self.part.id)}", drawn),))


class Shapes:
    """Shapes made so far, found again by the identity of part and kind: an unchanged part is not drawn twice."""

    def __init__(self) -> None:
        self._made: dict[tuple[str, Variant], tuple[Part, DeviceKind, PartShape]] = {}
        self._groups: dict[tuple[str, str], tuple[PartShape, Place, Group]] = {}

    def shape(self, part: Part, kind: DeviceKind, symbols: Mapping[str, Symbol], variant: Variant) -> PartShape:
        """The shape of the part, made where it is not known yet."""
        key = (part.id, variant)
        known = self._made.get(key)
        if known is not None and known[0] is part and known[1] is kind:
            return known[2]
        shape = part_shape(part, kind, symbols, variant)
        self._made[key] = (part, kind, shape)
        return shape

    def group(self, one: PlacedPart, sheet_id: str) -> Group:
        """The part's drawing where it stands, made where it is not known yet."""
        key = (sheet_id, one.part.id)
        known = self._groups.get(key)
        if known is None or known[0] is not one.shape or known[1] != one.place:
            known = self._groups[key] = (one.shape, one.place, one.group(sheet_id))
        return known[2]


def landed_ports(document: Document) -> dict[str, set[str]]:
    """The ports of each part on which runs land."""
    landed: dict[str, set[str]] = {}
    for run in document.network.runs:
        for end in (run.a, run.b):
            landed.setdefault(end.part, set()).add(end.port)
    return landed


def placed_parts(
    document: Document, sheet: Sheet, library: Library, symbols: Mapping[str, Symbol], shapes: Shapes
) -> dict[str, PlacedPart]:
    """Every part of the sheet by its id. A part of a kind that is not in the library is drawn as a box."""
    parts, landed = parts_by_id(document.network), landed_ports(document)
    volts = panel_voltages(document, library)
    placed: dict[str, PlacedPart] = {}
    for place in sheet.places:
        part = parts.get(place.part)
        if part is None:
            continue
        kind = library.get(part.kind) or _unknown_kind(part.kind)
        variant = Variant(
            document.network.particulars.symbols,
            place.rotation,
            place.mirrored,
            place.width_mm,
            place.height_mm,
            _unused(part, kind, landed.get(part.id, set())),
            volts.get(part.id, ""),
        )
        placed[part.id] = PlacedPart(part, kind, place, shapes.shape(part, kind, symbols, variant))
    return placed


def _unused(part: Part, kind: DeviceKind, landed: Iterable[str]) -> frozenset[str]:
    return frozenset(port.name for port in ports_of(part, kind)) - frozenset(landed)


def _unknown_kind(name: str) -> DeviceKind:
    return DeviceKind(id=name, title=f"? {name}", group="", letter="", role="bond", symbol="box")


def spots(placed: Mapping[str, PlacedPart]) -> dict[Key, PortSpot]:
    """Where a run lands on each port of the sheet."""
    return {(one.part.id, pin.port): pin.spot(one.x_mm, one.y_mm) for one in placed.values() for pin in one.shape.pins}


def part_boxes(placed: Mapping[str, PlacedPart]) -> dict[str, Box]:
    """Boxes of parts and of panel positions, by their keys."""
    boxes: dict[str, Box] = {}
    for one in placed.values():
        boxes[f"part:{one.part.id}"] = one.box
        for key, box in one.shape.positions.items():
            boxes[f"position:{one.part.id}/{key}"] = moved_box(box, one.x_mm, one.y_mm)
    return boxes

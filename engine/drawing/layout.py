"""A first placement for a boat that has none: energy from left to right in columns, returns along the foot, AC apart.

Good enough to read a sketch and to begin a drawing; a person moves things afterwards. Knows the network and how large
parts are drawn, no runs as lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec
from msgspec.structs import replace

from engine.drawing.boards import least_height
from engine.drawing.columns import Cell, arrange
from engine.drawing.placed import landed_ports
from engine.drawing.shapes import Variant, part_shape
from engine.drawing.sheets import sheet_format
from engine.library.device import DeviceKind, Library
from engine.library.expand import ports_of
from engine.library.symbol import Symbol
from engine.messages import tr
from engine.model.document import Document
from engine.model.lookup import parts_by_id
from engine.model.network import AC_POLES, DC_POLES, End, Part
from engine.model.sheets import Place, Rotation, Sheet

FORMATS = ("A3", "A2", "A1")
AC_ROLES = ("ac_source", "transformer", "galvanic_isolator", "ac_panel", "load_ac", "outlet_ac")
SOURCES = ("battery", "generator_dc", "ac_source", "converter")
FOOT_KINDS = {
    "shunt": 1, "bus_negative": 2, "bus_neutral": 2, "bus_earth": 3, "bus_bonding": 3, "main_ground_point": 4,
    "engine_block": 4,
}  # fmt: skip
"""Kinds that stand along the foot, with their rank from the left."""

EARTHS = frozenset({"-", "PE", "BOND", "N"})


class _Group(msgspec.Struct, frozen=True):
    """Parts that go on one sheet."""

    title: str
    parts: tuple[Part, ...]


def lay_out(document: Document, library: Library, symbols: Mapping[str, Symbol]) -> Document:
    """The document with every part placed on new sheets: direct current first, alternating current on its own.

    Where one A2 does not hold a system, each of its panels gets a sheet with its loads. Places and sheets that were
    there are replaced; the network is the same object.
    """
    sheets: list[Sheet] = []
    for group in _groups(document, library):
        for part_of_it, found in _sheets_of(group, document, library, symbols):
            sheets.append(_sheet(len(sheets) + 1, part_of_it.title, found))
    return replace(document, sheets=tuple(sheets)) if sheets else document


def _sheet(number: int, title: str, found: tuple[str, Sequence[Place]]) -> Sheet:
    return Sheet(id=f"s{number}", title=title, format=found[0], places=tuple(found[1]))


def _groups(document: Document, library: Library) -> list[_Group]:
    """Direct current, and alternating current; a converter stands on both."""
    dc: list[Part] = []
    ac: list[Part] = []
    for part in document.network.parts:
        kind = library.get(part.kind)
        is_ac, is_dc = _worlds(part, kind)
        dc += [part] if is_dc or not is_ac else []
        ac += [part] if is_ac else []
    titled = (_Group(tr("Direct current"), tuple(dc)), _Group(tr("Alternating current"), tuple(ac)))
    both = bool(set(_ids(ac)) - set(_ids(dc)))
    return [group for group in titled if group.parts] if both else [titled[0]]


def _ids(parts: Iterable[Part]) -> list[str]:
    return [part.id for part in parts]


def _worlds(part: Part, kind: DeviceKind | None) -> tuple[bool, bool]:
    """(has to do with AC, has to do with DC)."""
    if kind is None:
        return False, True
    poles = {pole for port in ports_of(part, kind) for pole in port.poles}
    is_ac = kind.role in AC_ROLES or bool(poles & AC_POLES) or kind.id == "bus_earth"
    return is_ac, bool(poles & DC_POLES) and kind.role not in AC_ROLES


def _sheets_of(
    group: _Group, document: Document, library: Library, symbols: Mapping[str, Symbol]
) -> list[tuple[_Group, tuple[str, Sequence[Place]]]]:
    whole = _placed(group, document, library, symbols, FORMATS[:2])
    panels = [part for part in group.parts if part.positions]
    if whole is not None:
        return [(group, whole)]
    if not panels or len(panels) == len(group.parts):
        return [(group, _forced(group, document, library, symbols))]
    divided = [_without_panels(group, panels, document), *_panel_groups(group, panels, document)]
    return [
        (one, _placed(one, document, library, symbols, FORMATS) or _forced(one, document, library, symbols))
        for one in divided
        if one.parts
    ]


def _forced(
    group: _Group, document: Document, library: Library, symbols: Mapping[str, Symbol]
) -> tuple[str, Sequence[Place]]:
    """On the largest sheet, even where it does not fit."""
    cells = _cells(group, document, library, symbols)
    return FORMATS[-1], arrange(cells, document.network.runs, sheet_format(FORMATS[-1]))[0]


def _placed(
    group: _Group, document: Document, library: Library, symbols: Mapping[str, Symbol], formats: Sequence[str]
) -> tuple[str, Sequence[Place]] | None:
    """On the smallest of the formats that holds the group."""
    cells = _cells(group, document, library, symbols)
    for name in formats:
        for drawn in (cells, _cells(group, document, library, symbols, compact=True)):
            places, fits = arrange(drawn, document.network.runs, sheet_format(name))
            if fits:
                return name, places
    return None


def _fed_by(panel: Part, group: _Group, others: Iterable[Part], document: Document) -> list[Part]:
    """The parts reached from the panel's ways without passing another panel."""
    inside = set(_ids(group.parts))
    barred = {panel.id, *_ids(others)}
    ways = {f"p{position.key}" for position in panel.positions}
    reached: set[str] = set()
    wave = [run for run in document.network.runs if _leaves(run.a, panel, ways) or _leaves(run.b, panel, ways)]
    while wave:
        ends = {end.part for run in wave for end in (run.a, run.b)} & inside - barred - reached
        reached |= ends
        wave = [
            run for run in document.network.runs if {run.a.part, run.b.part} & ends and not set(run.poles) <= EARTHS
        ]
    return [part for part in group.parts if part.id in reached]


def _leaves(end: End, panel: Part, ways: set[str]) -> bool:
    return end.part == panel.id and end.port in ways


def _panel_groups(group: _Group, panels: Sequence[Part], document: Document) -> list[_Group]:
    groups = []
    for panel in panels:
        others = [part for part in panels if part is not panel]
        fed = _fed_by(panel, group, others, document)
        groups.append(_Group(panel.label or panel.designation or group.title, (panel, *fed)))
    return groups


def _without_panels(group: _Group, panels: Sequence[Part], document: Document) -> _Group:
    gone = {part.id for one in _panel_groups(group, panels, document) for part in one.parts}
    return _Group(group.title, tuple(part for part in group.parts if part.id not in gone))


def _cells(
    group: _Group, document: Document, library: Library, symbols: Mapping[str, Symbol], *, compact: bool = False
) -> dict[str, Cell]:
    """`compact`: panels with their ways as close as they go."""
    landed = landed_ports(document)
    family = document.network.particulars.symbols
    cells = {}
    for part in group.parts:
        kind = library.get(part.kind) or DeviceKind(title=part.kind, group="", letter="", role="bond", symbol="box")
        rotation: Rotation = 90 if kind.id in FOOT_KINDS and kind.symbol == "bar" else 0
        unused = frozenset(port.name for port in ports_of(part, kind)) - landed.get(part.id, set())
        height = least_height(part) if compact and part.positions else None
        variants = [Variant(family, rotation, flip, None, height, unused) for flip in (False, True)]
        shapes = [part_shape(part, kind, symbols, variant) for variant in variants]
        cells[part.id] = Cell(
            part.id, shapes[0], shapes[1], rotation, kind.role in SOURCES, FOOT_KINDS.get(kind.id, 0), height
        )
    return cells


def is_placed(document: Document) -> bool:
    """Whether any sheet shows any part."""
    return any(sheet.places for sheet in document.sheets)


def unplaced(document: Document) -> list[Part]:
    """The parts that stand on no sheet."""
    placed = {place.part for sheet in document.sheets for place in sheet.places}
    return [part for part in parts_by_id(document.network).values() if part.id not in placed]

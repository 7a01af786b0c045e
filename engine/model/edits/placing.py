"""Putting parts on a sheet and taking them away, with what hangs on them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from engine.model.defaults import default_positions, default_values
from engine.model.document import Document
from engine.model.edits.records import (
    EditRefused,
    changed,
    ids_of,
    part_of,
    sheet_of,
    with_network,
    with_sheet,
    without,
)
from engine.model.kind import Kind
from engine.model.network import Condition, Part, Position, Run
from engine.model.numbering import next_designation
from engine.model.quantity import Value
from engine.model.sheets import MODULE_MM, Place, Rotation, Sheet


def snapped(length_mm: float) -> float:
    """The nearest line of the module."""
    return round(length_mm / MODULE_MM) * MODULE_MM


def new_part_id(document: Document) -> str:
    """The id that the next placed part will have."""
    return f"p{document.next_id}"


def place_part(
    document: Document,
    kind: Kind,
    sheet_id: str,
    x_mm: float,
    y_mm: float,
    *,
    rotation: Rotation = 0,
    mirrored: bool = False,
    designation: str = "",
    label: str = "",
    values: Mapping[str, Value] | None = None,
    positions: tuple[Position, ...] | None = None,
) -> Document:
    """A new part of this kind on the sheet, on the module, with its kind's defaults and the next free designation."""
    part = Part(
        id=new_part_id(document),
        kind=kind.id,
        designation=designation or next_designation(document.network, kind.letter),
        label=label,
        values={**default_values(kind), **(values or {})},
        positions=default_positions(kind) if positions is None else positions,
    )
    place = Place(part=part.id, x_mm=snapped(x_mm), y_mm=snapped(y_mm), rotation=rotation, mirrored=mirrored)
    made = with_network(document, parts=(*document.network.parts, part))
    return _stood(changed(made, next_id=document.next_id + 1), sheet_id, place)


def place_existing(
    document: Document,
    part_id: str,
    sheet_id: str,
    x_mm: float,
    y_mm: float,
    *,
    rotation: Rotation = 0,
    mirrored: bool = False,
) -> Document:
    """A part of the boat on one more sheet. Refuses a part that already stands there."""
    part_of(document, part_id)
    if any(place.part == part_id for place in sheet_of(document, sheet_id).places):
        raise EditRefused("already-on-sheet", {"designation": part_of(document, part_id).designation})
    place = Place(part=part_id, x_mm=snapped(x_mm), y_mm=snapped(y_mm), rotation=rotation, mirrored=mirrored)
    return _stood(document, sheet_id, place)


def _stood(document: Document, sheet_id: str, place: Place) -> Document:
    return with_sheet(document, sheet_id, lambda sheet: changed(sheet, places=(*sheet.places, place)))


def take_off_sheet(document: Document, part_id: str, sheet_id: str) -> Document:
    """A part no longer on this sheet, though still on the boat. Refuses the last place a part stands."""
    standing = [sheet.id for sheet in document.sheets if any(place.part == part_id for place in sheet.places)]
    if standing == [sheet_id]:
        raise EditRefused("last-place", {"designation": part_of(document, part_id).designation})
    lost = frozenset(run.id for run in document.network.runs if part_id in (run.a.part, run.b.part))
    return with_sheet(document, sheet_id, lambda sheet: _sheet_without(sheet, frozenset({part_id}), lost, frozenset()))


def delete(document: Document, keys: Iterable[str]) -> Document:
    """Parts, runs and notes gone from the boat and all sheets; the runs of a part go with it."""
    wanted = frozenset(keys)
    parts, notes = ids_of(wanted, "part"), ids_of(wanted, "note")
    runs = frozenset(run.id for run in document.network.runs if _goes(run, ids_of(wanted, "run"), parts))
    sheets = tuple(_sheet_without(sheet, parts, runs, notes) for sheet in document.sheets)
    network = document.network
    made = with_network(
        document,
        parts=without(network.parts, parts),
        runs=without(network.runs, runs),
        conditions=tuple(_condition_without(condition, parts) for condition in network.conditions),
    )
    return changed(made, sheets=sheets)


def _goes(run: Run, runs: frozenset[str], parts: frozenset[str]) -> bool:
    return run.id in runs or run.a.part in parts or run.b.part in parts


def _sheet_without(sheet: Sheet, parts: frozenset[str], runs: frozenset[str], notes: frozenset[str]) -> Sheet:
    return changed(
        sheet,
        places=tuple(place for place in sheet.places if place.part not in parts),
        routes=tuple(route for route in sheet.routes if route.run not in runs),
        notes=without(sheet.notes, notes),
    )


def _condition_without(condition: Condition, parts: frozenset[str]) -> Condition:
    return changed(
        condition,
        switches={part: state for part, state in condition.switches.items() if part not in parts},
        duty={part: share for part, share in condition.duty.items() if part not in parts},
    )

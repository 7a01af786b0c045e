"""A piece of a drawing as text: copied from one sheet, pasted on another, of this boat or the next.

The text is JSON of a Fragment, read as strictly as a file: what comes from outside may be anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from engine.model.document import Document
from engine.model.edits.placing import snapped
from engine.model.edits.records import EditRefused, changed, ids_of, sheet_of, with_network, with_sheet
from engine.model.network import Compartment, Enclosure, Option, Part, Record, Run
from engine.model.numbering import free_designation
from engine.model.sheets import Note, Place, Route, Sheet

LARGEST_BYTES = 20_000_000
MODULES_ASIDE = 4


class Fragment(Record, frozen=True, kw_only=True):
    """Parts with their places, the runs between them, notes, and the records they mention by id."""

    loomwright_fragment: int = 1
    parts: tuple[Part, ...] = ()
    runs: tuple[Run, ...] = ()
    places: tuple[Place, ...] = ()
    routes: tuple[Route, ...] = ()
    notes: tuple[Note, ...] = ()
    compartments: tuple[Compartment, ...] = ()
    enclosures: tuple[Enclosure, ...] = ()
    options: tuple[Option, ...] = ()


def copy(document: Document, sheet_id: str, keys: Iterable[str]) -> str:
    """The selected parts that stand on this sheet, the runs between them, and notes, as text. Refuses an empty copy."""
    wanted, sheet, network = frozenset(keys), sheet_of(document, sheet_id), document.network
    places = tuple(place for place in sheet.places if place.part in ids_of(wanted, "part"))
    here = {place.part for place in places}
    runs = tuple(run for run in network.runs if run.a.part in here and run.b.part in here)
    notes = tuple(note for note in sheet.notes if note.id in ids_of(wanted, "note"))
    if not places and not notes:
        raise EditRefused("nothing-to-copy")
    fragment = Fragment(
        parts=tuple(part for part in network.parts if part.id in here),
        runs=runs,
        places=places,
        routes=tuple(route for route in sheet.routes if route.run in {run.id for run in runs}),
        notes=notes,
        compartments=network.compartments,
        enclosures=network.enclosures,
        options=network.options,
    )
    return msgspec.json.encode(msgspec.structs.replace(fragment, loomwright_fragment=2)).decode()


def read_fragment(text: str) -> Fragment:
    """The fragment in a text. Refuses anything else, and one that does not hang together."""
    if len(text) > LARGEST_BYTES:
        raise EditRefused("not-a-fragment")
    try:
        fragment = msgspec.json.decode(text, type=Fragment)
    except (msgspec.DecodeError, ValueError, RecursionError) as error:
        raise EditRefused("not-a-fragment") from error
    if fragment.loomwright_fragment != 2 or not _holds(fragment):
        raise EditRefused("not-a-fragment")
    return fragment


def _holds(fragment: Fragment) -> bool:
    """Every mention of a part or run is of one in the fragment, and no id comes twice."""
    parts, runs = [part.id for part in fragment.parts], [run.id for run in fragment.runs]
    placed, routed = [place.part for place in fragment.places], [route.run for route in fragment.routes]
    ends = {end.part for run in fragment.runs for end in (run.a, run.b)}
    once = all(len(set(ids)) == len(ids) for ids in (parts, runs, placed, routed))
    return once and set(placed) == set(parts) and set(routed) <= set(runs) and ends <= set(parts)


def paste(
    document: Document, text: str, sheet_id: str, x_mm: float | None = None, y_mm: float | None = None
) -> Document:
    """The fragment on a sheet with new ids, free designations and new wire numbers.

    (x, y) is where its top left place goes; without them it goes a little aside of where it was copied from.
    Compartments, enclosures and options are found again by name; one that this boat lacks is left unsaid.
    """
    fragment = read_fragment(text)
    dx, dy = _offset(fragment, x_mm, y_mm)
    ids = _new_ids(document, fragment)
    made = with_network(document, **_network_fields(document, fragment, ids))
    made = with_sheet(made, sheet_id, lambda sheet: _laid(sheet, fragment, ids, dx, dy))
    return changed(made, next_id=document.next_id + len(ids))


def pasted_keys(before: Document, after: Document, sheet_id: str) -> frozenset[str]:
    """Selection keys of the parts and notes that `after` has on the sheet and `before` has not."""

    def keys(document: Document) -> frozenset[str]:
        sheet = sheet_of(document, sheet_id)
        parts = {f"part:{place.part}" for place in sheet.places}
        return frozenset(parts | {f"note:{note.id}" for note in sheet.notes})

    return keys(after) - keys(before)


def duplicate(document: Document, sheet_id: str, keys: Iterable[str]) -> Document:
    """A copy of the selection a little aside, on the same sheet."""
    return paste(document, copy(document, sheet_id, keys), sheet_id)


def _offset(fragment: Fragment, x_mm: float | None, y_mm: float | None) -> tuple[float, float]:
    if x_mm is None or y_mm is None:
        return snapped(MODULES_ASIDE * 2.5), snapped(MODULES_ASIDE * 2.5)
    standing: tuple[Place | Note, ...] = (*fragment.places, *fragment.notes)
    left, top = min(item.x_mm for item in standing), min(item.y_mm for item in standing)
    return snapped(x_mm - left), snapped(y_mm - top)


def _new_ids(document: Document, fragment: Fragment) -> dict[str, str]:
    """Key of each part, run and note in the fragment -> its new id."""
    olds = [f"p:{part.id}" for part in fragment.parts]
    olds += [f"w:{run.id}" for run in fragment.runs] + [f"n:{note.id}" for note in fragment.notes]
    return {old: f"{old[0]}{number}" for number, old in enumerate(olds, document.next_id)}


def _network_fields(document: Document, fragment: Fragment, ids: Mapping[str, str]) -> dict[str, Any]:
    network = document.network
    found = {
        kind: _found_again(getattr(fragment, kind), getattr(network, kind))
        for kind in ("compartments", "enclosures", "options")
    }
    taken = {part.designation for part in network.parts}
    parts = []
    for part in fragment.parts:
        designation = free_designation(part.designation, taken)
        taken.add(designation)
        parts.append(_part(part, ids[f"p:{part.id}"], designation, found))
    numbers = {run.number for run in network.runs}
    runs = []
    for run in fragment.runs:
        number = free_designation(run.number, numbers)
        numbers.add(number)
        runs.append(_run(run, ids, number, found))
    return {"parts": (*network.parts, *parts), "runs": (*network.runs, *runs)}


Found = Mapping[str, Mapping[str, str]]


def _found_again(theirs: tuple[Any, ...], ours: tuple[Any, ...]) -> dict[str, str]:
    by_name = {record.name: record.id for record in ours}
    return {record.id: by_name[record.name] for record in theirs if record.name in by_name}


def _part(part: Part, part_id: str, designation: str, found: Found) -> Part:
    return changed(
        part,
        id=part_id,
        designation=designation,
        compartment=found["compartments"].get(part.compartment, ""),
        enclosure=found["enclosures"].get(part.enclosure, ""),
        option=found["options"].get(part.option, ""),
    )


def _run(run: Run, ids: Mapping[str, str], number: str, found: Found) -> Run:
    return changed(
        run,
        id=ids[f"w:{run.id}"],
        number=number,
        a=changed(run.a, part=ids[f"p:{run.a.part}"]),
        b=changed(run.b, part=ids[f"p:{run.b.part}"]),
        route=tuple(found["compartments"][via] for via in run.route if via in found["compartments"]),
        option=found["options"].get(run.option, ""),
    )


def _laid(sheet: Sheet, fragment: Fragment, ids: Mapping[str, str], dx: float, dy: float) -> Sheet:
    places = (
        changed(place, part=ids[f"p:{place.part}"], x_mm=place.x_mm + dx, y_mm=place.y_mm + dy)
        for place in fragment.places
    )
    routes = (
        changed(route, run=ids[f"w:{route.run}"], bends=tuple((x + dx, y + dy) for x, y in route.bends))
        for route in fragment.routes
    )
    notes = (changed(note, id=ids[f"n:{note.id}"], x_mm=note.x_mm + dx, y_mm=note.y_mm + dy) for note in fragment.notes)
    return changed(
        sheet,
        places=(*sheet.places, *places),
        routes=(*sheet.routes, *routes),
        notes=(*sheet.notes, *notes),
    )

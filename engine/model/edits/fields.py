"""What parts and runs say of themselves: values, fields, ways of a panel, evidence, designations, wire numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

import msgspec

from engine.model.colours import core_colour
from engine.model.document import Document
from engine.model.edits.records import EditRefused, changed, each, part_of, run_of, with_network, with_part, with_run
from engine.model.network import Evidence, Part, Particulars, Position, Run
from engine.model.numbering import renumbered
from engine.model.quantity import Value

PART_FIELDS = frozenset({"designation", "label", "compartment", "enclosure", "option", "note"})
RUN_FIELDS = frozenset(Run.__struct_fields__) - {"id", "a", "b", "evidence"}
POSITION_FIELDS = frozenset(Position.__struct_fields__)


def set_value(document: Document, part_id: str, name: str, value: Value) -> Document:
    """One value of a part; None: unknown."""
    return set_values(document, part_id, {name: value})


def set_values(document: Document, part_id: str, values: Mapping[str, Value]) -> Document:
    """Several values of a part; None leaves a value out, which means unknown."""

    def told(part: Part) -> Part:
        new = {name: value for name, value in {**part.values, **values}.items() if value is not None}
        return changed(part, values=new)

    return with_part(document, part_id, told)


def set_part_fields(document: Document, part_id: str, **fields: Any) -> Document:
    """Fields of a part other than its values. Refuses a designation that another part has."""
    _known(fields, PART_FIELDS)
    if "designation" in fields:
        _free(document, part_id, fields["designation"])
    return with_part(document, part_id, lambda part: _retyped(part, changed(part, **fields)))


def rename(document: Document, part_id: str, designation: str) -> Document:
    """A new designation for a part. Refuses an empty one and one that another part has."""
    return set_part_fields(document, part_id, designation=designation.strip())


def _free(document: Document, part_id: str, designation: str) -> None:
    if not designation:
        raise EditRefused("designation-empty")
    for part in document.network.parts:
        if part.designation == designation and part.id != part_id:
            raise EditRefused("designation-taken", {"designation": designation, "label": part.label})


def set_run_fields(document: Document, run_id: str, **fields: Any) -> Document:
    """Fields of a run. Other poles bring their usual colours, kept cores keep theirs.

    Refuses no poles at all and a number of colours that is not the number of cores. A wire number twice on a boat
    is not refused: that is what some boats have, and a finding says so.
    """
    _known(fields, RUN_FIELDS)
    return with_run(document, run_id, lambda run: _retold(run, fields, document.network.particulars))


def _retold(run: Run, fields: Mapping[str, Any], particulars: Particulars) -> Run:
    poles = tuple(fields.get("poles", run.poles))
    if not poles:
        raise EditRefused("no-poles", {"number": run.number})
    kept = dict(zip(run.poles, run.colours, strict=False))
    usual = tuple(kept.get(pole, core_colour(pole, particulars)) for pole in poles)
    colours = tuple(fields.get("colours", run.colours if poles == run.poles else usual))
    if len(colours) not in (0, len(poles)):
        raise EditRefused("colours-count", {"number": run.number, "cores": len(poles), "colours": len(colours)})
    return _retyped(run, changed(run, **{**fields, "poles": poles, "colours": colours}))


def set_positions(document: Document, part_id: str, positions: tuple[Position, ...]) -> Document:
    """The ways of a panel, in their order. Refuses two with one key, and the loss of one that a run is on."""
    keys = [position.key for position in positions]
    for key in keys:
        if keys.count(key) > 1:
            raise EditRefused("position-twice", {"key": key})
    lost = {position.key for position in part_of(document, part_id).positions} - set(keys)
    for run in document.network.runs:
        for end in (run.a, run.b):
            if end.part == part_id and end.port[1:] in lost:
                raise EditRefused("position-in-use", {"key": end.port[1:], "number": run.number})
    return with_part(document, part_id, lambda part: changed(part, positions=positions))


def set_position(document: Document, part_id: str, key: str, /, **fields: Any) -> Document:
    """Fields of one way of a panel. A new key takes the way's runs along; refuses a key that is in use."""
    _known(fields, POSITION_FIELDS)
    part = part_of(document, part_id)
    if key not in {position.key for position in part.positions}:
        raise EditRefused("no-such-position", {"designation": part.designation, "key": key})
    new_key = fields.get("key", key)
    if new_key != key and new_key in {position.key for position in part.positions}:
        raise EditRefused("position-twice", {"key": new_key})
    made = with_part(document, part_id, lambda part: changed(part, positions=_with_position(part, key, fields)))
    return made if new_key == key else _ends_moved(made, part_id, f"p{key}", f"p{new_key}")


def _with_position(part: Part, key: str, fields: Mapping[str, Any]) -> tuple[Position, ...]:
    return tuple(_retyped(way, changed(way, **fields)) if way.key == key else way for way in part.positions)


def _ends_moved(document: Document, part_id: str, old: str, new: str) -> Document:
    def follow(run: Run) -> Run:
        ends = {name: getattr(run, name) for name in ("a", "b")}
        moved = {n: changed(e, port=new) for n, e in ends.items() if e.part == part_id and e.port == old}
        return changed(run, **moved)

    return with_network(document, runs=tuple(follow(run) for run in document.network.runs))


def add_position(document: Document, part_id: str, position: Position | None = None) -> Document:
    """One more way at the end of a panel: a spare with the next number, or the one given."""
    positions = part_of(document, part_id).positions
    numbers = [int(way.key) for way in positions if way.key.isdecimal()]
    added = position or Position(key=str(max(numbers, default=0) + 1), state="spare")
    return set_positions(document, part_id, (*positions, added))


def remove_position(document: Document, part_id: str, key: str) -> Document:
    """One way of a panel gone. Refuses one that a run is on."""
    kept = tuple(way for way in part_of(document, part_id).positions if way.key != key)
    return set_positions(document, part_id, kept)


def set_evidence(document: Document, key: str, field: str, evidence: tuple[Evidence, ...]) -> Document:
    """All statements about one field of "part:p1" or "run:w2"; none removes the field's entry."""
    kind, _, record_id = key.partition(":")

    def told(old: Mapping[str, tuple[Evidence, ...]]) -> dict[str, tuple[Evidence, ...]]:
        kept = {**old, field: evidence}
        return {name: statements for name, statements in kept.items() if statements}

    if kind == "part":
        return with_part(document, record_id, lambda part: changed(part, evidence=told(part.evidence)))
    return with_run(document, record_id, lambda run: changed(run, evidence=told(run.evidence)))


def add_evidence(document: Document, key: str, field: str, evidence: Evidence) -> Document:
    """One more statement about a field."""
    kind, _, record_id = key.partition(":")
    find: Callable[[Document, str], Part | Run] = part_of if kind == "part" else run_of
    return set_evidence(document, key, field, (*find(document, record_id).evidence.get(field, ()), evidence))


def renumber_wires(document: Document, order: Iterable[str] = ()) -> Document:
    """Wire numbers 1, 2 … in the order of these run ids, the others after them."""
    numbers = renumbered(document.network.runs, order)
    runs = each(document.network.runs, numbers, lambda run: changed(run, number=numbers[run.id]))
    return with_network(document, runs=runs)


def _known(fields: Iterable[str], allowed: frozenset[str]) -> None:
    unknown = sorted(set(fields) - allowed)
    if unknown:
        raise EditRefused("no-such-field", {"field": ", ".join(unknown)})


V = TypeVar("V", Part, Run, Position)


def _retyped(old: V, new: V) -> V:
    """The old record itself where nothing changed, else the new one, checked."""
    return old if new is old else _valid(new)


def _valid(record: V) -> V:
    """The record with every field of its declared type. Refuses what could not be written to a file and read back."""
    try:
        return msgspec.convert(msgspec.to_builtins(record), type(record))
    except msgspec.ValidationError as error:
        raise EditRefused("bad-value", {"what": str(error)}) from error

"""The edits that remedies are made of. What was stated of a part or run that is replaced no longer speaks of the new one."""

from __future__ import annotations

from collections.abc import Mapping

from engine.model.document import Document
from engine.model.edits.fields import set_position, set_run_fields, set_values
from engine.model.edits.records import changed, with_part
from engine.model.network import Part
from engine.model.quantity import Value
from engine.remedies.record import Edit, planned


def run_edit(run_id: str, **fields: object) -> Edit:
    """Other fields for a run."""
    return lambda document: set_run_fields(document, run_id, **fields)


def part_edit(part_id: str, values: Mapping[str, Value]) -> Edit:
    """Other values for a part; what was stated of the old ones is kept as a note."""

    def edit(document: Document) -> Document:
        made = set_values(document, part_id, values)
        for field, value in values.items():
            made = planned(made, f"part:{part_id}", field, value)
        return made

    return edit


def kind_edit(part_id: str, kind: str, values: Mapping[str, Value]) -> Edit:
    """A part replaced by one of another kind, on the same wires."""

    def replaced(part: Part) -> Part:
        return changed(part, kind=kind, values={**part.values, **values})

    return lambda document: with_part(document, part_id, replaced)


def rating_edit(part_id: str, way: str, rating_a: float) -> Edit:
    """Another rating for a device; `way`: for that in a way of a panel, "" for the part itself."""
    if way:
        return lambda document: set_position(document, part_id, way, rating_a=rating_a)
    return part_edit(part_id, {"rating_a": rating_a})

"""The lists of the boat: its compartments, its enclosures, its options. Each is a Schedule; knows no widget."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from app.panels.fields import Choices, Field, value_of
from app.panels.tables import Column, Row, Schedule
from app.store import Edit, edit_with
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.boat import Kind, add, set_fields
from engine.model.network import Network


def boat_lists() -> tuple[Schedule, ...]:
    """The lists of the boat: its spaces, its boxes, its options."""
    return (
        _boat_list("compartments", tr("Compartments"), tr("compartment"), compartment_fields),
        _boat_list("enclosures", tr("Enclosures"), tr("enclosure"), enclosure_fields),
        _boat_list("options", tr("Options"), tr("option"), option_fields),
    )


def compartment_fields(_network: Network) -> tuple[Field, ...]:
    """What is known of a space."""
    words = (
        ("engine", tr("engine space")),
        ("battery", tr("battery space")),
        ("fuel", tr("fuel tank space")),
        ("bilge", tr("bilge")),
        ("deck", tr("weather deck")),
        ("galley", tr("galley")),
        ("head", tr("head")),
        ("dry", tr("dry")),
        ("mast", tr("mast")),
    )
    return (
        Field(key="name", title=tr("Name"), optional=False),
        Field(key="kind", title=tr("Kind"), type="choice", choices=words, optional=False),
        Field(key="petrol_vapour", title=tr("Petrol vapour"), type="flag"),
        Field(key="ambient_c", title=tr("Ambient"), type="quantity", unit="degC"),
    )


def enclosure_fields(network: Network) -> tuple[Field, ...]:
    """What is known of a box, locker or panel back."""
    by: Choices = (("hand", tr("by hand")), ("tool", tr("with a tool")))
    spaces = tuple((space.id, space.name) for space in network.compartments)
    return (
        Field(key="name", title=tr("Name"), optional=False),
        Field(key="opens", title=tr("Opens"), type="choice", choices=by),
        Field(key="ac_guard", title=tr("AC guard comes off"), type="choice", choices=(*by, ("none", tr("no guard")))),
        Field(key="partition", title=tr("Partition AC/DC"), type="flag"),
        Field(key="compartment", title=tr("Compartment"), type="choice", choices=spaces),
    )


def option_fields(_network: Network) -> tuple[Field, ...]:
    """What is known of an option."""
    return (Field(key="name", title=tr("Name"), optional=False),)


def _boat_list(kind: Kind, title: str, one: str, fields: Callable[[Network], tuple[Field, ...]]) -> Schedule:
    def rows(document: Document, _library: Library) -> tuple[Row, ...]:
        return tuple(Row(f"{kind}:{record.id}", record) for record in getattr(document.network, kind))

    def columns(document: Document, _library: Library) -> tuple[Column, ...]:
        return tuple(_boat_column(kind, field) for field in fields(document.network))

    def append(document: Document) -> Document:
        taken = {record.name for record in getattr(document.network, kind)}
        number = next(n for n in range(1, len(taken) + 2) if f"{one} {n}" not in taken)
        return add(document, kind, f"{one} {number}")

    return Schedule(kind, title, rows, columns, tr("None yet."), append)


def _boat_column(kind: Kind, field: Field) -> Column:
    def edit(row: Row, value: Any) -> Edit:
        return edit_with(set_fields, kind, row.record.id, **{field.key: value})

    return Column(field, lambda row: value_of(row.record, field.key), edit)

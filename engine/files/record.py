"""The boat file as one record: the shape of its JSON, and how it becomes a document and back. Reads no bytes."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

import msgspec

from engine.model.document import FORMAT_VERSION, Document
from engine.model.house import Deviation, House
from engine.model.network import (
    Answer,
    Compartment,
    Condition,
    Enclosure,
    Network,
    Option,
    Part,
    Particulars,
    Record,
    Run,
)
from engine.model.sheets import Sheet


class BoatFile(Record, frozen=True, kw_only=True):
    """A Loomwright boat file. Lengths in metres, currents in amperes, places on a sheet in millimetres."""

    loomwright: int
    """Version of the format."""
    next_id: int
    """The counter that the next id is taken from."""
    particulars: Particulars = Particulars()
    house: House = House()
    parts: tuple[Part, ...] = ()
    runs: tuple[Run, ...] = ()
    compartments: tuple[Compartment, ...] = ()
    enclosures: tuple[Enclosure, ...] = ()
    options: tuple[Option, ...] = ()
    conditions: tuple[Condition, ...] = ()
    answers: tuple[Answer, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    sheets: tuple[Sheet, ...]


NETWORK_ARRAYS: dict[str, type[Record]] = {
    "parts": Part,
    "runs": Run,
    "compartments": Compartment,
    "enclosures": Enclosure,
    "options": Option,
    "conditions": Condition,
    "answers": Answer,
    "deviations": Deviation,
}
"""The arrays of the network in the order of the file, and what each holds."""

LATE_ARRAYS = frozenset({"answers", "deviations"})
"""Written only where they hold something."""

ARRAYS: dict[str, type[Record]] = {**NETWORK_ARRAYS, "sheets": Sheet}


def from_document(document: Document) -> BoatFile:
    """The file's record of a document."""
    network = msgspec.structs.asdict(document.network)
    return BoatFile(loomwright=FORMAT_VERSION, next_id=document.next_id, sheets=document.sheets, **network)


def to_document(file: BoatFile) -> Document:
    """The document a file's record holds."""
    arrays = {name: getattr(file, name) for name in NETWORK_ARRAYS}
    network = Network(particulars=file.particulars, house=file.house, **arrays)
    return Document(network=network, sheets=file.sheets, next_id=file.next_id)


def bare(record: msgspec.Struct) -> dict[str, Any]:
    """The record as plain data without its defaults, mappings sorted: equal records give equal data.

    Not left to the encoder: it leaves a text out only where it is the very object of the default.
    """
    defaults = _defaults(type(record))
    fields = ((name, getattr(record, name)) for name in record.__struct_fields__)
    return {name: _plain(value) for name, value in fields if name not in defaults or value != defaults[name]}


def _plain(value: Any) -> Any:
    if isinstance(value, msgspec.Struct):
        return bare(value)
    if isinstance(value, tuple):
        return [_plain(entry) for entry in value]
    if isinstance(value, Mapping):
        return {key: _plain(value[key]) for key in sorted(value)}
    return value


@cache
def _defaults(kind: type[msgspec.Struct]) -> dict[str, Any]:
    fields = msgspec.structs.fields(kind)
    made = {field.name: field.default_factory() for field in fields if callable(field.default_factory)}
    return {field.name: field.default for field in fields if field.default is not msgspec.NODEFAULT} | made

"""What belongs to the whole boat: particulars, compartments, enclosures, options, conditions."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal

import msgspec

from engine.model.document import Document
from engine.model.edits.records import EditRefused, changed, each, with_network, without
from engine.model.network import Compartment, Condition, Enclosure, Network, Option, Particulars, Record

Kind = Literal["compartments", "enclosures", "options", "conditions"]
TYPES: dict[str, tuple[type[Any], str]] = {
    "compartments": (Compartment, "c"),
    "enclosures": (Enclosure, "e"),
    "options": (Option, "o"),
    "conditions": (Condition, "k"),
}
"""Each kind's record and the letter of its ids."""


def set_particulars(document: Document, **fields: Any) -> Document:
    """Fields of the boat's particulars. Refuses unknown fields and values of a wrong kind."""
    old = document.network.particulars
    return with_network(document, particulars=_told(old, Particulars, fields))


def _told(old: Record, type_: type[Any], fields: dict[str, Any]) -> Any:
    unknown = sorted(set(fields) - set(type_.__struct_fields__))
    if unknown:
        raise EditRefused("no-such-field", {"field": ", ".join(unknown)})
    new = changed(old, **fields)
    return old if new is old else _valid(new)


def _valid(record: Record) -> Any:
    try:
        return msgspec.convert(msgspec.to_builtins(record), type(record))
    except msgspec.ValidationError as error:
        raise EditRefused("bad-value", {"what": str(error)}) from error


def add(document: Document, kind: Kind, name: str, /, **fields: Any) -> Document:
    """One more compartment, enclosure, option or condition. Refuses a name that is empty or taken."""
    records = getattr(document.network, kind)
    _free(records, name, "")
    type_, letter = TYPES[kind]
    record = _valid(type_(id=f"{letter}{document.next_id}", name=name.strip(), **fields))
    return changed(with_network(document, **{kind: (*records, record)}), next_id=document.next_id + 1)


def set_fields(document: Document, kind: Kind, record_id: str, /, **fields: Any) -> Document:
    """Fields of one of them. Refuses an unknown one, and a name that is empty or taken."""
    records = getattr(document.network, kind)
    if record_id not in {record.id for record in records}:
        raise EditRefused("no-such-record", {"id": record_id})
    if "name" in fields:
        _free(records, fields["name"], record_id)
    type_ = TYPES[kind][0]
    made = each(records, (record_id,), lambda record: _told(record, type_, fields))
    return with_network(document, **{kind: made})


def _free(records: tuple[Any, ...], name: str, own: str) -> None:
    if not name.strip():
        raise EditRefused("name-empty")
    if any(record.name == name.strip() and record.id != own for record in records):
        raise EditRefused("name-taken", {"name": name.strip()})


def remove(document: Document, kind: Kind, record_id: str) -> Document:
    """One of them gone, and every mention of it with it."""
    records = getattr(document.network, kind)
    made = with_network(document, **{kind: without(records, (record_id,))})
    forget = FORGET.get(kind)
    return changed(made, network=forget(made.network, record_id)) if forget else made


def _no_compartment(network: Network, gone: str) -> Network:
    return changed(
        network,
        parts=tuple(changed(part, compartment=_less(part.compartment, gone)) for part in network.parts),
        enclosures=tuple(changed(box, compartment=_less(box.compartment, gone)) for box in network.enclosures),
        runs=tuple(changed(run, route=tuple(via for via in run.route if via != gone)) for run in network.runs),
    )


def _no_enclosure(network: Network, gone: str) -> Network:
    parts = tuple(changed(part, enclosure=_less(part.enclosure, gone)) for part in network.parts)
    return changed(network, parts=parts)


def _no_option(network: Network, gone: str) -> Network:
    def less(option: Option) -> Option:
        kept = {name: tuple(i for i in getattr(option, name) if i != gone) for name in ("needs", "excludes")}
        return changed(option, **kept)

    return changed(
        network,
        parts=tuple(changed(part, option=_less(part.option, gone)) for part in network.parts),
        runs=tuple(changed(run, option=_less(run.option, gone)) for run in network.runs),
        options=tuple(less(option) for option in network.options),
    )


def _less(mention: str, gone: str) -> str:
    return "" if mention == gone else mention


FORGET: dict[str, Callable[[Network, str], Network]] = {
    "compartments": _no_compartment,
    "enclosures": _no_enclosure,
    "options": _no_option,
}

"""The few moves every edit is made of: replace a field, replace some of the records, find one or refuse."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable
from typing import Any, Protocol, TypeVar

import msgspec

from engine.model.document import Document
from engine.model.house import Deviation
from engine.model.network import Answer, Network, Part, Record, Run
from engine.model.sheets import Sheet

R = TypeVar("R", bound=Record)
A = TypeVar("A", Answer, Deviation)
KEYED = ("part:", "run:", "position:")
"""How the keys of things begin that an edit can take off the boat."""


class EditRefused(Exception):  # noqa: N818  (an edit refused is an answer, not a fault)
    """An edit that cannot be done: a code and the values its sentence needs. The document is as it was."""

    def __init__(self, code: str, values: dict[str, object] | None = None) -> None:
        super().__init__(code)
        self.code = code
        self.values = values or {}


class Identified(Protocol):
    """A record with an id."""

    @property
    def id(self) -> str: ...


I = TypeVar("I", bound=Identified)  # noqa: E741


def changed(record: R, **fields: Any) -> R:
    """The record with these fields; the same object when they already hold these values."""
    if all(_same(getattr(record, name), value) for name, value in fields.items()):
        return record
    return msgspec.structs.replace(record, **fields)


def _same(a: object, b: object) -> bool:
    """Equal and of one type all the way down: a flag is never taken for a number."""
    if a is b or type(a) is not type(b):
        return a is b
    if isinstance(a, dict) and isinstance(b, dict):
        return a.keys() == b.keys() and all(_same(value, b[name]) for name, value in a.items())
    if isinstance(a, tuple) and isinstance(b, tuple):
        return len(a) == len(b) and all(map(_same, a, b))
    if isinstance(a, Record):
        return all(_same(getattr(a, name), getattr(b, name)) for name in a.__struct_fields__)
    return a == b


def each(records: tuple[I, ...], wanted: Container[str], change: Callable[[I], I]) -> tuple[I, ...]:
    """The records, those with a wanted id changed; the same tuple when none becomes another object."""
    made = tuple(change(record) if record.id in wanted else record for record in records)
    return records if all(a is b for a, b in zip(records, made, strict=True)) else made


def without(records: tuple[I, ...], gone: Container[str]) -> tuple[I, ...]:
    """The records less those with these ids; the same tuple when there are none."""
    kept = tuple(record for record in records if record.id not in gone)
    return records if len(kept) == len(records) else kept


def with_network(document: Document, **fields: Any) -> Document:
    """The document with these fields of its network; answers and deviations about what is gone go with it."""
    network = changed(document.network, **fields)
    if (network.answers or network.deviations) and ("parts" in fields or "runs" in fields):
        answers = _about_what_is_there(network, network.answers)
        network = changed(network, answers=answers, deviations=_about_what_is_there(network, network.deviations))
    return changed(document, network=network)


def _about_what_is_there(network: Network, about: tuple[A, ...]) -> tuple[A, ...]:
    there = {f"part:{part.id}" for part in network.parts} | {f"run:{run.id}" for run in network.runs}
    there |= {f"position:{part.id}/{way.key}" for part in network.parts for way in part.positions}
    kept = tuple(each for each in about if each.subject in there or not each.subject.startswith(KEYED))
    return about if len(kept) == len(about) else kept


def with_part(document: Document, part_id: str, change: Callable[[Part], Part]) -> Document:
    """The document with one part changed. Refuses an unknown part."""
    part_of(document, part_id)
    return with_network(document, parts=each(document.network.parts, (part_id,), change))


def with_run(document: Document, run_id: str, change: Callable[[Run], Run]) -> Document:
    """The document with one run changed. Refuses an unknown run."""
    run_of(document, run_id)
    return with_network(document, runs=each(document.network.runs, (run_id,), change))


def with_sheet(document: Document, sheet_id: str, change: Callable[[Sheet], Sheet]) -> Document:
    """The document with one sheet changed. Refuses an unknown sheet."""
    sheet_of(document, sheet_id)
    return changed(document, sheets=each(document.sheets, (sheet_id,), change))


def part_of(document: Document, part_id: str) -> Part:
    """The part. Refuses an unknown one."""
    return _found(document.network.parts, part_id, "no-such-part")


def run_of(document: Document, run_id: str) -> Run:
    """The run. Refuses an unknown one."""
    return _found(document.network.runs, run_id, "no-such-run")


def sheet_of(document: Document, sheet_id: str) -> Sheet:
    """The sheet. Refuses an unknown one."""
    return _found(document.sheets, sheet_id, "no-such-sheet")


def _found(records: Iterable[I], wanted: str, code: str) -> I:
    for record in records:
        if record.id == wanted:
            return record
    raise EditRefused(code, {"id": wanted})


def ids_of(keys: Iterable[str], kind: str) -> frozenset[str]:
    """The ids among selection keys ("part:p1", "run:w3", "note:n1") of one kind."""
    return frozenset(key.partition(":")[2] for key in keys if key.startswith(kind + ":"))

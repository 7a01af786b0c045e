"""What of a network says which conductor hangs on which, and how much may flow: all but sizes, lengths, colours, places,
names and remarks. Tables that follow from it alone are carried from one boat to the next, as most edits leave it as it is.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, TypeVar, overload

import msgspec

from engine.graph.poles import RunRef, ref_of
from engine.library.device import DeviceKind, Library
from engine.library.expand import links_of, ports_of
from engine.model.kept import Kept, by_identity, made_of_each
from engine.model.network import Network, Part, Run

Skeleton = tuple[object, ...]
Wiring = tuple[tuple[Skeleton, ...], tuple[RunRef, ...]]
Tables = dict[str, Any]
Owner = TypeVar("Owner", bound="Carrying")
Made = TypeVar("Made")


def _none_yet(facts: tuple[Skeleton, Library]) -> Tables:
    return {"facts": facts[0]}


def facts_of(tables: Tables) -> Wiring:
    """What the tables of a wiring follow from: of each part the terminals and what lies between them, of each run where it goes."""
    known: Wiring = tables["facts"]
    return known


_TABLES = Kept(_none_yet)


def skeleton_of(network: Network) -> Skeleton:
    """Equal for two networks on which the same hangs together and every current is the same."""
    return made_of_each("skeletons", network.parts, None, _part), runs_wired(network)


@by_identity
def _part(part: Part, _: None) -> Skeleton:
    ways = tuple(msgspec.structs.replace(way, label="") for way in part.positions)
    return part.id, part.kind, part.values, ways


@by_identity
def _run(run: Run, _: None) -> RunRef:
    return ref_of(run)


def tables_of(network: Network, library: Library) -> Tables:
    """The tables of the last network, where this one has the same skeleton; else none yet."""
    return _TABLES.of("skeleton", (skeleton_of(network), library))


def wiring_of(network: Network, library: Library) -> Tables:
    """The tables of the last network, where in this one the same hangs together; else none yet. They hold no records."""
    facts: Wiring = parts_wired(network, library), runs_wired(network)
    return _TABLES.of("wiring", (facts, library))


def parts_wired(network: Network, library: Library) -> tuple[Skeleton, ...]:
    """Of each part the terminals and what lies between them."""
    return made_of_each("links", network.parts, library, _links_by)


def runs_wired(network: Network) -> tuple[RunRef, ...]:
    """Of each run where it goes."""
    return made_of_each("runs wired", network.runs, None, _run)


def _links_by(part: Part, library: Library) -> Skeleton:
    return _links(part, library.get(part.kind))


@by_identity
def _links(part: Part, kind: DeviceKind | None) -> Skeleton:
    return (part.id, part.kind, ports_of(part, kind), links_of(part, kind)) if kind else (part.id, part.kind)


def once(tables: Tables, name: str, make: Callable[[], Made]) -> Made:
    """The table of that name, made where it is not there yet."""
    if name not in tables:
        tables[name] = make()
    made: Made = tables[name]
    return made


class Carrying:
    """Something that has carried tables."""

    tables: Tables


class carried(Generic[Owner, Made]):  # noqa: N801 - used like property
    """A table that follows from the skeleton alone and is never changed; worked out once. It holds no record of the network,
    or one of which nothing but the skeleton is read."""

    def __init__(self, make: Callable[[Owner], Made]) -> None:
        self._make = make
        self.__doc__ = make.__doc__

    def __set_name__(self, owner: type[Owner], name: str) -> None:
        self._name = name

    @overload
    def __get__(self, asked: None, owner: type[Owner]) -> carried[Owner, Made]: ...

    @overload
    def __get__(self, asked: Owner, owner: type[Owner]) -> Made: ...

    def __get__(self, asked: Owner | None, owner: type[Owner]) -> carried[Owner, Made] | Made:
        if asked is None:
            return self
        if self._name in asked.tables:  # as nearly always
            known: Made = asked.tables[self._name]
            return known
        return once(asked.tables, self._name, lambda: self._make(asked))

"""What was worked out from a record that was met before, found again by its identity: a record never changes.

An edit shares everything it does not touch, so after it most records have been met.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import wraps
from operator import eq, is_
from typing import Any, Generic, TypeVar

import msgspec

from engine.model.network import Network, Part, Run

MOST = 20_000
"""So many records are kept; then all are forgotten."""

Facts = TypeVar("Facts")
Met = TypeVar("Met", bound=object)
Beside = TypeVar("Beside", bound=object)
Made = TypeVar("Made")
Same = TypeVar("Same", Part, Run)
Key = TypeVar("Key", bound=Hashable)
_NONE = object()
"""What stands for an entry that is not there."""


def by_identity(make: Callable[[Met, Beside], Made]) -> Callable[[Met, Beside], Made]:
    """make(record, beside), asked once for the same two objects; what it gives must not be changed either."""
    kept: dict[int, tuple[Met, Beside, Made]] = {}

    @wraps(make)
    def found(record: Met, beside: Beside) -> Made:
        known = kept.get(id(record))
        if known is None or known[0] is not record or known[1] is not beside:
            if len(kept) >= MOST:
                kept.clear()
            known = kept[id(record)] = (record, beside, make(record, beside))
        return known[2]

    return found


class Kept(Generic[Facts, Made]):
    """Of each subject the last that was worked out from facts: while these are the same it need not be again.

    What makes it is given the facts and nothing else, and changes nothing.
    """

    def __init__(self, make: Callable[[Facts], Made]) -> None:
        self._make = make
        self._kept: dict[Hashable, tuple[Facts, Made]] = {}
        _every.append(self)

    def of(self, key: Hashable, facts: Facts) -> Made:
        """make(facts), for the subject of that key."""
        known = self._kept.get(key)
        if known is None or known[0] != facts:
            if len(self._kept) >= MOST:
                self._kept.clear()
            known = self._kept[key] = (facts, self._make(facts))
        return known[1]

    def forget(self) -> None:
        """Have everything made anew."""
        self._kept = {}


class Whole(Generic[Facts]):
    """A value that is told from others by its identity alone: one of many facts that would take long to compare."""

    def __init__(self, value: Facts) -> None:
        self.value = value


_every: list[Kept[Any, Any]] = []
latest: dict[str, Any] = {}
"""What the next of its kind begins with, whatever it is of."""


def differing_keys(before: Mapping[Key, object], now: Mapping[Key, object]) -> set[Key]:
    """The keys whose entries came, went, or are another: neither the same object nor equal.

    Most entries of two tables are the same objects, which takes next to no time to see; the less where no key came or went.
    """
    if before is now:
        return set()
    if len(before) == len(now) and all(map(is_, before, now)):
        pairs = zip(before, before.values(), now.values(), strict=True)
        return {key for key, was, entry in pairs if was is not entry and was != entry}
    known = before.get
    found = {key for key, entry in now.items() if (was := known(key, _NONE)) is not entry and was != entry}
    return found | (before.keys() - now.keys())


def shared_ends(
    before: Sequence[object], now: Sequence[object], same: Callable[[Any, Any], bool] = eq
) -> tuple[int, int]:
    """How many of their members two lists share where they begin, and how many of the others where they end."""
    least = min(len(before), len(now))
    start = [*map(same, before, now), False].index(False)
    end = [*map(same, reversed(before[start:]), reversed(now[start:])), False].index(False) if start < least else 0
    return start, end


def spliced(before: tuple[Made, ...], ends: tuple[int, int], make: Callable[[], Sequence[Made]]) -> tuple[Made, ...]:
    """What was made of each member of a list, of those between the shared ends anew."""
    start, end = ends
    return (*before[:start], *make(), *before[len(before) - end :])


def made_of_each(
    name: str, records: tuple[Met, ...], beside: Beside, make: Callable[[Met, Beside], Made]
) -> tuple[Made, ...]:
    """make(record, beside) of each record of a list; where the last list of its name began and ended with the same ones, that
    is taken over."""
    known: tuple[tuple[Met, ...], Beside, tuple[Made, ...]] = latest.get(name, ((), beside, ()))
    before, with_what, made = known if known[1] is beside else ((), beside, ())
    start, end = ends = shared_ends(before, records, is_)
    others = records[start : len(records) - end]
    made = spliced(made, ends, lambda: [make(record, beside) for record in others])
    latest[name] = (records, with_what, made)
    return made


def forget() -> None:
    """Have everything worked out anew."""
    latest.clear()
    for each in _every:
        each.forget()


def sharing(network: Network, before: Network) -> Network:
    """The network, with the parts and runs that are equal in `before` taken from there: to one that came through a pipe
    no record has been met."""
    parts, runs = _shared(network.parts, before.parts), _shared(network.runs, before.runs)
    return msgspec.structs.replace(network, parts=parts, runs=runs)


def _shared(now: tuple[Same, ...], before: tuple[Same, ...]) -> tuple[Same, ...]:
    known = {record.id: record for record in before}
    return tuple(known[record.id] if known.get(record.id) == record else record for record in now)

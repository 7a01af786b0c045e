"""What one has to be told who has the boat before, to have the one after it: after most edits a part or a run."""

from __future__ import annotations

from typing import Generic, TypeVar

import msgspec

from engine.model.kept import sharing
from engine.model.network import Network, Part, Run

Item = TypeVar("Item")


class Slice(msgspec.Struct, Generic[Item], frozen=True):
    """In a row of records: from `at` on `gone` of them go, and those in `come` take their place."""

    at: int = 0
    gone: int = 0
    come: tuple[Item, ...] = ()


class Change(msgspec.Struct, frozen=True):
    """From one boat to the next: the whole of it where more differs than parts and runs."""

    whole: Network | None = None
    parts: Slice[Part] = Slice()
    runs: Slice[Run] = Slice()


def change_of(before: Network | None, now: Network) -> Change:
    """What leads from a boat to another; None: from nothing."""
    if before is None:
        return Change(now)
    if differs_besides(before, now):
        return Change(now)
    return Change(None, _slice(before.parts, now.parts), _slice(before.runs, now.runs))


def differs_besides(before: Network, now: Network) -> bool:
    """Whether two boats differ in anything but parts and runs."""
    others = (field for field in Network.__struct_fields__ if field not in ("parts", "runs"))
    return any(getattr(before, field) != getattr(now, field) for field in others)


def changed_by(change: Change, before: Network) -> Network:
    """The boat after the change. Records that are as they were are those of the boat before."""
    if change.whole is not None:
        return sharing(change.whole, before)
    parts, runs = _spliced(before.parts, change.parts), _spliced(before.runs, change.runs)
    return msgspec.structs.replace(before, parts=parts, runs=runs)


def _slice(before: tuple[Item, ...], now: tuple[Item, ...]) -> Slice[Item]:
    """Whatever lies between the first and the last that differs; that nothing else does is seen by identity."""
    if before is now:
        return Slice()
    short = min(len(before), len(now))
    at = next((place for place in range(short) if before[place] is not now[place]), short)
    left = short - at
    end = next((place for place in range(left) if before[-1 - place] is not now[-1 - place]), left)
    return Slice(at, len(before) - at - end, now[at : len(now) - end])


def _spliced(before: tuple[Item, ...], change: Slice[Item]) -> tuple[Item, ...]:
    if not change.gone and not change.come:
        return before
    return (*before[: change.at], *change.come, *before[change.at + change.gone :])

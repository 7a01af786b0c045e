"""What a conductor may have under a rulebook, and whether what the devices let through to it is held to that."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Literal

import msgspec

from engine.electrics.ampacity import AllowedCurrent
from engine.electrics.protection import device_limit
from engine.electrics.sources import Rulebook, Source
from engine.graph.boat import Boat
from engine.graph.flows import Feed
from engine.model.kept import Whole, differing_keys, latest
from engine.model.network import Compartment, Run
from engine.rules.bounds import EARTHS, Allowed, allowed_by_pole

State = Literal["held", "far", "none", "over", "reduced", "sum"]
"""held: protected. far: a device follows, too far away. none: nothing limits. over: a device upstream lets too much
through. reduced: the same, where a thicker conductor that it may have hands on to a thinner one. sum: each source is held,
together they are not."""


class Limits(msgspec.Struct, frozen=True):
    """What a conductor may have, A, from a device of each series and from several sources together."""

    by_family: Mapping[str, float]
    sum_a: float
    formula: str = ""
    sources: tuple[Source, ...] = ()
    advice_a: float = 0.0

    def for_device(self, family: str) -> float:
        """The largest device of the series."""
        return self.by_family.get(family, self.by_family[""])


Families = Whole[Mapping[str, str]]
"""The series of every device, by its key."""


class _Table(msgspec.Struct, frozen=True):
    """The allowed currents of a boat, and what they follow from: the runs, the `places` of the parts, and `around` them the spaces
    and the engine."""

    made: Mapping[tuple[str, str], Allowed]
    runs: Mapping[str, Run]
    places: Mapping[str, str]
    around: tuple[tuple[Compartment, ...], str | None]


def _allowed_maker(book: Rulebook) -> Callable[[Boat], Mapping[tuple[str, str], Allowed]]:
    def make(boat: Boat) -> Mapping[tuple[str, str], Allowed]:
        network, name = boat.network, f"allowed {book}"
        places = boat.carry_records("places", lambda: {part.id: part.compartment for part in network.parts})
        around = network.compartments, network.particulars.engine
        before: _Table | None = latest.get(name)
        known = before if before is not None and before.around == around else None
        made = _allowed(boat, book, places, known)
        latest[name] = _Table(made, boat.runs, places, around)
        return made

    return make


def _allowed(
    boat: Boat, book: Rulebook, places: Mapping[str, str], before: _Table | None
) -> Mapping[tuple[str, str], Allowed]:
    """Those of the table before are taken over but for the runs that are others, or land on a part that is elsewhere."""
    made, runs = (dict(before.made), before.runs) if before is not None else ({}, {})
    others = differing_keys(runs, boat.runs)
    moved = differing_keys(before.places, places) if before is not None else set[str]()
    if moved:
        others |= {run.id for run in boat.network.runs if run.a.part in moved or run.b.part in moved}
    if before is not None and not others:
        return before.made
    for name in others:
        for pole in runs[name].poles if name in runs else ():
            made.pop((name, pole), None)
        run = boat.runs.get(name)
        for pole, core in allowed_by_pole(boat, run, book).items() if run is not None else ():
            if pole not in EARTHS:
                made[name, pole] = core
    return made


ALLOWED: Mapping[Rulebook, Callable[[Boat], Mapping[tuple[str, str], Allowed]]] = {
    book: _allowed_maker(book) for book in ("33cfr183", "e11", "iso13297")
}  # fmt: skip


def allowed_of(boat: Boat, book: Rulebook) -> Mapping[tuple[str, str], Allowed]:
    """Allowed current of every core but the earths, worked out once for each rulebook."""
    return boat.derive(ALLOWED[book])


FAMILIES = ("blade", "anl", "class-t", "battery-terminal", "panel-breaker", "mcb")


def limits_of(core: Allowed, book: Rulebook, ac: bool, feeder: bool, worst: bool) -> Limits:
    """What a core may have under a rulebook, at its worst or at its best."""
    current = core.worst if worst else core.best
    if current is None:
        return Limits({"": 0.0}, 0.0, "0 A (not in the table)")
    return _limits(current, book, ac, "panel-feed" if feeder and book == "e11" else "branch")


@lru_cache(maxsize=1024)
def _limits(current: AllowedCurrent, book: Rulebook, ac: bool, use: Literal["branch", "panel-feed"]) -> Limits:
    plain = device_limit(current, ac=ac, use=use)
    by_family = {"": plain.limit_a}
    if use == "branch" and (book == "e11" or (book == "33cfr183" and ac)):
        by_family |= {family: device_limit(current, ac=ac, family=family).limit_a for family in FAMILIES}
    flat = book == "33cfr183" and not ac
    return Limits(by_family, plain.limit_a if flat else current.value_a, plain.formula, plain.sources, plain.advice_a)


def flow_state(feed: Feed, limits: Limits, families: Families) -> State:
    """Whether what has passed the devices so far is held to what the conductor may have."""
    if feed.current_a == float("inf"):
        return "none"
    if feed.behind is not None and feed.behind[1] <= _limit_for(feed.behind[0], limits, families):
        return "held"
    if any(amount > _limit_for(key, limits, families) for key, amount in feed.by):
        return "over"
    return "sum" if len(feed.by) > 1 and feed.current_a > limits.sum_a else "held"


def _limit_for(key: str, limits: Limits, families: Families) -> float:
    return limits.for_device(families.value[key]) if key in families.value else limits.sum_a


def is_above_advice(feed: Feed, limits: Limits, families: Families) -> bool:
    """Whether a device lets through more than the allowed current itself (the next standard rating)."""
    passed = (*feed.by, feed.behind) if feed.behind else feed.by
    return any(amount > limits.advice_a for key, amount in passed if key in families.value)

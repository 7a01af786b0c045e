"""The voltage drop along a way by the rulebook's formula, at its worst and at its best, and what is permitted."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

import msgspec

from engine.electrics.sizes import ConductorSize
from engine.electrics.sources import RULEBOOKS, Rulebook, Source
from engine.electrics.voltage_drop import drop_source, ohms_per_m, voltage_drop
from engine.graph.boat import Boat
from engine.graph.demand import Demand
from engine.model.kept import Kept
from engine.model.network import Part, Run
from engine.rules.bounds import Bound, one_way_m, size_bounds
from engine.rules.ways import Way, circuit_current, system_voltage, ways

CRITICAL_PERCENT, ORDINARY_PERCENT = 3.0, 10.0
"""ABYC E-11, quoted; ISO 10133:2012 4.7 and 4.8; how well each is known stands at excessive-voltage-drop."""

UNKNOWN_LENGTH_M = 1000.0
"""Longer than any run on a boat: what an unknown length is at its worst."""


class Stretch(msgspec.Struct, frozen=True):
    """One core at its best: size, A, m. What the sum is told with."""

    size: ConductorSize
    current_a: float
    length_m: float


class Drop(msgspec.Struct, frozen=True):
    """Drop in % of the system voltage between bounds; its formula is that of the best (and only, where all is known)."""

    percent: Bound
    stretches: tuple[Stretch, ...]
    system_v: float
    book: Rulebook

    @property
    def formula(self) -> str:
        """The sum of its stretches with the numbers put in."""
        told = [
            voltage_drop(each.size, each.current_a, each.length_m, self.system_v, self.book).formula
            for each in self.stretches
        ]
        return _formula(told, self.percent.least, self.system_v)

    @property
    def sources(self) -> tuple[Source, ...]:
        """What the formula rests on."""
        return (drop_source(self.book),) if self.stretches else ()

    def plus(self, other: Drop) -> Drop:
        """Both stretches together."""
        lacks = tuple(dict.fromkeys((*self.percent.lacks, *other.percent.lacks)))
        least, most = self.percent.least + other.percent.least, self.percent.most + other.percent.most
        return Drop(Bound(least, most, lacks), (*self.stretches, *other.stretches), self.system_v, self.book)


class Lane(msgspec.Struct, frozen=True):
    """Cores in a row that carry the same current: ohms by the rulebook's formula, at their best and at their worst."""

    least_ohm: float
    most_ohm: float
    cores: tuple[tuple[ConductorSize, float], ...]
    """Size and length, m, of each at its best."""
    lacks: tuple[str, ...]


def drop_along(way: Way, book: Rulebook) -> Drop:
    """Drop out and back along a way. In a branch each core carries what lies beyond it, else the circuit's own current."""
    return _along(way, circuit_current(way), system_voltage(way.battery), book)


def drop_and_total(way: Way, before: Lane | None, book: Rulebook) -> tuple[Drop, Drop]:
    """Drop along a way, and counted from the battery: with that of what lies before it, by the circuit's current alone."""
    current, voltage = circuit_current(way), system_voltage(way.battery)
    own = _along(way, current, voltage, book)
    if before is None:
        return own, own
    return own, own.plus(_over_lane(before, current, voltage, book))


def _along(way: Way, current: Bound, voltage: Bound, book: Rulebook) -> Drop:
    if way.kind != "branch":
        return _over_lane(lane_of(([way], book)), current, voltage, book)
    least_v = most_v = 0.0
    lacks = [*current.lacks, *voltage.lacks]
    stretches = []
    for run, pole, demand in way.cores:
        lane = _core_lane(run, pole, book)
        amps = _amps(demand, current)
        least_v += amps.least * lane.least_ohm
        most_v += amps.most * lane.most_ohm if math.isfinite(amps.most) else math.inf
        lacks += (*lane.lacks, *amps.lacks)
        stretches += [Stretch(size, amps.least, length_m) for size, length_m in lane.cores]
    return _drop(least_v, most_v, voltage, lacks, stretches, book)


class Before:
    """What lies between the battery and each panel: the ways of its feeders, and their cores in a row."""

    def __init__(self, boat: Boat, book: Rulebook) -> None:
        self._feeders = {way.part.id: way for way in boat.derive(ways) if way.kind == "feeder"}
        self._book = book
        self._known: dict[str, tuple[tuple[Way, ...], Lane | None]] = {}

    def feeders(self, source: Part) -> tuple[Way, ...]:
        """The ways before a source; none before a battery."""
        return self._of(source)[0]

    def lane(self, source: Part) -> Lane | None:
        """Their cores; None where there are none."""
        return self._of(source)[1]

    def _of(self, source: Part) -> tuple[tuple[Way, ...], Lane | None]:
        if source.id not in self._known:
            before = tuple(_feeders_before(source.id, self._feeders))
            lane = _LANES.of((source.id, self._book), (before, self._book)) if before else None
            self._known[source.id] = before, lane
        return self._known[source.id]

    def lanes(self) -> Mapping[str, Lane | None]:
        """The cores before each panel that is fed, by its id."""
        return {part: self.lane(way.part) for part, way in self._feeders.items()}


def _before_maker(book: Rulebook) -> Callable[[Boat], Before]:
    return lambda boat: Before(boat, book)


def _lanes_maker(book: Rulebook) -> Callable[[Boat], Mapping[str, Lane | None]]:
    return lambda boat: before_of(boat, book).lanes()


_BEFORE = {book: _before_maker(book) for book in RULEBOOKS}
LANES = {book: _lanes_maker(book) for book in RULEBOOKS}
"""What makes these lanes of a boat, by the rulebook."""


def before_of(boat: Boat, book: Rulebook) -> Before:
    """What lies between the battery and each panel, worked out once for each rulebook."""
    return boat.derive(_BEFORE[book])


def lane_of(facts: tuple[Sequence[Way], Rulebook]) -> Lane:
    """The cores of the ways, out and back, in a row, by a rulebook."""
    listed, book = facts
    lanes = [_core_lane(run, pole, book) for way in listed for run, pole, _ in way.cores]
    least, most = sum(lane.least_ohm for lane in lanes), sum(lane.most_ohm for lane in lanes)
    lacks = tuple(dict.fromkeys(lack for lane in lanes for lack in lane.lacks))
    return Lane(least, most, tuple(core for lane in lanes for core in lane.cores), lacks)


_LANES = Kept(lane_of)


def _core_lane(run: Run, pole: str, book: Rulebook) -> Lane:
    length = one_way_m(run)
    small, large, unknown = size_bounds(run, pole, book)
    least = ohms_per_m(large, book) * length.least
    most = ohms_per_m(small, book) * min(length.most, UNKNOWN_LENGTH_M)
    return Lane(least, most, ((large, length.least),), (*length.lacks, *unknown))


def _over_lane(lane: Lane, current: Bound, voltage: Bound, book: Rulebook) -> Drop:
    least_v = current.least * lane.least_ohm
    most_v = current.most * lane.most_ohm if math.isfinite(current.most) else math.inf
    stretches = [Stretch(size, current.least, length_m) for size, length_m in lane.cores]
    return _drop(least_v, most_v, voltage, [*current.lacks, *voltage.lacks, *lane.lacks], stretches, book)


def _drop(
    least_v: float, most_v: float, voltage: Bound, lacks: list[str], stretches: list[Stretch], book: Rulebook
) -> Drop:
    percent = Bound(100 * least_v / voltage.most, 100 * most_v / voltage.least, tuple(dict.fromkeys(lacks)))
    return Drop(percent, tuple(stretches), voltage.most, book)


def _amps(demand: Demand | None, current: Bound) -> Bound:
    """In a branch each core carries the loads beyond it; on shared conductors the circuit's own current counts."""
    if demand is None or demand.in_ring:
        return current
    return Bound(min(demand.least_a, current.least), min(demand.most_a, current.most), demand.unknown)


def _formula(texts: list[str], percent: float, system_v: float) -> str:
    volts = percent * system_v / 100
    same = list(dict.fromkeys(texts))
    shown = "; ".join(f"{texts.count(text)} × ({text})" if texts.count(text) > 1 else text for text in same)
    return f"{shown}; together {volts:.3g} V = {percent:.3g} % of {system_v:.4g} V"


def runs_of(ways_: Iterable[Way]) -> Iterator[str]:
    """The keys of the runs along ways, out and back."""
    for way in ways_:
        yield from (f"run:{run.id}" for run, _, _ in way.cores)


def _feeders_before(source: str, feeders: Mapping[str, Way]) -> Iterator[Way]:
    seen: set[str] = set()
    while source in feeders and source not in seen:
        seen.add(source)
        yield feeders[source]
        source = feeders[source].source.id


def limit_of(way: Way) -> tuple[float, tuple[str, ...]]:
    """The permitted drop, %; where the class of the load is unknown the milder one, and the field."""
    if way.kind == "feeder":
        return CRITICAL_PERCENT, ()
    wanted = way.part.values.get("drop_class")
    if wanted is None:
        return ORDINARY_PERCENT, (f"part:{way.part.id} drop_class",)
    return (CRITICAL_PERCENT if wanted == "critical" else ORDINARY_PERCENT), ()

"""The voltage drop along a way by the rulebook's formula, at its worst and at its best."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import msgspec

from engine.electrics.sizes import ConductorSize
from engine.electrics.sources import Rulebook, Source
from engine.electrics.voltage_drop import VoltageDrop, voltage_drop
from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.bounds import Bound, one_way_m, size_bounds
from engine.rules.ways import Way, circuit_current, cores, system_voltage

UNKNOWN_LENGTH_M = 1000.0
"""Longer than any run on a boat: what an unknown length is at its worst."""


class Drop(msgspec.Struct, frozen=True):
    """Drop in % of the system voltage between bounds, with the formula of the best (and only, where all is known)."""

    percent: Bound
    texts: tuple[str, ...]
    system_v: float
    sources: tuple[Source, ...]

    @property
    def formula(self) -> str:
        """The sum of its stretches with the numbers put in."""
        return _formula(list(self.texts), self.percent.least, self.system_v)

    def plus(self, other: Drop) -> Drop:
        """Both stretches together."""
        lacks = tuple(dict.fromkeys((*self.percent.lacks, *other.percent.lacks)))
        least, most = self.percent.least + other.percent.least, self.percent.most + other.percent.most
        return Drop(
            Bound(least, most, lacks), (*self.texts, *other.texts), self.system_v, self.sources or other.sources
        )


def drop_along(boat: Boat, way: Way, book: Rulebook) -> Drop:
    """Drop out and back along a way. In a branch each core carries what lies beyond it, else the circuit's own current."""
    return _drop_over(boat, way, _cores_of(way), way.kind == "branch", book)


def drop_before(boat: Boat, way: Way, before: Iterable[Way], book: Rulebook) -> Drop:
    """Drop along the ways before a circuit's own, with the circuit's current alone."""
    return _drop_over(boat, way, [core for each in before for core in _cores_of(each)], False, book)


def _drop_over(boat: Boat, way: Way, along: list[tuple[Run, str]], own: bool, book: Rulebook) -> Drop:
    current, voltage = circuit_current(boat, way), system_voltage(way.battery)
    least = most = 0.0
    texts: list[str] = []
    lacks = [*current.lacks, *voltage.lacks]
    sources: tuple[Source, ...] = ()
    for run, pole in along:
        amps = _amps(boat, run, pole, current, own)
        length = one_way_m(run)
        small, large, unknown = size_bounds(run, pole, book)
        lacks += [*length.lacks, *unknown, *amps.lacks]
        worst_m = min(length.most, UNKNOWN_LENGTH_M)
        best = _drop(large, amps.least, length.least, voltage.most, book)
        certain = (
            small is large and amps.least == amps.most and length.least == worst_m and voltage.least == voltage.most
        )
        most += best.drop_percent if certain else _percent(small, amps.most, worst_m, voltage.least, book)
        least += best.drop_percent
        texts.append(best.formula)
        sources = sources or best.sources
    return Drop(Bound(least, most, tuple(dict.fromkeys(lacks))), tuple(texts), voltage.most, sources)


def _cores_of(way: Way) -> list[tuple[Run, str]]:
    return [*cores(way.out), *cores(way.back or ())]


def _amps(boat: Boat, run: Run, pole: str, current: Bound, own: bool) -> Bound:
    """In a branch each core carries the loads beyond it; on shared conductors the circuit's own current counts."""
    demand = boat.demand.get((run.id, pole)) if own else None
    if demand is None or demand.in_ring:
        return current
    return Bound(min(demand.least_a, current.least), min(demand.most_a, current.most), demand.unknown)


@lru_cache(maxsize=4096)
def _drop(size: ConductorSize, current_a: float, length_m: float, system_v: float, book: Rulebook) -> VoltageDrop:
    return voltage_drop(size, current_a, length_m, system_v, book)


def _percent(size: ConductorSize, current_a: float, length_m: float, system_v: float, book: Rulebook) -> float:
    if current_a == float("inf") or length_m == float("inf"):
        return float("inf")
    return _drop(size, current_a, length_m, system_v, book).drop_percent


def _formula(texts: list[str], percent: float, system_v: float) -> str:
    volts = percent * system_v / 100
    same = list(dict.fromkeys(texts))
    shown = "; ".join(f"{texts.count(text)} × ({text})" if texts.count(text) > 1 else text for text in same)
    return f"{shown}; together {volts:.3g} V = {percent:.3g} % of {system_v:.4g} V"

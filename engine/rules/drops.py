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


def drop_along(boat: Boat, way: Way, book: Rulebook, more: tuple[Way, ...] = ()) -> Drop:
    """Drop out and back along a way with its circuit's current; `more` are ways before it, with the same current."""
    current = circuit_current(boat, way)
    voltage = system_voltage(way.battery)
    branch = _cores_of(way)
    rest = [core for each in more for core in _cores_of(each)]
    least = most = 0.0
    texts: list[str] = []
    lacks = [*current.lacks, *voltage.lacks]
    sources: tuple[Source, ...] = ()
    for run, pole, own in _sorted(branch, rest, way):
        amps = _amps(boat, run, pole, current, own)
        length = one_way_m(run)
        small, large, unknown = size_bounds(run, pole, book)
        lacks += [*length.lacks, *unknown, *amps.lacks]
        worst_m = min(length.most, UNKNOWN_LENGTH_M)
        most += _percent(small, amps.most, worst_m, voltage.least, book)
        best = _drop(large, amps.least, length.least, voltage.most, book)
        least += best.drop_percent
        texts.append(best.formula)
        sources = sources or best.sources
    return Drop(Bound(least, most, tuple(dict.fromkeys(lacks))), tuple(texts), voltage.most, sources)


def _cores_of(way: Way) -> list[tuple[Run, str]]:
    return [*cores(way.out), *cores(way.back or ())]


def _sorted(own: Iterable[tuple[Run, str]], rest: Iterable[tuple[Run, str]], way: Way) -> list[tuple[Run, str, bool]]:
    """Every core with whether it belongs to the circuit alone, so that its own demand counts."""
    branch = way.kind == "branch"
    return [*((run, pole, branch) for run, pole in own), *((run, pole, False) for run, pole in rest)]


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

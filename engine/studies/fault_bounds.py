"""A bound from below for the smallest short circuit and one from above for the largest, by adding up ohms along the wiring: for
who needs to know only that a current is large, or small, enough. The network (faults.py) has the currents themselves.

Each source that can stand alone by itself, its battery weak, conductors hot, by the way with the fewest edges: a further way in
parallel only adds current (Rayleigh). Out and back; ways back over the negative wiring by the triangle inequality. What limits
itself (inverters) is left out. No matrix, no SciPy.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

import msgspec

from engine.electrics.resistance import resistance
from engine.electrics.sizes import parse_size
from engine.graph.boat import LIVE_POLES, Boat
from engine.graph.poles import Edge, Node, RunRef, edges_of, keyed_edges_of
from engine.graph.skeleton import once
from engine.graph.spans import span_of
from engine.model.kept import by_identity
from engine.model.network import AC_POLES, Run
from engine.model.quantity import high, low
from engine.studies.conductors import LOST_IN, device, length_m, limit_c, open_fields, size_of
from engine.studies.fault_sources import FaultSource, sources_at
from engine.studies.trails import Trail, trail
from engine.studies.values import assumed


class Alone(msgspec.Struct, frozen=True):
    """A source that can stand alone, with all that it reaches and how many ohms there are up to each stop of the trail."""

    source: FaultSource
    trail: Trail
    ohms: Ohms

    @property
    def emf_v(self) -> float:
        """Voltage before the fault, V."""
        return abs(self.source.supply.emf.value)


class Ohms(msgspec.Struct, frozen=True):
    """Along a trail: ohm up to each stop, and of the stops behind runs of which the size or the length is not known these
    runs."""

    to: Sequence[float]
    unknown: Mapping[int, tuple[RunRef, ...]]


class Least(msgspec.Struct, frozen=True):
    """A short circuit at the far end of a run: at least `current_a`, A; 0 where `lacks` names what is not known."""

    run: Run
    pole: str
    source: str
    guards: tuple[str, ...]
    current_a: float
    ohm: float
    lacks: tuple[str, ...]


def least_faults(boat: Boat) -> tuple[Least, ...]:
    """For every live core and every source that reaches it alone: the smallest short circuit at its far end, from below."""
    return boat.derive(_least_faults)


def _least_faults(boat: Boat) -> tuple[Least, ...]:
    return tuple(each for alone in alone_sources(boat) for each in _of_source(boat, alone))


def _of_source(boat: Boat, alone: Alone) -> Iterator[Least]:
    returns, supply, stops, ohms = boat.derive(_returns), alone.source.supply, alone.trail.stops, alone.ohms
    start, unknown_start = returns.get(supply.a, NOTHING)
    own = _Sum(boat, alone, abs(supply.ohm.value) + start, unknown_start)
    for number, back in enumerate(_beside(boat, alone, returns)):
        stop = stops[number]
        if stop.run is not None:
            out = ohms.to[number], ohms.unknown.get(number, ())
            yield own.least(stop.run, stop.node, stop.guards, out, returns[back] if back else out)
    for near, far, edge in _closing(boat, alone):
        assert edge.run is not None
        ohm = boat.derive(_ohms).get((edge.key, edge.pole))
        unknown = (*ohms.unknown.get(near, ()), *(() if ohm is not None else (edge.run,)))
        out = ohms.to[near] + (ohm or 0.0), unknown
        back = boat.return_beside(far, returns) or (far if far in returns else None)
        yield own.least(edge.run, far, stops[near].guards, out, returns[back] if back else out)


Stretch = tuple[float, tuple[RunRef, ...]]
"""Ohms, and the runs that are not known."""
NOTHING: Stretch = (0.0, ())


class _Sum:
    """What stands before every fault of a source."""

    def __init__(self, boat: Boat, alone: Alone, ohm: float, unknown: tuple[RunRef, ...]) -> None:
        self._runs, self._ohm, self._unknown = boat.runs, ohm, unknown
        self._emf_v, self._lacks, self._part = alone.emf_v, alone.source.lacks, alone.source.supply.part.id

    def least(self, run: RunRef, node: Node, guards: tuple[str, ...], out: Stretch, back: Stretch) -> Least:
        """The short circuit at the far end of a run."""
        ohm, unknown = self._ohm + out[0] + back[0], (*out[1], *self._unknown, *back[1])
        lacks = self._lacks
        if unknown:
            lacks = (*lacks, *dict.fromkeys(field for each in unknown for field in open_fields(self._runs[each.id])))
        current_a = 0.0 if lacks else self._emf_v / ohm
        return Least(self._runs[run.id], node[2], self._part, guards, current_a, ohm, lacks)


def _beside(boat: Boat, alone: Alone, returns: Mapping[Node, Stretch]) -> tuple[Node | None, ...]:
    """Of each stop the return that belongs to it: at its part, else the stop itself; None where no return is known."""
    roots = sorted({str(each.source.supply.a) for each in alone_sources(boat)})
    name = f"returns beside {alone.source.supply.b} {roots}"
    made: tuple[Node | None, ...] = once(boat.wiring, name, lambda: tuple(
        boat.return_beside(stop.node, returns) or (stop.node if stop.node in returns else None) for stop in alone.trail.stops
    ))  # fmt: skip
    return made


def _closing(boat: Boat, alone: Alone) -> Iterator[tuple[int, Node, Edge]]:
    """The cores that close a ring, so that no way leads over them: each from the stop with the fewer ohms to the other end."""
    at, ohms = alone.trail.at, alone.ohms.to
    taken = {(stop.run.id, stop.node[2]) for stop in alone.trail.stops if stop.run is not None}
    for a, b, edge in boat.carry_wiring(_cores_in_rings):
        if edge.run is not None and a in at and b in at and not {(edge.run.id, a[2]), (edge.run.id, b[2])} & taken:
            near, far = (a, b) if ohms[at[a]] <= ohms[at[b]] else (b, a)
            yield at[near], far, edge


def _cores_in_rings(boat: Boat) -> tuple[tuple[Node, Node, Edge], ...]:
    rings = span_of(boat.wires).rings
    return tuple(
        (a, b, edge)
        for a, b, key, edge in keyed_edges_of(boat.wires)
        if key in rings and edge.run is not None and edge.pole in LIVE_POLES
    )


def alone_sources(boat: Boat) -> tuple[Alone, ...]:
    """Batteries, shore, generators, transformers: what can be the only source."""
    return boat.derive(_alone_sources)


def _alone_sources(boat: Boat) -> tuple[Alone, ...]:
    found = []
    for _, _, edge in edges_of(boat.graph):
        if edge.part is None or not _may_stand_alone(boat, edge):
            continue
        for source in sources_at(boat, edge, "least"):
            if source.stands_alone and source.supply.b[2] in LIVE_POLES:
                found.append(_alone(boat, source))
    return tuple(found)


def _may_stand_alone(boat: Boat, edge: Edge) -> bool:
    if edge.kind == "source":
        return True
    return edge.kind == "converter" and edge.part is not None and boat.role(edge.part) == "transformer"


def most_from(boat: Boat) -> float:
    """More than everything together can feed into a DC fault at once, A: each source shorted at its own terminals."""
    return boat.derive(_most_from)


def _most_from(boat: Boat) -> float:
    total = 0.0
    for _, _, edge in edges_of(boat.graph):
        if edge.part is None or edge.kind not in ("source", "converter", "load"):
            continue
        for source in sources_at(boat, edge, "most"):
            if source.supply.b[2] not in AC_POLES:
                total += math.inf if source.lacks else abs(source.supply.emf.value) / abs(source.supply.ohm.value)
    return total


def _alone(boat: Boat, source: FaultSource) -> Alone:
    along = trail(boat, source.supply.b)
    return Alone(source, along, _along(boat, along))


def _along(boat: Boat, along: Trail) -> Ohms:
    """The ohms up to each stop."""
    known = boat.derive(_ohms)
    to, unknown = [0.0], dict[int, tuple[RunRef, ...]]()
    for number, stop in enumerate(along.stops[1:], 1):
        edge, before = stop.edge, stop.before
        assert edge is not None
        ohm = known.get((edge.key, edge.pole))
        to.append(to[before] + (ohm or 0.0))
        if ohm is None and edge.run is not None:
            unknown[number] = (*unknown.get(before, ()), edge.run)
        elif before in unknown:
            unknown[number] = unknown[before]
    return Ohms(to, unknown)


def _returns(boat: Boat) -> Mapping[Node, Stretch]:
    """From one root in each part of the negative and neutral wiring to all of it."""
    found: dict[Node, Stretch] = {}
    for alone in alone_sources(boat):
        if alone.source.supply.a not in found:
            along = trail(boat, alone.source.supply.a)
            ohms = _along(boat, along)
            found.update(
                (stop.node, (ohms.to[number], ohms.unknown.get(number, ()))) for number, stop in enumerate(along.stops)
            )
    return found


def _ohms(boat: Boat) -> Mapping[tuple[str, str], float]:
    """(key, pole) of every conductor, fuse, breaker, contact and shunt -> its ohm at the worst; those not known left out."""
    found = dict(boat.carry(_device_ohms))
    for run in boat.network.runs:
        found.update(_core_ohms(run, None))
    return found


def _device_ohms(boat: Boat) -> Mapping[tuple[str, str], float]:
    """Those inside parts; they follow from the skeleton."""
    without, losing = boat.carry_wiring(_losing)
    known = ((edge, _device_ohm(boat, edge)) for edge in losing)
    return {**without, **{(edge.key, edge.pole): ohm for edge, ohm in known if ohm is not None}}


def _losing(boat: Boat) -> tuple[Mapping[tuple[str, str], float], tuple[Edge, ...]]:
    """What inside parts has no ohms at all, and the edges that may have some."""
    shunts = {name for name, kind in boat.library.items() if any(value.name == "full_scale_mv" for value in kind.value)}
    inside = [edge for _, _, edge in edges_of(boat.wires) if edge.part is not None]
    losing = tuple(edge for edge in inside if edge.kind in LOST_IN or (edge.part and edge.part.kind in shunts))
    return {(edge.key, edge.pole): 0.0 for edge in inside}, losing


@by_identity
def _core_ohms(run: Run, _: None) -> Mapping[tuple[str, str], float]:
    known = ((pole, _core_ohm(run, pole)) for pole in run.poles)
    return {(f"run:{run.id}", pole): ohm for pole, ohm in known if ohm is not None}


def _core_ohm(run: Run, pole: str) -> float | None:
    metres = length_m(run)
    if metres is None or size_of(run) is None:
        return None
    tinned = run.tinned is not False
    per_m = _per_m(run.size, limit_c(run), tinned)
    ohm = per_m * high(metres) + 2 * assumed("terminal", "worst", "low")[0] / 1000
    if pole not in AC_POLES:
        return ohm
    return math.hypot(ohm, assumed("cable_reactance", "worst", "low")[0] * high(metres) / 1000)


@lru_cache(maxsize=1024)
def _per_m(size: str, at_c: float, tinned: bool) -> float:
    return resistance(parse_size(size), temperature_c=at_c, tinned=tinned).ohm_per_m


def _device_ohm(boat: Boat, edge: Edge) -> float | None:
    if edge.kind in LOST_IN and edge.link is not None:
        rating = boat.rating_of(edge)
        if rating is None or low(rating) <= 0:
            return assumed("device_unrated", "worst", "low")[0] / 1000
        return assumed(LOST_IN[edge.kind], "worst", "low")[0] / low(rating) / 1000
    if edge.part is not None and "full_scale_mv" in boat.part_of(edge).values:
        figure = device(boat, edge, "worst")
        return figure.real if figure else 0.0
    return 0.0

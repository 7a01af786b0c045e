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
from engine.graph.listed import keyed_edges_of
from engine.graph.poles import Edge, Node, RunRef
from engine.graph.skeleton import once
from engine.model.kept import Kept, by_identity
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


class Ohms(msgspec.Struct, frozen=True):
    """Along a trail: ohm up to each stop, and of the stops behind runs of which the size or the length is not known these
    runs."""

    to: Sequence[float]
    unknown: Mapping[int, tuple[RunRef, ...]]


class Least(msgspec.Struct, frozen=True):
    """A short circuit at the far end of a run: at least `current_a`, A; 0 where `lacks` or `unknown` say what is not known."""

    run: str
    """Its id."""
    pole: str
    source: str
    guards: tuple[str, ...]
    current_a: float
    ohm: float
    lacks: tuple[str, ...]
    """Fields of the source."""
    unknown: tuple[RunRef, ...] = ()
    """Runs on the way of which the size or the length is not known."""


def lacks_of(boat: Boat, least: Least) -> tuple[str, ...]:
    """The fields without which nothing is known of it."""
    return (*least.lacks, *dict.fromkeys(field for run in least.unknown for field in open_fields(boat.runs[run.id])))


def least_faults(boat: Boat) -> tuple[Least, ...]:
    """For every live core and every source that reaches it alone: the smallest short circuit at its far end, from below."""
    return boat.derive(_least_faults)


def _least_faults(boat: Boat) -> tuple[Least, ...]:
    return tuple(each for alone in alone_sources(boat) for each in _of_source(boat, alone))


def _of_source(boat: Boat, alone: Alone) -> Iterator[Least]:
    returns = boat.derive(_returns)
    facts = alone.source, alone.trail, alone.ohms, returns, _beside(boat, alone, returns)
    known = not alone.ohms.unknown and not returns.unknown
    own = _Sum(alone.source, returns)
    yield from _FAR_ENDS.of(alone.trail.stops[0].node, facts) if known else _far_ends(facts)
    for near, far, edge in _closing(boat, alone):
        assert edge.run is not None
        ohm = boat.derive(_ohms).get((edge.key, edge.pole))
        unknown = (*alone.ohms.unknown.get(near, ()), *(() if ohm is not None else (edge.run,)))
        out = alone.ohms.to[near] + (ohm or 0.0), unknown
        back = boat.return_beside(far, returns.to) or (far if far in returns.to else None)
        yield own.least(edge.run, far, alone.trail.stops[near].guards, out, returns.to[back] if back else out)


Stretch = tuple[float, tuple[RunRef, ...]]
"""Ohms, and the runs that are not known."""
NOTHING: Stretch = (0.0, ())
Facts = tuple[FaultSource, Trail, "Ohms", "Returns", tuple[Node | None, ...]]


def _far_ends(facts: Facts) -> tuple[Least, ...]:
    """The short circuits at the far ends of the runs by which the stops of a trail were reached."""
    source, along, ohms, returns, beside = facts
    own, found = _Sum(source, returns), list[Least]()
    for number, (stop, back) in enumerate(zip(along.stops, beside, strict=True)):
        if stop.run is not None:
            out = ohms.to[number], ohms.unknown.get(number, ())
            found.append(own.least(stop.run, stop.node, stop.guards, out, returns.to[back] if back else out))
    return tuple(found)


_FAR_ENDS = Kept(_far_ends)


class _Sum:
    """What stands before every fault of a source."""

    def __init__(self, source: FaultSource, returns: Returns) -> None:
        start_ohm, self._unknown = returns.to.get(source.supply.a, NOTHING)
        self._ohm = abs(source.supply.ohm.value) + start_ohm
        self._emf_v, self._lacks, self._part = abs(source.supply.emf.value), source.lacks, source.supply.part.id

    def least(self, run: RunRef, node: Node, guards: tuple[str, ...], out: Stretch, back: Stretch) -> Least:
        """The short circuit at the far end of a run."""
        ohm, unknown = self._ohm + out[0] + back[0], (*out[1], *self._unknown, *back[1])
        current_a = 0.0 if self._lacks or unknown else self._emf_v / ohm
        return Least(run.id, node[2], self._part, guards, current_a, ohm, self._lacks, unknown)


def _beside(boat: Boat, alone: Alone, returns: Returns) -> tuple[Node | None, ...]:
    """Of each stop the return that belongs to it: at its part, else the stop itself; None where no return is known."""
    roots = sorted({str(each.source.supply.a) for each in alone_sources(boat)})
    name = f"returns beside {alone.source.supply.b} {roots}"
    made: tuple[Node | None, ...] = once(boat.wiring, name, lambda: tuple(
        boat.return_beside(stop.node, returns.to) or (stop.node if stop.node in returns.to else None)
        for stop in alone.trail.stops
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
    rings = boat.rings
    if not rings:
        return ()
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
    for _, _, edge in boat.inside("source", "converter"):
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
    for _, _, edge in boat.inside("source", "converter", "load"):
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
    return _ALONG.of(along.stops[0].node, (along, tuple([known.get(core) for core in along.cores])))


def _added_up(facts: tuple[Trail, tuple[float | None, ...]]) -> Ohms:
    along, ohms = facts
    to, unknown = [0.0], dict[int, tuple[RunRef, ...]]()
    for number, (stop, ohm) in enumerate(zip(along.stops[1:], ohms, strict=True), 1):
        to.append(to[stop.before] + (ohm or 0.0))
        if ohm is None and stop.run is not None:
            unknown[number] = (*unknown.get(stop.before, ()), stop.run)
        elif stop.before in unknown:
            unknown[number] = unknown[stop.before]
    return Ohms(tuple(to), unknown)


_ALONG = Kept(_added_up)


class Returns:
    """From one root in each part of the negative and neutral wiring to all of it; the same object while nothing of it
    changes."""

    def __init__(self, trails: tuple[tuple[Trail, Ohms], ...]) -> None:
        self.to: dict[Node, Stretch] = {}
        self.unknown = any(ohms.unknown for _, ohms in trails)
        for along, ohms in trails:
            self.to.update(
                (stop.node, (ohms.to[number], ohms.unknown.get(number, ()))) for number, stop in enumerate(along.stops)
            )


_RETURNS = Kept(Returns)


def _returns(boat: Boat) -> Returns:
    reached: set[Node] = set()
    trails: list[tuple[Trail, Ohms]] = []
    for alone in alone_sources(boat):
        if alone.source.supply.a not in reached:
            along = trail(boat, alone.source.supply.a)
            reached.update(along.at)
            trails.append((along, _along(boat, along)))
    return _RETURNS.of("", tuple(trails))


def _ohms(boat: Boat) -> Mapping[tuple[str, str], float]:
    """(key, pole) of every conductor, fuse, breaker, contact and shunt -> its ohm at the worst; those not known left out."""
    found = {(edge.key, edge.pole): 0.0 for _, _, _, edge in boat.graphs.through}
    found.update(boat.carry_records("device ohms", lambda: _device_ohms(boat)))
    for run in boat.network.runs:
        found.update(_core_ohms(run, None))
    return found


def _device_ohms(boat: Boat) -> Mapping[tuple[str, str], float]:
    """Those of what lies inside parts."""
    shunts = {name for name, kind in boat.library.items() if any(value.name == "full_scale_mv" for value in kind.value)}
    inside = [edge for _, _, _, edge in boat.graphs.within.sorted_links.every]
    losing = [edge for edge in inside if edge.kind in LOST_IN or (edge.part and edge.part.kind in shunts)]
    without = {(edge.key, edge.pole): 0.0 for edge in inside}
    return without | {(edge.key, edge.pole): _device_ohm(boat, edge) for edge in losing}


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


def _device_ohm(boat: Boat, edge: Edge) -> float:
    if edge.kind in LOST_IN and edge.link is not None:
        rating = boat.rating_of(edge)
        if rating is None or low(rating) <= 0:
            return assumed("device_unrated", "worst", "low")[0] / 1000
        return assumed(LOST_IN[edge.kind], "worst", "low")[0] / low(rating) / 1000
    if edge.part is not None and "full_scale_mv" in boat.part_of(edge).values:
        figure = device(boat, edge, "worst")
        return figure.real if figure else 0.0
    return 0.0

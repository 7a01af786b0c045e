"""A bound from below for the smallest short circuit and one from above for the largest, by adding up ohms along the wiring: for
who needs to know only that a current is large, or small, enough. The network (faults.py) has the currents themselves.

Each source that can stand alone by itself, its battery weak, conductors hot, by the way with the fewest edges: a further way in
parallel only adds current (Rayleigh). Out and back; ways back over the negative wiring by the triangle inequality. What limits
itself (inverters) is left out. No matrix, no SciPy.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import lru_cache

import msgspec

from engine.electrics.resistance import resistance
from engine.electrics.sizes import parse_size
from engine.graph.boat import DEVICES, LIVE_POLES, Boat
from engine.graph.paths import web_of
from engine.graph.poles import Edge, Node, RunRef, edges_of, keyed_edges_of
from engine.graph.spans import span_of
from engine.model.network import AC_POLES, Run
from engine.model.quantity import high, low
from engine.studies.conductors import LOST_IN, device, length_m, open_fields, size_of, temperature_c
from engine.studies.fault_sources import FaultSource, sources_at
from engine.studies.values import assumed


class Way(msgspec.Struct, frozen=True):
    """How a source reaches a node: ohm in all, the devices passed (nearest first), the run by which it was reached, and the
    runs on the way of which the size or the length is not known."""

    ohm: float
    guards: tuple[str, ...] = ()
    run: RunRef | None = None
    unknown: tuple[RunRef, ...] = ()
    contact: Edge | None = None
    """The contact just passed, where the last edge was one."""


class Alone(msgspec.Struct, frozen=True):
    """A source that can stand alone, with its ways to everything it reaches."""

    source: FaultSource
    ways: Mapping[Node, Way]

    @property
    def emf_v(self) -> float:
        """Voltage before the fault, V."""
        return abs(self.source.supply.emf.value)


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
    backs = boat.derive(_returns)
    supply = alone.source.supply
    start = backs.get(supply.a, NO_WAY)
    for node, way in (*alone.ways.items(), *_closing(boat, alone.ways)):
        if way.run is None:
            continue
        back = backs.get(boat.return_beside(node, backs) or node, way)
        ohm = abs(supply.ohm.value) + way.ohm + start.ohm + back.ohm
        unknown = (*way.unknown, *start.unknown, *back.unknown)
        lacks = tuple(dict.fromkeys(field for run in unknown for field in open_fields(boat.runs[run.id])))
        lacks = (*alone.source.lacks, *lacks)
        current_a = 0.0 if lacks else alone.emf_v / ohm
        yield Least(boat.runs[way.run.id], node[2], supply.part.id, way.guards, current_a, ohm, lacks)


def _closing(boat: Boat, ways: Mapping[Node, Way]) -> Iterator[tuple[Node, Way]]:
    """The cores that close a ring, so that no way leads over them: each from the end with the fewer ohms to the other."""
    taken = {(way.run.id, node[2]) for node, way in ways.items() if way.run is not None}
    for a, b, edge in boat.derive(_cores_in_rings):
        if edge.run is not None and a in ways and b in ways and not {(edge.run.id, a[2]), (edge.run.id, b[2])} & taken:
            near, far = (a, b) if ways[a].ohm <= ways[b].ohm else (b, a)
            yield far, _step(ways[near], edge, boat.derive(_ohms).get((edge.key, edge.pole)))


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
                found.append(Alone(source, walked(boat, source.supply.b)))
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


NO_WAY = Way(0.0)


def walked(boat: Boat, start: Node) -> Mapping[Node, Way]:
    """The ways from a node along the conductors, each by the fewest edges."""
    web, found = web_of(boat.wires), {start: NO_WAY}
    ohms = boat.derive(_ohms)
    queue = [start] if start in web else []
    for node in queue:
        way = found[node]
        for other, edge in web[node]:
            if other not in found and not (edge.kind == "contact" and _barred(way, edge)):
                found[other] = _step(way, edge, ohms.get((edge.key, edge.pole)))
                queue.append(other)
    return found


def _barred(way: Way, edge: Edge) -> bool:
    """Whether a contact joins two batteries (then neither is alone), or is never closed together with the one just passed, as
    the two ways in of a selector."""
    assert edge.link is not None
    combines = edge.part is not None and edge.part.kind == "combining_relay"
    if combines or edge.link.states == ("combine",):
        return True
    last = way.contact
    if last is None or last.part != edge.part or last.link is None:
        return False
    return bool(last.link.states and edge.link.states) and not set(last.link.states) & set(edge.link.states)


def _step(way: Way, edge: Edge, ohm: float | None) -> Way:
    if edge.run is not None:
        unknown = way.unknown if ohm is not None else (*way.unknown, edge.run)
        return Way(way.ohm + (ohm or 0.0), way.guards, edge.run, unknown)
    guards = (edge.key, *way.guards) if edge.kind in DEVICES and edge.key not in way.guards else way.guards
    return Way(way.ohm + (ohm or 0.0), guards, None, way.unknown, edge if edge.kind == "contact" else None)


def _returns(boat: Boat) -> Mapping[Node, Way]:
    """From one root in each part of the negative and neutral wiring to all of it."""
    found: dict[Node, Way] = {}
    for alone in alone_sources(boat):
        if alone.source.supply.a not in found:
            found.update(walked(boat, alone.source.supply.a))
    return found


def _ohms(boat: Boat) -> Mapping[tuple[str, str], float]:
    """(key, pole) of every conductor, fuse, breaker, contact and shunt -> its ohm at the worst; those not known left out."""
    found: dict[tuple[str, str], float] = {}
    for _, _, edge in edges_of(boat.wires):
        ohm = _core_ohm(boat, boat.run_of(edge), edge.pole) if edge.run is not None else _device_ohm(boat, edge)
        if ohm is not None:
            found[edge.key, edge.pole] = ohm
    return found


def _core_ohm(boat: Boat, run: Run, pole: str) -> float | None:
    metres = length_m(run)
    if metres is None or size_of(run) is None:
        return None
    tinned = run.tinned is not False
    per_m = _per_m(run.size, temperature_c(boat, run, "worst"), tinned)
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

"""A bound from below for the smallest short circuit and one from above for the largest, by adding up ohms along the wiring: for
who needs to know only that a current is large, or small, enough. The network (faults.py) has the currents themselves.

Each source that can stand alone by itself, its battery weak, conductors hot, by the way with the fewest edges: a further way in
parallel only adds current (Rayleigh). Out and back; ways back over the negative wiring by the triangle inequality. What limits
itself (inverters) is left out. No matrix, no SciPy.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import msgspec

from engine.graph.boat import LIVE_POLES, Boat
from engine.graph.listed import keyed_edges_of
from engine.graph.poles import Edge, Node, RunRef
from engine.model.kept import Kept, latest
from engine.model.network import AC_POLES, Run
from engine.studies.conductors import open_fields
from engine.studies.fault_ohms import Ohms as DeviceOhms
from engine.studies.fault_ohms import core_ohm, device_ohms
from engine.studies.fault_returns import NOTHING, Returns, Stretch, returns_from
from engine.studies.fault_sources import FaultSource, sources_at
from engine.studies.trails import Trail, trail


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
    start = returns.to.get(alone.source.supply.a, NOTHING)
    own = _Sum(alone.source, start)
    backs = tuple([returns.to[back] if back else None for back in _beside(boat, alone.trail, returns)])
    yield from _FAR_ENDS.of(alone.trail.stops[0].node, (alone, start, backs))
    for near, far, edge in _closing(boat, alone):
        assert edge.run is not None
        ohm = core_ohm(boat.run_of(edge), edge.pole)
        unknown = (*alone.ohms.unknown.get(near, ()), *(() if ohm is not None else (edge.run,)))
        out = alone.ohms.to[near] + (ohm or 0.0), unknown
        back = _return_of(boat, far, returns)
        yield own.least(edge.run, far, alone.trail.stops[near].guards, out, returns.to[back] if back else out)


Facts = tuple[Alone, Stretch, tuple[Stretch | None, ...]]
"""A source, what lies between the root of its returns and itself, and between that root and the return of each far end."""


def _far_ends(facts: Facts) -> tuple[Least, ...]:
    """The short circuits at the far ends of the runs by which the stops of a trail were reached."""
    alone, start, backs = facts
    own, ohms, found = _Sum(alone.source, start), alone.ohms, list[Least]()
    for (number, run), back in zip(alone.trail.ends, backs, strict=True):
        stop, out = alone.trail.stops[number], (ohms.to[number], ohms.unknown.get(number, ()))
        found.append(own.least(run, stop.node, stop.guards, out, back or out))
    return tuple(found)


_FAR_ENDS = Kept(_far_ends)


class _Sum:
    """What stands before every fault of a source."""

    def __init__(self, source: FaultSource, start: Stretch) -> None:
        self._ohm, self._unknown = abs(source.supply.ohm.value) + start[0], start[1]
        self._emf_v, self._lacks, self._part = abs(source.supply.emf.value), source.lacks, source.supply.part.id

    def least(self, run: RunRef, node: Node, guards: tuple[str, ...], out: Stretch, back: Stretch) -> Least:
        """The short circuit at the far end of a run."""
        ohm, unknown = self._ohm + out[0] + back[0], (*out[1], *self._unknown, *back[1])
        current_a = 0.0 if self._lacks or unknown else self._emf_v / ohm
        return Least(run.id, node[2], self._part, guards, current_a, ohm, self._lacks, unknown)


def _beside(boat: Boat, along: Trail, returns: Returns) -> tuple[Node | None, ...]:
    """The return of each far end; kept while the same returns are known at its parts."""
    name = f"returns beside {along.stops[0].node}"
    last = latest.get(name)
    if last is not None and last[0] is along and returns.are_beside(last[1], along.parts):
        backs: tuple[Node | None, ...] = last[2]
    else:
        backs = tuple([_return_of(boat, along.stops[number].node, returns) for number, _ in along.ends])
    latest[name] = along, returns, backs
    return backs


def _return_of(boat: Boat, far: Node, returns: Returns) -> Node | None:
    """The return that belongs to a far end: at its part, else itself; None where no return is known."""
    return boat.return_beside(far, returns.to) or (far if far in returns.to else None)


def _closing(boat: Boat, alone: Alone) -> Iterator[tuple[int, Node, Edge]]:
    """The cores that close a ring, so that no way leads over them: each from the stop with the fewer ohms to the other end."""
    if not alone.trail.closes:
        return
    at, ohms = alone.trail.at, alone.ohms.to
    taken = {(run.id, alone.trail.stops[number].node[2]) for number, run in alone.trail.ends}
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
    sources = boat.carry_records("sources that stand alone", lambda: _sources(boat))
    return tuple(_alone(boat, source) for source in sources)


def _sources(boat: Boat) -> tuple[FaultSource, ...]:
    return tuple(
        source
        for _, _, edge in boat.inside("source", "converter")
        if edge.part is not None and _may_stand_alone(boat, edge)
        for source in sources_at(boat, edge, "least")
        if source.stands_alone and source.supply.b[2] in LIVE_POLES
    )


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
    runs = tuple([boat.runs[run.id] for _, run in along.ends])
    return _ALONG.of(along.stops[0].node, (along, runs, device_ohms(boat)))


def _added_up(facts: tuple[Trail, tuple[Run, ...], DeviceOhms]) -> Ohms:
    along, runs, devices = facts
    known, to, unknown = iter(runs), [0.0], dict[int, tuple[RunRef, ...]]()
    for number, stop in enumerate(along.stops[1:], 1):
        edge = stop.edge
        assert edge is not None
        ohm = devices.get((edge.key, edge.pole), 0.0) if edge.run is None else core_ohm(next(known), edge.pole)
        to.append(to[stop.before] + (ohm or 0.0))
        if ohm is None and edge.run is not None:
            unknown[number] = (*unknown.get(stop.before, ()), edge.run)
        elif stop.before in unknown:
            unknown[number] = unknown[stop.before]
    return Ohms(tuple(to), unknown)


_ALONG = Kept(_added_up)


def _returns(boat: Boat) -> Returns:
    return returns_from(boat, [alone.source.supply.a for alone in alone_sources(boat)])

"""The ways from a node along the conductors, each by the fewest edges: which leads over which, whatever their ohms. Follows from
the wiring alone."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from engine.graph.boat import DEVICES, Boat, Earlier
from engine.graph.listed import web_of
from engine.graph.poles import Edge, Node, RunRef


class Stop(msgspec.Struct, frozen=True):
    """A node that is reached, and how: over an edge from the stop `before` (its place in the trail)."""

    node: Node
    before: int
    edge: Edge | None = None
    guards: tuple[str, ...] = ()
    """The devices passed, nearest first."""

    @property
    def run(self) -> RunRef | None:
        """The run by which it was reached."""
        return self.edge.run if self.edge else None


class Trail(msgspec.Struct, frozen=True, eq=False):
    """All that is reached from a node, the nearest first. The same object while nothing of it changes: told from others by that."""

    stops: tuple[Stop, ...]
    at: Mapping[Node, int]
    ends: tuple[tuple[int, RunRef], ...]
    """The place of each stop that was reached by a run, with the run."""
    parts: frozenset[str]
    """All to which it leads."""
    closes: bool
    """Whether an edge leads to what was reached by another: only then is there a ring."""


def trail(boat: Boat, start: Node) -> Trail:
    """The trail from a node."""
    return boat.carry_on(f"trail {start}", lambda earlier: _trail(boat, start, earlier))


def _trail(boat: Boat, start: Node, earlier: Earlier[Trail] | None) -> Trail:
    if earlier is not None and earlier.at.isdisjoint(earlier.made.at):
        return earlier.made
    web = web_of(boat.wires)
    stops, at, closes = [Stop(start, 0)], {start: 0}, False
    for number, stop in enumerate(stops):
        came = stop.edge
        for other, edge in web.get(stop.node, ()):
            if other in at:
                closes = closes or edge != came
            elif not (edge.kind == "contact" and is_barred(came, edge)):
                at[other] = len(stops)
                stops.append(Stop(other, number, edge, _guards(stop, edge)))
    ends = tuple([(number, stop.edge.run) for number, stop in enumerate(stops) if stop.edge and stop.edge.run])
    return Trail(tuple(stops), at, ends, frozenset([node[0] for node in at]), closes)


def _guards(stop: Stop, edge: Edge) -> tuple[str, ...]:
    return (edge.key, *stop.guards) if edge.kind in DEVICES and edge.key not in stop.guards else stop.guards


def is_barred(last: Edge | None, edge: Edge) -> bool:
    """Whether a contact joins two batteries (then neither is alone), or is never closed together with the one just passed, as
    the two ways in of a selector."""
    assert edge.link is not None
    combines = edge.part is not None and edge.part.kind == "combining_relay"
    if combines or edge.link.states == ("combine",):
        return True
    if last is None or last.kind != "contact" or last.part != edge.part or last.link is None:
        return False
    return bool(last.link.states and edge.link.states) and not set(last.link.states) & set(edge.link.states)

"""What the batteries at one strand of the positive wiring can push through it to the loads there. Kept with the strand: most edits
touch only one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import msgspec
import networkx as nx

from engine.graph.boat import DEVICES, Boat
from engine.graph.flows import UNLIMITED
from engine.graph.groups import Groups
from engine.graph.listed import edges_of, web_of
from engine.graph.poles import Edge, Node
from engine.graph.return_sides import Ends, Side
from engine.model.kept import differing_keys, latest
from engine.model.quantity import Quantity, high, is_exact, low

Backs = Mapping[Node, Node]
"""Negative node -> positive node."""
Ratings = Mapping[tuple[str, str], Quantity]
"""Of each device by its key and the name of the value."""
Facts = tuple[Ratings, Backs, Backs]
"""The ratings, all batteries and all loads of a boat."""
Flows = tuple[Sequence[float], Sequence[float]]
"""Amounts that add up to what flows at the least, and at the most, A."""
NO_FLOWS: Flows = ((), ())


class _Known(msgspec.Struct, frozen=True):
    """What flows from some batteries to the loads on a side, which are these of the strand."""

    sources: Ends
    there: Side
    sinks: Ends
    flows: Flows


def ratings_of(boat: Boat) -> Ratings:
    """The ratings of all devices."""
    return boat.carry_records("ratings of devices", lambda: {
        (edge.key, edge.link.rated): boat.rating_of(edge) for _, _, edge in boat.devices() if edge.link
    })  # fmt: skip


def strand_of(graph: nx.MultiGraph, facts: Facts) -> Strand:
    """A strand of the positive wiring: the last one, where nothing of it is another."""
    name = f"pushed through {next(iter(graph))}"
    known: Strand | None = latest.get(name)
    if known is None or not known.holds(graph, facts):
        known = latest[name] = Strand(graph, facts)
    return known


class Strand:
    """A strand of the positive wiring with its batteries, loads and devices."""

    def __init__(self, graph: nx.MultiGraph, facts: Facts) -> None:
        self.graph, self.facts = graph, facts
        self._ratings = facts[0]
        nodes = web_of(graph)
        self._batteries, self._loads = ({back: at for back, at in each.items() if at in nodes} for each in facts[1:])
        self._battery_backs, self._load_backs = frozenset(self._batteries), frozenset(self._loads)
        self._most = Groups(graph, self._most_of, self._batteries.values())
        exact = all(is_exact(self._rating_of(edge)) for _, _, edge in edges_of(graph) if edge.kind in DEVICES)
        self._least = self._most if exact else Groups(graph, self._least_of, self._batteries.values())
        self._known: dict[str, _Known] = {}

    def holds(self, graph: nx.MultiGraph, facts: Facts) -> bool:
        """Whether it is the strand of a graph with these facts, as far as they are of it."""
        if self.graph is not graph:
            return False
        if self.facts != facts:
            (was, *backs_were), (ratings, *backs) = self.facts, facts
            if any(name in self._devices for name in differing_keys(was, ratings)) or any(
                known.get(back) in graph or each.get(back) in graph
                for known, each in zip(backs_were, backs, strict=True)
                for back in differing_keys(known, each)
            ):
                return False
            self.facts = facts
        return True

    @cached_property
    def _devices(self) -> frozenset[tuple[str, str]]:
        """Of its devices the keys and the names of their ratings."""
        edges = (edge for _, _, edge in edges_of(self.graph) if edge.kind in DEVICES)
        return frozenset((edge.key, edge.link.rated) for edge in edges if edge.link)

    def _rating_of(self, edge: Edge) -> Quantity:
        return self._ratings[edge.key, edge.link.rated] if edge.link else None

    def _most_of(self, edge: Edge) -> float:
        return high(self._rating_of(edge), UNLIMITED) if edge.kind in DEVICES else UNLIMITED

    def _least_of(self, edge: Edge) -> float:
        return low(self._rating_of(edge), 0.0) if edge.kind in DEVICES else UNLIMITED

    def flows(self, name: str, batteries: Ends, there: Side) -> Flows:
        """From batteries to the loads that lie on a side of a conductor; kept by the name while it is asked of the same ones."""
        sources = batteries & self._battery_backs
        if not sources:
            return NO_FLOWS
        known = self._known.get(name)
        if known is not None and (known.sources, known.there) == (sources, there):
            return known.flows
        sinks = there.among(self._load_backs)
        same = known is not None and (known.sources, known.sinks) == (sources, sinks)
        flows = known.flows if known is not None and same else self._worked_out(sources, sinks)
        self._known[name] = _Known(sources, there, sinks, flows)
        return flows

    def _worked_out(self, sources: Ends, sinks: Ends) -> Flows:
        if not sinks:
            return NO_FLOWS
        ends = [self._batteries[back] for back in sources], [self._loads[back] for back in sinks]
        most = self._most.flows(*ends)
        return most if self._least is self._most else self._least.flows(*ends), most

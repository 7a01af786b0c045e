"""How much current all sources together can push through each conductor before a device opens: maximum flow.

Device ratings are capacities, everything else carries without limit. Almost every boat is a tree of bridges, on which one
sweep gives every flow exactly; inside a ring (parallel paths) networkx computes the flow, with what the bridges
bring in as its sources. Knows currents and capacities, no rule.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from itertools import chain

import msgspec
import networkx as nx

from engine.graph.layout import Core, Layout, likeness
from engine.graph.poles import Edge, Keyed, Node
from engine.model.kept import differing_keys

UNLIMITED = math.inf
_BIG = 1e12
_SOURCE: Node = ("", "source", "")


class Feed(msgspec.Struct, frozen=True):
    """What can be pushed into a conductor at one end: amperes, and the devices and sources that set the sum."""

    current_a: float
    by: tuple[tuple[str, float], ...] = ()
    """(key of the device or source, amperes)."""
    behind: tuple[str, float] | None = None
    """The smallest device that all of it has passed, with its amperes, where something smaller still sets the sum."""


NOTHING = Feed(0.0)
Capacity = Callable[[Edge], float]
Entering = tuple[str, Node, Feed]
"""By which bridge ("" for a source there), at which node, and what."""


class Held(msgspec.Struct, frozen=True):
    """What can be pushed into both ends of one core, A: at end a and at end b of its run."""

    a: Feed = NOTHING
    b: Feed = NOTHING

    @property
    def worst(self) -> Feed:
        """The larger of the two: the current a fault on the conductor can draw through part of it."""
        return self.a if self.a.current_a >= self.b.current_a else self.b


def limits_of(layout: Layout, capacity: Capacity) -> Mapping[str, float]:
    """The capacity, A, of every fuse and breaker, by its key in the graph."""
    return {key: capacity(edge) for key, edge in layout.devices}


def brought(landed: Iterable[tuple[Held, Held, bool]]) -> tuple[Feed, Feed] | None:
    """Of the cores that land at one place what that brings which brings most, at its most and at its least; None where none
    lands. Each with its flows at most and at least, and whether it lands with end b of its run."""
    found = [(most.a, least.a) if at_b else (most.b, least.b) for most, least, at_b in landed]
    return max(found, key=lambda pair: pair[0].current_a) if found else None


class Feeds:
    """Flows into both ends of every edge of one conducting graph.

    layout: of the conductors of one kind of pole; inflow: node -> Feed of the sources that sit there; limits: A of each
    fuse and breaker (see `limits_of`), all else carries without limit; before: other flows, of which those are kept that
    nothing changes, over the same layout or a like one.
    """

    def __init__(
        self, layout: Layout, inflow: Mapping[Node, Feed], limits: Mapping[str, float], before: Feeds | None = None
    ) -> None:
        self._layout = layout
        self._graph = layout.graph
        self._ring_of, self._rings = layout.ring_of, layout.rings
        self._limits, self._inflow = limits, inflow
        fed_alike = before is not None and before._ring_of is layout.ring_of and before._inflow is inflow
        self._sources: dict[int, list[Entering]] = before._sources if before is not None and fed_alike else self._fed()
        """Ring -> what its own sources push into it."""
        self._begin(before if before is not None and before._layout.rivals == layout.rivals else None)

    def is_of(self, layout: Layout, limits: Mapping[str, float]) -> bool:
        """Whether they are the flows over this layout with these limits."""
        return self._layout is layout and (self._limits is limits or self._limits == limits)

    def inflow_over(self, layout: Layout) -> Mapping[Node, Feed] | None:
        """What is fed into it, where the layout has the same nodes and they bear the same numbers."""
        return self._inflow if layout.ring_of is self._ring_of else None

    def _fed(self) -> dict[int, list[Entering]]:
        found: dict[int, list[Entering]] = {}
        for node, feed in self._inflow.items():
            if node in self._ring_of and feed.current_a > 0:
                found.setdefault(self._ring_of[node], []).append(("", node, feed))
        return found

    def _begin(self, before: Feeds | None) -> None:
        """Fill the flows; with those of before only where a limit or a source is another, and where that leads to others."""
        self._arrived: dict[tuple[Node, str], Feed] = {}
        self._over: dict[tuple[Node, str], Feed] = {}
        self._entering: dict[int, list[Entering]] = {}
        self._held_before: tuple[Mapping[tuple[str, str], Held], Mapping[tuple[str, str], Core]] | None = None
        self._altered: set[str] | None = None
        """Bridges over which what arrives is not as it was; None: all."""
        if before is None:
            self._sweep(None, set())
            return
        limits = self._other_limits(before)
        others = self._take_over(before) | {self._layout.in_ring[key] for key in limits if key in self._layout.in_ring}
        self._altered = set()
        self._sweep(others, limits)
        if "held" in before.__dict__:
            self._held_before = before.held, before._layout.cores

    def _other_limits(self, before: Feeds) -> set[str]:
        """The devices that are none in the other, or have another limit or another name there."""
        every = {*self._limits, *before._limits} if self._limits is not before._limits else ()
        found = {key for key in every if self._limits.get(key) != before._limits.get(key)}
        return found if before._layout is self._layout else found | likeness(before._layout, self._layout).renamed

    def _take_over(self, before: Feeds) -> set[int]:
        """Take the flows of before, and what enters each node; the rings that others stand at, or that other sources feed."""
        old, new = before._layout, self._layout
        self._arrived, self._over = dict(before._arrived), dict(before._over)
        like = likeness(old, new) if old is not new else None
        for at in like.gone if like is not None else ():
            self._arrived.pop(at, None)
            self._over.pop(at, None)
        if like is None or old.ring_of is new.ring_of:
            others = self._fed_otherwise(before) | (like.others if like is not None else frozenset())
            self._entering = {ring: listed for ring, listed in before._entering.items() if ring not in others}
            return others
        others = set(like.others)
        for ring, was in like.same.items():
            if before._sources.get(was) != self._sources.get(ring):
                others.add(ring)
            elif was in before._entering:
                self._entering[ring] = before._entering[was]
        return others

    def _fed_otherwise(self, before: Feeds) -> set[int]:
        """The rings that other sources feed, where they bear the same numbers."""
        fed = {*self._sources, *before._sources} if self._sources is not before._sources else ()
        return {ring for ring in fed if self._sources.get(ring) != before._sources.get(ring)}

    @cached_property
    def held(self) -> Mapping[tuple[str, str], Held]:
        """(run id, pole) -> what can be pushed into both ends of the core."""
        (before, cores), altered = self._held_before or ({}, {}), self._altered or set()
        self._held_before = None
        return {
            name: before[name]
            if core.parts and core.key not in altered and cores.get(name) == core
            else self._held(core)
            for name, core in self._layout.cores.items()
        }

    def holds(self, node: Node) -> bool:
        """Whether the node is one of its graph."""
        return node in self._ring_of

    def into(self, node: Node, other: Node, key: str) -> Feed:
        """What enters the edge `key` (node - other) at `node`, the edge itself taken out."""
        if key in self._layout.bridges:
            return self._arrived.get((node, key), NOTHING)
        return self._ring_flow(self._ring_of[node], node, without_key=key, without_door="")

    def at(self, node: Node) -> Feed:
        """What can be drawn from the node itself."""
        ring = self._ring_of[node]
        if len(self._rings[ring]) == 1:
            return self._single(ring, "")
        return self._ring_flow(ring, node, without_key="", without_door="")

    def _held(self, core: Core) -> Held:
        if core.parts:
            arrived = self._arrived
            return Held(arrived.get((core.a, core.key), NOTHING), arrived.get((core.b, core.key), NOTHING))
        return Held(self.into(core.a, core.b, core.key), self.into(core.b, core.a, core.key))

    def _sweep(self, rings: set[int] | None, limits: set[str]) -> None:
        """The flow over each bridge in both directions: leaves inwards, then outwards from the roots. With `rings` only from
        those, and over the bridges of `limits`; else from those that something enters. A ring that other flows enter is added."""
        order, ring_of = self._layout.order, self._ring_of
        asked = set(self._sources) if rings is None else rings
        both = (((outer, inner, key) for inner, outer, key in reversed(order)), order)
        for start, end, key in chain.from_iterable(both):
            if ring_of[start] in asked or key in limits:
                self._pass(start, end, key, asked)

    def _pass(self, start: Node, end: Node, key: str, rings: set[int]) -> None:
        """What passes over a bridge starting at a node: what arrives there, held by the edge's own capacity."""
        at = start, key
        arrived = self._arriving(start, key)
        if self._arrived.get(at, NOTHING) != arrived:
            self._arrived[at] = arrived
            if self._altered is not None:
                self._altered.add(key)
        over = arrived
        if arrived.current_a > 0 and key in self._limits:
            over = _hold(arrived, self._limits[key], self._layout.names[key])
        if self._over.get(at, NOTHING) != over:
            self._over[at] = over
            self._entering.pop(self._ring_of[end], None)
            rings.add(self._ring_of[end])

    def _enters(self, ring: int) -> list[Entering]:
        """What enters a ring: its sources, and what passes over its bridges as far as that is known yet."""
        if ring not in self._entering:
            found = list(self._sources.get(ring, ()))
            for near, far, key in self._layout.entries.get(ring, ()):
                feed = self._over.get((far, key))
                if feed is not None and feed.current_a > 0:
                    found.append((key, near, feed))
            self._entering[ring] = found
        return self._entering[ring]

    def _arriving(self, node: Node, key: str) -> Feed:
        ring = self._ring_of[node]
        if len(self._rings[ring]) == 1:
            return self._single(ring, key)
        return self._ring_flow(ring, node, without_key="", without_door=key)

    def _single(self, ring: int, without_door: str) -> Feed:
        """What enters a node that is on no ring."""
        listed = self._enters(ring)
        if not listed:
            return NOTHING
        if len(listed) == 1:
            return NOTHING if without_door and listed[0][0] == without_door else listed[0][2]
        entering = [each for each in listed if not each[0] or each[0] != without_door]
        if self._layout.rivals:
            entering = self._one_of_rivals(entering)
        return _total([feed for _, _, feed in entering])

    def _one_of_rivals(self, entering: list[Entering]) -> list[Entering]:
        """Of what enters by contacts of one selector that never close together, the largest alone."""
        rivals = self._layout.rivals
        largest: dict[object, Entering] = {}
        for number, each in enumerate(entering):
            selector = rivals.get((each[1], each[0]), number)
            if selector not in largest or each[2].current_a > largest[selector][2].current_a:
                largest[selector] = each
        return list(largest.values())

    def _entries(self, ring: int, without_door: str) -> dict[Node, Feed]:
        """What enters the ring at each of its nodes: sources, and bridges other than one."""
        entries: dict[Node, list[Feed]] = {}
        for door, node, feed in self._enters(ring):
            if not door or door != without_door:
                entries.setdefault(node, []).append(feed)
        return {node: _total(feeds) for node, feeds in entries.items()}

    def _ring_flow(self, ring: int, target: Node, without_key: str, without_door: str) -> Feed:
        entries = self._entries(ring, without_door)
        if not entries:
            return NOTHING
        net = nx.DiGraph()
        net.add_nodes_from([_SOURCE, target])
        for node, feed in entries.items():
            net.add_edge(_SOURCE, node, capacity=min(feed.current_a, _BIG))
        within = [
            (a, b, key, edge)
            for a, b, key, edge in self._graph.subgraph(self._rings[ring]).edges(keys=True, data="edge")
            if key != without_key
        ]
        for a, b, key, _ in within:
            _add_both_ways(net, a, b, min(self._limits.get(key, UNLIMITED), _BIG))
        value, (supplied, _) = nx.minimum_cut(net, _SOURCE, target)
        if value >= _BIG / 2:
            return _total(feed for feed in entries.values() if feed.current_a >= _BIG)
        return Feed(float(value), self._cut(supplied, entries, within))

    def _cut(
        self, supplied: set[Node], entries: Mapping[Node, Feed], within: Iterable[Keyed]
    ) -> tuple[tuple[str, float], ...]:
        """What sets the flow: the devices across the least cut, and what enters beyond it."""
        across = [
            (edge.key, self._limits.get(key, UNLIMITED))
            for a, b, key, edge in within
            if (a in supplied) != (b in supplied)
        ]
        beyond = [item for node, feed in entries.items() if node not in supplied for item in feed.by]
        return _in_order((*across, *beyond))


class Flows:
    """Flows over all strands of a rail, those of a strand on which nothing is other than before taken over whole.

    inflow and limits as for `Feeds`, the limits by layout; before: other flows.
    """

    def __init__(
        self, layouts: Iterable[Layout], inflow: Mapping[Node, Feed], limits: Callable[[Layout], Mapping[str, float]],
        before: Flows | None = None,
    ) -> None:  # fmt: skip
        self._inflow = inflow
        self._other_inflow = differing_keys(before._inflow, inflow) if before is not None else set[Node]()
        """The nodes where something else is fed in than before."""
        known: Mapping[Node, Feeds] = before._by_first if before is not None else {}
        self._by_first: Mapping[Node, Feeds] = {
            layout.first: self._over(layout, limits(layout), known.get(layout.first)) for layout in layouts
        }

    def _over(self, layout: Layout, limits: Mapping[str, float], known: Feeds | None) -> Feeds:
        fed_alike = known is not None and not any(node in layout.ring_of for node in self._other_inflow)
        if known is not None and fed_alike and known.is_of(layout, limits):
            return known
        inflow = known.inflow_over(layout) if known is not None and fed_alike else None
        if inflow is None:
            inflow = {node: feed for node, feed in self._inflow.items() if node in layout.ring_of}
        return Feeds(layout, inflow, limits, known)

    @cached_property
    def held(self) -> Mapping[tuple[str, str], Held]:
        """(run id, pole) -> what can be pushed into both ends of the core."""
        found: dict[tuple[str, str], Held] = {}
        for feeds in self._by_first.values():
            found.update(feeds.held)
        return found

    def at(self, node: Node) -> Feed:
        """What can be drawn from the node itself."""
        strand = next((each for each in self._by_first.values() if each.holds(node)), None)
        return strand.at(node) if strand is not None else self._inflow.get(node, NOTHING)


def _hold(feed: Feed, capacity_a: float, key: str) -> Feed:
    if feed.current_a > capacity_a:
        return Feed(capacity_a, ((key, capacity_a),))
    if capacity_a == UNLIMITED or (feed.behind is not None and feed.behind[1] <= capacity_a):
        return feed
    return Feed(feed.current_a, feed.by, (key, capacity_a))


def _total(feeds: Iterable[Feed]) -> Feed:
    listed = [feed for feed in feeds if feed.current_a > 0]
    if len(listed) < 2:
        return listed[0] if listed else NOTHING
    return Feed(sum(feed.current_a for feed in listed), _in_order(item for feed in listed for item in feed.by))


def _in_order(items: Iterable[tuple[str, float]]) -> tuple[tuple[str, float], ...]:
    """The largest first: the same boat is told in the same words every time, whatever order a set was walked in."""
    return tuple(sorted(items, key=lambda item: (-item[1], item[0])))


def _add_both_ways(net: nx.DiGraph, a: Node, b: Node, capacity_a: float) -> None:
    for tail, head in ((a, b), (b, a)):
        known = net.get_edge_data(tail, head, {"capacity": 0.0})["capacity"]
        net.add_edge(tail, head, capacity=known + capacity_a)

"""How much current all sources together can push through each conductor before a device opens: maximum flow.

Device ratings are capacities, everything else carries without limit. Almost every boat is a tree of bridges, on which one
sweep gives every flow exactly; inside a ring (parallel paths) networkx computes the flow, with what the bridges
bring in as its sources. Knows currents and capacities, no rule.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping

import msgspec
import networkx as nx

from engine.graph.poles import Edge, Node, keyed_edges_of
from engine.graph.spans import span_of

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


class Layout:
    """How one conducting graph hangs together: its bridges, its rings, and the order to walk them in. Capacities apart."""

    def __init__(self, graph: nx.MultiGraph) -> None:
        self.graph = graph
        self.edges: dict[tuple[Node, str], Edge] = {}
        for a, b, key, edge in keyed_edges_of(graph):
            self.edges[a, key] = self.edges[b, key] = edge
        self.bridges = bridge_keys(graph)
        self.ring_of, self.rings = _rings(graph, self.bridges)
        self.doors = self._bridges_at_rings()
        self.order = self._order()
        self.rivals = _rivals(graph)

    def _bridges_at_rings(self) -> dict[int, list[tuple[Node, Node, str]]]:
        doors: dict[int, list[tuple[Node, Node, str]]] = {}
        for a, b, key, _ in keyed_edges_of(self.graph):
            if key in self.bridges:
                doors.setdefault(self.ring_of[a], []).append((a, b, key))
                doors.setdefault(self.ring_of[b], []).append((b, a, key))
        return doors

    def _order(self) -> list[tuple[Node, Node, str]]:
        """Bridges from the roots outwards as (inner node, outer node, key)."""
        seen: set[int] = set()
        order: list[tuple[Node, Node, str]] = []
        for root in range(len(self.rings)):
            stack = [root] if root not in seen else []
            seen.add(root)
            while stack:
                for near, far, key in self.doors.get(stack.pop(), ()):
                    if self.ring_of[far] not in seen:
                        seen.add(self.ring_of[far])
                        order.append((near, far, key))
                        stack.append(self.ring_of[far])
        return order


class Feeds:
    """Flows into both ends of every edge of one conducting graph.

    layout: of the conductors of one kind of pole; inflow: node -> Feed of the sources that sit there; capacity: A of an
    edge.
    """

    def __init__(self, layout: Layout, inflow: Mapping[Node, Feed], capacity: Capacity) -> None:
        self._layout = layout
        self._graph = layout.graph
        self._capacity = capacity
        self._ring_of, self._rings = layout.ring_of, layout.rings
        self._arrived: dict[tuple[Node, str], Feed] = {}
        self._entering: dict[int, list[Entering]] = {}
        """Ring -> what enters it; nothing is left out."""
        for node, feed in inflow.items():
            if node in self._ring_of:
                self._enter(node, "", feed)
        self._sweep()

    def into(self, node: Node, other: Node, key: str) -> Feed:
        """What enters the edge `key` (node - other) at `node`, the edge itself taken out."""
        if key in self._layout.bridges:
            return self._arrived[node, key]
        return self._ring_flow(self._ring_of[node], node, without_key=key, without_door="")

    def at(self, node: Node) -> Feed:
        """What can be drawn from the node itself."""
        ring = self._ring_of[node]
        if len(self._rings[ring]) == 1:
            return self._single(ring, "")
        return self._ring_flow(ring, node, without_key="", without_door="")

    def edges(self) -> Iterable[tuple[Node, Node, str, Edge]]:
        """Every edge of the graph as (node, node, key, edge)."""
        return keyed_edges_of(self._graph)

    def _sweep(self) -> None:
        """Fill the flow over each bridge in both directions: leaves inwards, then outwards from the roots."""
        order = self._layout.order
        for inner, outer, key in reversed(order):
            self._enter(inner, key, self._over(outer, key))
        for inner, outer, key in order:
            self._enter(outer, key, self._over(inner, key))

    def _enter(self, node: Node, key: str, feed: Feed) -> None:
        if feed.current_a > 0:
            self._entering.setdefault(self._ring_of[node], []).append((key, node, feed))

    def _over(self, node: Node, key: str) -> Feed:
        """What passes over bridge `key` starting at `node`: what arrives there, held by the edge's own capacity."""
        feed = self._arrived[node, key] = self._arriving(node, key)
        if feed.current_a <= 0:
            return feed
        edge = self._layout.edges[node, key]
        return _hold(feed, self._capacity(edge), edge.key)

    def _arriving(self, node: Node, key: str) -> Feed:
        ring = self._ring_of[node]
        entering = self._entering.get(ring)
        if entering is None:
            return NOTHING
        if len(self._rings[ring]) == 1:
            return self._single(ring, key)
        return self._ring_flow(ring, node, without_key="", without_door=key)

    def _single(self, ring: int, without_door: str) -> Feed:
        """What enters a node that is on no ring."""
        listed = self._entering.get(ring, ())
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
        for door, node, feed in self._entering.get(ring, ()):
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
            (a, b, edge)
            for a, b, key, edge in self._graph.subgraph(self._rings[ring]).edges(keys=True, data="edge")
            if key != without_key
        ]
        for a, b, edge in within:
            _add_both_ways(net, a, b, min(self._capacity(edge), _BIG))
        value, (supplied, _) = nx.minimum_cut(net, _SOURCE, target)
        if value >= _BIG / 2:
            return _total(feed for feed in entries.values() if feed.current_a >= _BIG)
        return Feed(float(value), self._cut(supplied, entries, within))

    def _cut(
        self, supplied: set[Node], entries: Mapping[Node, Feed], within: Iterable[tuple[Node, Node, Edge]]
    ) -> tuple[tuple[str, float], ...]:
        """What sets the flow: the devices across the least cut, and what enters beyond it."""
        across = [(edge.key, self._capacity(edge)) for a, b, edge in within if (a in supplied) != (b in supplied)]
        beyond = [item for node, feed in entries.items() if node not in supplied for item in feed.by]
        return _in_order((*across, *beyond))


def _rivals(graph: nx.MultiGraph) -> dict[tuple[Node, str], str]:
    """(node, edge key) -> the selector, for its contacts at one node of which only one can be closed at a time."""
    contacts: dict[tuple[Node, str], list[tuple[str, Edge]]] = {}
    for a, b, key, edge in keyed_edges_of(graph):
        if edge.kind == "contact" and edge.part is not None:
            for end in (a, b):
                contacts.setdefault((end, edge.part.id), []).append((key, edge))
    found: dict[tuple[Node, str], str] = {}
    for (node, part), listed in contacts.items():
        states = [state for _, edge in listed for state in (edge.link.states if edge.link else ())]
        if len(listed) > 1 and len(states) == len(set(states)) >= len(listed):
            found.update({(node, key): part for key, _ in listed})
    return found


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


def bridge_keys(graph: nx.MultiGraph) -> frozenset[str]:
    """Keys of the edges whose removal parts the graph (an edge with a parallel twin is none)."""
    span = span_of(graph)
    return frozenset(key for _, key in span.parent.values() if key not in span.rings)


def _rings(graph: nx.MultiGraph, bridges: frozenset[str]) -> tuple[dict[Node, int], list[frozenset[Node]]]:
    """The parts of the graph that hang together without its bridges; most are single nodes."""
    near: dict[Node, list[Node]] = {node: [] for node in graph}
    for a, b, key, _ in keyed_edges_of(graph):
        if key not in bridges:
            near[a].append(b)
            near[b].append(a)
    ring_of: dict[Node, int] = {}
    rings: list[frozenset[Node]] = []
    for node in near:
        if node not in ring_of:
            rings.append(_joined(node, near))
            ring_of.update(dict.fromkeys(rings[-1], len(rings) - 1))
    return ring_of, rings


def _joined(start: Node, near: Mapping[Node, list[Node]]) -> frozenset[Node]:
    seen, queue = {start}, [start]
    while queue:
        for other in near[queue.pop()]:
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return frozenset(seen)

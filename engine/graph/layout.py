"""How one conducting graph hangs together, for what flows through it: bridges, rings, and the order to walk them in."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from functools import cached_property

import msgspec
import networkx as nx

from engine.graph.listed import joints_of, keyed_at, keyed_edges_of, mended_at, noted, noted_before
from engine.graph.poles import DEVICES, Edge, Keyed, Node
from engine.graph.spans import Span, span_of
from engine.model.kept import Kept


class Core(msgspec.Struct, frozen=True):
    """A core among the edges of the graph: from end a of its run to end b."""

    name: tuple[str, str]
    """(run id, pole)."""
    a: Node
    b: Node
    key: str
    parts: bool
    """Whether it is a bridge."""


class Layout:
    """How one conducting graph hangs together: its bridges, its rings, and the order to walk them in. Capacities apart.

    `first`: a node that tells it from the layouts of other parts; `order`: the bridges from the roots outwards as (inner node,
    outer node, key); `entries`: of each ring the bridges at it as (node there, node beyond, key), those that lead outwards first;
    `in_ring`: the ring of each edge that is no bridge; `devices`: the key and edge of every fuse and breaker, `names`: what each
    is called, by its key; `bridges`: their keys, `ends`: (node, key) of both ends of each; `cores`: by (run id, pole).
    """

    other: frozenset[Node] | None = None
    """The nodes at which other bridges may stand than in the layout it was made of; None where it was made from nothing."""

    def __init__(self, graph: nx.MultiGraph) -> None:
        self.graph = graph
        self.first = next(iter(graph), ("", "", ""))
        self.poles = frozenset(node[2] for node in graph)
        span = span_of(graph)
        self.ring_of, self.rings = _rings(graph, self.bridges) if span.rings else _single(span)
        self.order = self._order() if span.rings else _outwards(span)
        self.entries = self._entries(span)
        self.rivals = _rivals(graph)
        self.in_ring = {key: self.ring_of[a] for a, _, key, _ in keyed_edges_of(graph) if key not in self.bridges}
        self.devices = tuple((key, edge) for _, _, key, edge in keyed_edges_of(graph) if edge.kind in DEVICES)
        self.names: Mapping[str, str] = {key: edge.key for key, edge in self.devices}
        self.cores = {core.name: core for core in _cores(keyed_edges_of(graph), span.rings)}

    @cached_property
    def bridges(self) -> frozenset[str]:
        return bridge_keys(self.graph)

    @cached_property
    def ends(self) -> frozenset[tuple[Node, str]]:
        return frozenset(
            (node, key) for a, b, key, _ in keyed_edges_of(self.graph) if key in self.bridges for node in (a, b)
        )

    @cached_property
    def doors(self) -> dict[int, list[tuple[Node, Node, str]]]:
        """Of each ring the bridges at it, as (node there, node beyond, key)."""
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

    def _entries(self, span: Span) -> dict[int, list[tuple[Node, Node, str]]]:
        if span.moved is not None:
            return {self.ring_of[node]: _entries_at(self.graph, span, node) for node in self.graph}
        found: dict[int, list[tuple[Node, Node, str]]] = {}
        for inner, outer, key in reversed(self.order):
            found.setdefault(self.ring_of[inner], []).append((inner, outer, key))
        for inner, outer, key in self.order:
            found.setdefault(self.ring_of[outer], []).append((outer, inner, key))
        return found


class _Mended(Layout):
    """One that is made of another's, where neither graph has a ring and no node came."""

    def __init__(self, graph: nx.MultiGraph, before: Layout, at: frozenset[Node]) -> None:
        self.graph, span = graph, span_of(graph)
        self.first, self.poles, self.ring_of, self.rings = before.first, before.poles, before.ring_of, before.rings
        self.rivals, self.in_ring, self.devices, self.names = (
            before.rivals,
            before.in_ring,
            before.devices,
            before.names,
        )
        self.order = _outwards(span)
        self.other = at.union(span.moved or ())
        self.entries = {**before.entries, **{self.ring_of[node]: _entries_at(graph, span, node) for node in self.other}}
        self.cores = dict(before.cores)
        for name in _cores_at(before.graph, at):
            del self.cores[name]
        self.cores.update(_cores_at(graph, at))


def layout_of(graph: nx.MultiGraph) -> Layout:
    """The layout of a graph that is no longer changed; kept with it."""
    return noted(graph, "layout", _layout)


def _layout(graph: nx.MultiGraph) -> Layout:
    earlier, moved = noted_before(graph, "layout"), span_of(graph).moved
    if earlier is None or moved is None or graph._node is not earlier[1]._node:
        return Layout(graph)
    known, _, at = earlier
    return _Mended(graph, known, at)


def _outwards(span: Span) -> list[tuple[Node, Node, str]]:
    parent = span.parent
    return [(parent[node][0], node, parent[node][1]) for node in span.order if node in parent]


def _entries_at(graph: nx.MultiGraph, span: Span, node: Node) -> list[tuple[Node, Node, str]]:
    """The bridges at a node of a graph without rings, in the order of entries."""
    above = span.parent.get(node)
    outwards = [(node, *each) for each in reversed(joints_of(graph)[node]) if each != above]
    return outwards + ([(node, *above)] if above is not None else [])


class Likeness(msgspec.Struct, frozen=True):
    """What of one layout is as it was in another: the rings of a single node at which the same bridges stand in the same order,
    with the number of each there; the `others`; the ends of bridges that are `gone`; the devices that another name is given."""

    same: Mapping[int, int]
    others: frozenset[int]
    gone: frozenset[tuple[Node, str]]
    renamed: frozenset[str]


def likeness(old: Layout, new: Layout) -> Likeness:
    """Compared once for all flows that go over the two."""
    return _LIKENESS.of(new.poles, (old, new))


def _likeness(layouts: tuple[Layout, Layout]) -> Likeness:
    old, new = layouts
    if new.other is not None and mended_at(new.graph, old.graph) is not None:
        return _mended_likeness(old, new, new.other)
    same: dict[int, int] = {}
    for ring, nodes in enumerate(new.rings):
        was = old.ring_of.get(next(iter(nodes)), -1)
        if (
            was >= 0
            and len(nodes) == 1
            and old.rings[was] == nodes
            and old.entries.get(was, []) == new.entries.get(ring, [])
        ):
            same[ring] = was
    renamed = frozenset(key for key, name in new.names.items() if old.names.get(key) != name)
    others = frozenset(ring for ring in range(len(new.rings)) if ring not in same)
    return Likeness(same, others, old.ends - new.ends, renamed)


def _mended_likeness(old: Layout, new: Layout, nodes: frozenset[Node]) -> Likeness:
    """Where one was made of the other."""
    rings = [new.ring_of[node] for node in nodes]
    others = frozenset(ring for ring in rings if old.entries.get(ring, []) != new.entries.get(ring, []))
    was, are = joints_of(old.graph), joints_of(new.graph)
    gone = frozenset((node, key) for node in nodes for _, key in frozenset(was[node]).difference(are[node]))
    return Likeness({ring: ring for ring in range(len(new.rings)) if ring not in others}, others, gone, frozenset())


_LIKENESS = Kept(_likeness)


def _single(span: Span) -> tuple[dict[Node, int], list[frozenset[Node]]]:
    """Where there are no rings each node is one by itself."""
    return {node: number for number, node in enumerate(span.order)}, [frozenset({node}) for node in span.order]


def _cores_at(graph: nx.MultiGraph, nodes: frozenset[Node]) -> dict[tuple[str, str], Core]:
    """Those at some nodes of a graph without rings, by their names."""
    here = (keyed for node in sorted(nodes) for keyed in keyed_at(graph, node))
    return {core.name: core for core in _cores(here, ())}


def _cores(edges: Iterable[Keyed], rings: Container[str]) -> Iterator[Core]:
    for a, b, key, edge in edges:
        if edge.run is not None:
            first, second = (a, b) if a[:2] == (edge.run.a.part, edge.run.a.port) else (b, a)
            yield Core((edge.run.id, edge.pole), first, second, key, key not in rings)


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

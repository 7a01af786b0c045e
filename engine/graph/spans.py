"""A spanning tree of a conducting graph: every node from a root outwards, and which edges lie in rings. Knows no boat.

Where a graph without rings was made of another, its tree is made of that one's: what came off is hung by itself, what came on is
hung beneath, and all else stays as it is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

import networkx as nx

from engine.graph.listed import Joints, joints_of, keyed_edges_of, mended_at, noted, noted_before
from engine.graph.poles import Node


class Span:
    """One tree for each part of the graph that hangs together, at the first of its nodes.

    `parent`: the node and the edge's key by which each hangs on its tree;
    `root`: of each node; `rings`: the keys of the edges that do not part the graph when they are taken out.
    """

    moved: Collection[Node] | None = None
    """The nodes that hang otherwise than in the tree that this one was made of; None where it was made from nothing."""

    def __init__(self, graph: nx.MultiGraph) -> None:
        self._order: list[Node] = []
        self._since: dict[Node, None] = {}
        self.parent: dict[Node, tuple[Node, str]] = {}
        self.root: dict[Node, Node] = {}
        self._grow(joints_of(graph))
        self.rings = self._mark(graph)

    def _grow(self, joints: Joints) -> None:
        root, parent = self.root, self.parent
        for start in joints:
            if start in root:
                continue
            root[start] = start
            order = [start]
            for node in order:
                for other, key in joints[node]:
                    if other not in root:
                        root[other] = start
                        parent[other] = (node, key)
                        order.append(other)
            self._order += order

    def _mark(self, graph: nx.MultiGraph) -> frozenset[str]:
        """Every edge outside the tree, and the tree edges that it bridges over."""
        hanging = {key for _, key in self.parent.values()}
        beside = [(a, b, key) for a, b, key, _ in keyed_edges_of(graph) if key not in hanging]
        if not beside:
            return frozenset()
        found = {key for _, _, key in beside}
        depth: dict[Node, int] = {}
        for node in self.order:
            depth[node] = depth[self.parent[node][0]] + 1 if node in self.parent else 0
        for a, b, _ in beside:
            self._mark_way(a, b, depth, found)
        return frozenset(found)

    def _mark_way(self, a: Node, b: Node, depth: Mapping[Node, int], found: set[str]) -> None:
        while a != b:
            if depth[a] < depth[b]:
                a, b = b, a
            a, key = self.parent[a]
            found.add(key)

    @property
    def order(self) -> list[Node]:
        """All nodes, each after the one on which it hangs."""
        return self._order

    def child(self, a: Node, b: Node, key: str) -> Node | None:
        """Which end of an edge hangs on the other by it; None for an edge outside the tree."""
        if self.parent.get(b) == (a, key):
            return b
        return a if self.parent.get(a) == (b, key) else None

    def hanging(self, node: Node, joints: Joints) -> list[Node]:
        """The nodes that hang on one, in the order of its edges."""
        return [other for other, key in joints[node] if self.parent.get(other) == (node, key)]

    def all_hanging(self) -> Mapping[Node, Sequence[Node]]:
        """What hangs on each node, the last of its edges first; each node after those that hang on it."""
        found: dict[Node, list[Node]] = {node: [] for node in reversed(self._order)}
        for node in found:
            if node in self.parent:
                found[self.parent[node][0]].append(node)
        return found

    def inwards(self, nodes: Iterable[Node]) -> dict[Node, None]:
        """Some nodes and all that lie between them and their roots, each before the one on which it hangs."""
        found: dict[Node, None] = {}
        for start in nodes:
            way, node = [start], start
            while node not in found and node in self.parent:
                node = self.parent[node][0]
                way.append(node)
            found.update(dict.fromkeys(reversed(way)))
        return dict.fromkeys(reversed(found))


class _Rehung(Span):
    """One that is made of another, where neither graph has a ring."""

    def __init__(self, graph: nx.MultiGraph, before: Span, at: Iterable[Node]) -> None:
        self._joints, self._place = joints_of(graph), _places(graph).__getitem__
        self.parent, self.root, self.rings = dict(before.parent), dict(before.root), before.rings
        self.moved: dict[Node, None] = {}
        self._order, self._since = before._order, dict(before._since)
        """Another's order, and what has moved since."""
        for node in at:
            if node not in self.root:
                self._move([node], node)

    def rehang(self, gone: Collection[Node], come: Iterable[tuple[Node, Node, str]]) -> bool:
        """Take off the nodes that are gone from what they hung on, and join the ends of edges that came; False where one of these
        closes a ring."""
        for node in gone:
            del self.parent[node]
        for node in gone:
            tree = dict.fromkeys(self._tree(node))
            first = min(tree, key=self._place)
            self._turn(first)
            self._move(tree, first)
        if not self._join(list(come)):
            return False
        self._since.update(self.moved)
        return True

    @property
    def order(self) -> list[Node]:
        """All nodes, each after the one on which it hangs."""
        if self._since:
            order = [node for node in self._order if node not in self._since]
            for node in self._since:
                if node not in self.parent or self.parent[node][0] not in self._since:
                    order += self._tree(node)
            self._order, self._since = order, {}
        return self._order

    def all_hanging(self) -> Mapping[Node, Sequence[Node]]:
        """What hangs on each node, the last of its edges first; each node after those that hang on it."""
        return {node: self.hanging(node, self._joints)[::-1] for node in reversed(self.order)}

    def _join(self, come: Collection[tuple[Node, Node, str]]) -> bool:
        """Hang trees on others by edges, beginning with the first; False where an edge joins what hangs together already."""
        doors: dict[Node, list[tuple[Node, Node, str]]] = {}
        for a, b, key in come:
            doors.setdefault(self.root[a], []).append((a, b, key))
            doors.setdefault(self.root[b], []).append((b, a, key))
        passed = set[str]()
        for first in sorted(doors, key=self._place):
            roots = [first]
            for root in roots:
                for near, far, key in doors[root]:
                    if key not in passed:
                        passed.add(key)
                        roots.append(self.root[far])
                        if self.root[far] == first:
                            return False
                        self._hang(near, far, key)
        return True

    def _hang(self, near: Node, far: Node, key: str) -> None:
        """Hang the whole tree of the far node on the near one."""
        tree = self._tree(self.root[far])
        self._turn(far)
        self.parent[far] = near, key
        self._move(tree, self.root[near])

    def _tree(self, top: Node) -> list[Node]:
        """A node and all that hangs on it."""
        tree = [top]
        for node in tree:
            tree += self.hanging(node, self._joints)
        return tree

    def _turn(self, node: Node) -> None:
        """Have the tree of a node hang at it."""
        above = self.parent.pop(node, None)
        while above is not None:
            below, (node, key) = node, above
            above = self.parent.get(node)
            self.parent[node] = below, key

    def _move(self, tree: Iterable[Node], root: Node) -> None:
        moved = dict.fromkeys(tree, root)
        self.root.update(moved)
        self.moved.update(dict.fromkeys(moved))


def _places(graph: nx.MultiGraph) -> Mapping[Node, int]:
    """Of each node which of all it is."""
    return noted(graph, "places", _count)


def _count(graph: nx.MultiGraph) -> Mapping[Node, int]:
    earlier = noted_before(graph, "places")
    known: Mapping[Node, int] = earlier[0] if earlier is not None else {}
    same = earlier is not None and graph._node is earlier[1]._node
    return known if same else {node: number for number, node in enumerate(graph)}


def hanging_otherwise(
    graph: nx.MultiGraph, before: nx.MultiGraph, others: Iterable[Node]
) -> Mapping[Node, None] | None:
    """The nodes at which or beyond which something hangs otherwise than in the tree of another graph, and some `others` with what
    lies inwards of them, each before the one on which it hangs; None where all may."""
    span = span_of(graph)
    here = [node for node in others if node in span.root]
    if graph is before:
        return span.inwards(here)
    at = mended_at(graph, before)
    return span.inwards((*at, *span.moved, *here)) if at is not None and span.moved is not None else None


def span_of(graph: nx.MultiGraph) -> Span:
    """The spanning tree of a graph that is no longer changed; kept with it."""
    return noted(graph, "span", _span)


def _span(graph: nx.MultiGraph) -> Span:
    earlier = noted_before(graph, "span")
    known: Span | None = earlier[0] if earlier is not None else None
    if earlier is None or known is None or known.rings:
        return Span(graph)
    _, before, at = earlier
    old, new = joints_of(before), joints_of(graph)
    if any(node not in new for node in at):
        return Span(graph)
    gone = [known.child(node, *each) for node in at for each in _others(old.get(node, ()), new[node])]
    come = {each[1]: (node, *each) for node in at for each in _others(new[node], old.get(node, ()))}
    rehung = _Rehung(graph, known, at)
    return rehung if rehung.rehang({node: None for node in gone if node is not None}, come.values()) else Span(graph)


def _others(joints: Iterable[tuple[Node, str]], others: Iterable[tuple[Node, str]]) -> list[tuple[Node, str]]:
    known = frozenset(others)
    return [each for each in joints if each not in known]

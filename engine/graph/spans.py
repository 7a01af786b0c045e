"""A spanning tree of a conducting graph: every node from a root outwards, and which edges lie in rings. Knows no boat."""

from __future__ import annotations

from collections.abc import Mapping

import networkx as nx

from engine.graph.listed import Joints, joints_of, keyed_edges_of, noted
from engine.graph.poles import Node


class Span:
    """One tree for each part of the graph that hangs together.

    `order`: the nodes from the roots outwards; `parent`: the node and the edge's key by which each hangs on its tree;
    `root`: of each node; `rings`: the keys of the edges that do not part the graph when they are taken out.
    """

    def __init__(self, graph: nx.MultiGraph) -> None:
        self.order: list[Node] = []
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
            self.order += order

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

    def child(self, a: Node, b: Node, key: str) -> Node | None:
        """Which end of an edge hangs on the other by it; None for an edge outside the tree."""
        if self.parent.get(b) == (a, key):
            return b
        return a if self.parent.get(a) == (b, key) else None


def span_of(graph: nx.MultiGraph) -> Span:
    """The spanning tree of a graph that is no longer changed; kept with it."""
    return noted(graph, "span", Span)

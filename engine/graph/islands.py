"""Which conductors hang together, every contact closed: what can be reached from a terminal, without a walk for each question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import networkx as nx

from engine.graph.graphs import Graphs
from engine.graph.poles import Keyed, Node
from engine.graph.spans import span_of

Islands = Mapping[Node, Node]
"""Of each terminal one that stands for all those it hangs together with."""


def islands_of(graphs: Graphs) -> Islands:
    """What hangs together by conductors of whatever kind."""
    return _Joined(graphs, graphs.beside).islands


def strands_of(graphs: Graphs) -> Islands:
    """What hangs together without bonds, which alone lead from one kind of pole to another."""
    return _Joined(graphs, (keyed for keyed in graphs.beside if keyed[3].kind != "bond")).islands


def rings_of(graphs: Graphs) -> frozenset[str]:
    """The keys of the conducting edges that do not part the wiring when they are taken out: those of each rail for itself, unless
    what leads from one to another closes a ring too."""
    if _Joined(graphs, graphs.beside).closes:
        return span_of(graphs.wires).rings
    return frozenset().union(*(span_of(strand).rings for strand in _every(graphs)))


def _every(graphs: Graphs) -> Iterator[nx.MultiGraph]:
    return (strand for rail in graphs.strands.values() for strand in rail)


class _Joined:
    """The trees of the strands, joined by the edges that lie along none of them; `closes`: whether one of these joins what hangs
    together already."""

    def __init__(self, graphs: Graphs, beside: Iterable[Keyed]) -> None:
        self._tree: dict[Node, Node] = {node: node for node in graphs.wires}
        for strand in _every(graphs):
            self._tree.update(span_of(strand).root)
        self._root: dict[Node, Node] = {root: root for root in set(self._tree.values())}
        self.closes = False
        for a, b, _, _ in beside:
            one, other = self._top(a), self._top(b)
            self.closes = self.closes or one is other
            self._root[other] = one

    def _top(self, node: Node) -> Node:
        node = self._tree[node]
        while (above := self._root[node]) is not node:
            node = above
        return node

    @property
    def islands(self) -> Islands:
        """Of each terminal the one that stands for its island."""
        top = {root: self._top(root) for root in self._root}
        return {node: top[root] for node, root in self._tree.items()}

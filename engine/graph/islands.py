"""Which conductors hang together, every contact closed: what can be reached from a terminal, without a walk for each question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

import networkx as nx

from engine.graph.graphs import Graphs
from engine.graph.poles import Keyed, Node
from engine.graph.spans import span_of

Islands = Mapping[Node, Node]
"""Of each terminal one that stands for all those it hangs together with."""


class Together:
    """What hangs together: the trees of the strands, joined by the edges that lie along no rail."""

    def __init__(self, graphs: Graphs) -> None:
        self._graphs = graphs
        self._tree: dict[Node, Node] = {node: node for node in graphs.wires}
        for strand in self._strands():
            self._tree.update(span_of(strand).root)

    @cached_property
    def islands(self) -> Islands:
        """By conductors of whatever kind."""
        return self._all(self._joined[0])

    @cached_property
    def unbonded(self) -> Islands:
        """Without bonds, which alone lead from one kind of pole to another."""
        return self._all(self._join(keyed for keyed in self._graphs.beside if keyed[3].kind != "bond")[0])

    @cached_property
    def rings(self) -> frozenset[str]:
        """The keys of the conducting edges that do not part the wiring when they are taken out: those of each strand for itself,
        unless what leads from one to another closes a ring too."""
        if self._joined[1]:
            return span_of(self._graphs.wires).rings
        return frozenset().union(*(span_of(strand).rings for strand in self._strands()))

    def _strands(self) -> Iterator[nx.MultiGraph]:
        return (strand for rail in self._graphs.strands.values() for strand in rail)

    @cached_property
    def _joined(self) -> tuple[dict[Node, Node], bool]:
        return self._join(self._graphs.beside)

    def _join(self, edges: Iterable[Keyed]) -> tuple[dict[Node, Node], bool]:
        """Of the root of each tree the one that it is joined to, and whether an edge joins what hangs together already."""
        above: dict[Node, Node] = {root: root for root in set(self._tree.values())}
        closes = False
        for a, b, _, _ in edges:
            one, other = _top(above, self._tree[a]), _top(above, self._tree[b])
            closes = closes or one is other
            above[other] = one
        return above, closes

    def _all(self, above: dict[Node, Node]) -> Islands:
        top = {root: _top(above, root) for root in above}
        return {node: top[root] for node, root in self._tree.items()}


def _top(above: Mapping[Node, Node], node: Node) -> Node:
    while (one := above[node]) is not node:
        node = one
    return node

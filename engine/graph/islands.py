"""Which conductors hang together, every contact closed: what can be reached from a terminal, without a walk for each question."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cached_property

import msgspec
import networkx as nx

from engine.graph.graphs import Graphs
from engine.graph.listed import noted_before
from engine.graph.poles import Keyed, Node
from engine.graph.spans import span_of

Islands = Mapping[Node, Node]
"""Of each terminal one that stands for all those it hangs together with."""


class Joined(msgspec.Struct, frozen=True):
    """What hangs together by edges between trees: `tops`: of the root of a tree that is joined to another the one that stands for
    all; `closes`: whether an edge joins what hangs together already."""

    islands: Islands
    tops: Mapping[Node, Node]
    closes: bool


class Together:
    """What hangs together: the trees of the strands, joined by the edges that lie along no rail. Begun with what did before, where
    only some strands are others."""

    def __init__(self, graphs: Graphs, before: Together | None = None) -> None:
        self._beside, self._wires = graphs.beside, graphs.wires
        self._strands = tuple(strand for rail in graphs.strands.values() for strand in rail)
        known = before._strands if before is not None else ()
        tree: Islands = before._tree if before is not None else {node: node for node in graphs.wires}
        others = graphs.at if graphs.parts else ()
        self._gone = [node for node in others if node not in graphs.wires]
        self._moved: dict[Node, Node] = {node: node for node in others if node in graphs.wires}
        """The nodes whose tree may have another root than before, with this."""
        for strand in self._strands:
            if strand not in known:
                moved = _moved(strand, known, others)
                self._moved.update((node, root) for node, root in moved if node in graphs.wires)
        self._tree: dict[Node, Node] = {**tree, **self._moved}
        self._take_out(self._tree)
        self._known: dict[str, Joined] = before._made if before is not None else {}
        self._made: dict[str, Joined] = {}

    @property
    def islands(self) -> Islands:
        """By conductors of whatever kind."""
        return self._joined("all").islands

    @property
    def unbonded(self) -> Islands:
        """Without bonds, which alone lead from one kind of pole to another."""
        return self._joined("unbonded").islands

    @cached_property
    def rings(self) -> frozenset[str]:
        """The keys of the conducting edges that do not part the wiring when they are taken out: those of each strand for itself,
        unless what leads from one to another closes a ring too."""
        if self._joined("all").closes:
            return span_of(self._wires).rings
        return frozenset().union(*(span_of(strand).rings for strand in self._strands))

    def _take_out(self, nodes: dict[Node, Node]) -> None:
        for node in self._gone:
            nodes.pop(node, None)

    def _joined(self, name: str) -> Joined:
        if name not in self._made:
            self._made[name] = self._join(
                (keyed for keyed in self._beside if name == "all" or keyed[3].kind != "bond"), self._known.get(name)
            )
        return self._made[name]

    def _join(self, edges: Iterable[Keyed], known: Joined | None) -> Joined:
        above: dict[Node, Node] = {}
        closes = False
        for a, b, _, _ in edges:
            one, other = _top(above, self._tree[a]), _top(above, self._tree[b])
            if one == other:
                closes = True
            else:
                above[other] = one
        tops = {root: _top(above, root) for root in above}
        if known is not None and known.tops == tops:
            islands = {**known.islands, **{node: tops.get(root, root) for node, root in self._moved.items()}}
            self._take_out(islands)
        else:
            islands = {node: tops.get(root, root) for node, root in self._tree.items()} if tops else self._tree
        return Joined(islands, tops, closes)


def _moved(
    strand: nx.MultiGraph, known: Collection[nx.MultiGraph], others: Collection[Node]
) -> Iterator[tuple[Node, Node]]:
    """The nodes of a strand that may hang on another root than in those before, with this; `others` are asked in any case."""
    span, earlier = span_of(strand), noted_before(strand, "span")
    nodes = span.moved if earlier is not None and earlier[1] in known else None
    if nodes is None:
        return iter(span.root.items())
    return ((node, span.root[node]) for node in (*nodes, *others) if node in span.root)


def _top(above: Mapping[Node, Node], node: Node) -> Node:
    while (one := above.get(node)) is not None:
        node = one
    return node

"""Ways through the boat: from a load back to what feeds it, and how much current each conductor carries.

Shortest ways along conductors; a one-line diagram has few others. Knows no rulebook.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping

import msgspec
import networkx as nx

from engine.graph.listed import web_of
from engine.graph.poles import Edge, Node
from engine.graph.spans import span_of


class Step(msgspec.Struct, frozen=True):
    """One edge of a way, walked from `start` to `end`."""

    start: Node
    end: Node
    edge: Edge


def way_to(
    graph: nx.MultiGraph, start: Node, goal: Callable[[Node], bool], stop: Callable[[Edge], bool] = lambda edge: False
) -> tuple[Step, ...] | None:
    """The way with the fewest edges from start to the nearest node that satisfies goal, over no edge that stops.

    None where there is none.
    """
    web = web_of(graph)
    if start not in web:
        return None
    came: dict[Node, Step | None] = {start: None}
    queue = deque([start])
    while queue:
        node = queue.popleft()
        if goal(node):
            return _unwind(came, node)
        for other, edge in web[node]:
            if other not in came and not stop(edge):
                came[other] = Step(node, other, edge)
                queue.append(other)
    return None


def way_keys(graph: nx.MultiGraph, start: Node, goals: Collection[Node]) -> tuple[str, ...]:
    """The keys along the way with the fewest edges to one of the goals; () where there is none."""
    steps = way_to(graph, start, lambda node: node in goals) or ()
    return tuple(dict.fromkeys(step.edge.key for step in steps))


def _unwind(came: Mapping[Node, Step | None], node: Node) -> tuple[Step, ...]:
    steps: list[Step] = []
    step = came[node]
    while step is not None:
        steps.append(step)
        step = came[step.start]
    return tuple(reversed(steps))


def reach(graph: nx.MultiGraph, starts: Iterable[Node], stop: Callable[[Edge], bool] | None = None) -> set[Node]:
    """Every node that can be reached from the starts without passing an edge that stops."""
    web = web_of(graph)
    seen = {node for node in starts if node in web}
    queue = deque(seen)
    while queue:
        node = queue.popleft()
        for other, edge in web[node]:
            if other not in seen and not (stop is not None and stop(edge)):
                seen.add(other)
                queue.append(other)
    return seen


Tree = Mapping[Node, "Step | None"]
"""For each node the step by which it was first reached from the roots; None for the roots."""


def tree_from(graph: nx.MultiGraph, roots: Iterable[Node]) -> Tree:
    """The ways with the fewest edges from the roots to every node they reach."""
    web = web_of(graph)
    came: dict[Node, Step | None] = {node: None for node in roots if node in web}
    queue = deque(came)
    while queue:
        node = queue.popleft()
        for other, edge in web[node]:
            if other not in came:
                came[other] = Step(node, other, edge)
                queue.append(other)
    return came


def tree_to(graph: nx.MultiGraph, root: Node) -> Tree:
    """The same from one root. Where the graph has no rings there is but one way between two nodes, and its spanning tree has
    it."""
    span = span_of(graph)
    return tree_from(graph, [root]) if span.rings or root not in span.root else _Hung(graph, root)


class _Hung(Mapping[Node, "Step | None"]):
    """The spanning tree of a graph without rings, hung up at another node of it."""

    def __init__(self, graph: nx.MultiGraph, root: Node) -> None:
        self._span, self._root = span_of(graph), root
        self._web = web_of(graph)
        self._down: dict[Node, Node] = {}
        """From the nodes between the two roots towards the new one."""
        self._steps: dict[Node, Step | None] = {root: None}
        """Those asked for, as most are many times."""
        node = root
        while node in self._span.parent:
            above, _ = self._span.parent[node]
            self._down[above] = node
            node = above

    def __contains__(self, node: object) -> bool:
        return node in self._span.root and self._span.root[node] == self._span.root[self._root]

    def __getitem__(self, node: Node) -> Step | None:
        if node not in self._steps:
            if node not in self:
                raise KeyError(node)
            towards = self._down[node] if node in self._down else self._span.parent[node][0]
            edge = next(edge for other, edge in self._web[node] if other == towards)  # there is but one
            self._steps[node] = Step(towards, node, edge)
        return self._steps[node]

    def __iter__(self) -> Iterator[Node]:
        return (node for node in self._span.order if node in self)

    def __len__(self) -> int:
        return sum(1 for _ in self)


def way_up(tree: Tree, start: Node, goal: Callable[[Node], bool] = lambda node: False) -> tuple[Step, ...] | None:
    """The way from start towards the root of its tree, as far as the first node that satisfies goal, or the root.

    None where the tree does not reach start. Steps run from the root's side to the start's.
    """
    if start not in tree:
        return None
    steps: list[Step] = []
    node = start
    while not goal(node):
        step = tree[node]
        if step is None:
            break
        steps.append(step)
        node = step.start
    return tuple(steps)

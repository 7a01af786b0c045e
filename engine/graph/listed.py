"""Graphs that are no longer changed, as lists: their edges, and what stands at each node. The many walks go over these; networkx's
own dicts are filled only when it is asked itself. Knows no boat.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any, TypeVar

import networkx as nx

from engine.graph.poles import Edge, Keyed, Node

Made = TypeVar("Made")
Web = Mapping[Node, Sequence[tuple[Node, Edge]]]
"""The edges at each node as (other node, edge): what a walk needs, and nothing that slows it."""
Joints = Mapping[Node, Sequence[tuple[Node, str]]]
"""The same as (other node, key)."""


def graph_of(nodes: Iterable[Node], edges: Iterable[Keyed]) -> nx.MultiGraph:
    """A graph of these edges and their nodes; of nodes without any too."""
    listed = tuple(edges)
    graph = graph_over(nodes, listed)
    known = graph._node
    for a, b, _, _ in listed:
        if a not in known:
            known[a] = {}
        if b not in known:
            known[b] = {}
    return graph


def graph_over(nodes: Iterable[Node], edges: Iterable[Keyed]) -> nx.MultiGraph:
    """The same of edges that all end at these nodes."""
    graph = _Listed()
    graph._node.update({node: {} for node in nodes})
    graph.graph["keyed"] = (graph, tuple(edges))
    return graph


def mended(
    before: nx.MultiGraph, listing: Callable[[], Iterable[Keyed]], at: Collection[Node], here: Sequence[Keyed],
    nodes: Iterable[Node] | None = None,
) -> nx.MultiGraph:  # fmt: skip
    """A graph with the nodes of the one before and other edges, which are other ones only `at` some of the nodes, where those
    that are `here` stand. What stands at all the others is taken over; all are listed when somebody asks for the list.
    `nodes`: all of them, where some of those came."""
    graph = _Listed()
    graph._node = before._node if nodes is None else {node: {} for node in nodes}
    graph.listing = listing
    lists = [(name, list_at, before.graph[name][1]) for name, list_at in (("web", _list_edges), ("joints", _list_keys))
             if name in before.graph and before.graph[name][0] is before]  # fmt: skip
    near = {*at, *(node for keyed in here for node in keyed[:2])}
    for name, list_at, known in lists:
        anew = list_at(near, here)
        found = {**known, **{node: anew[node] for node in at}}
        graph.graph[name] = (graph, found if nodes is None else {node: found[node] for node in graph._node})
    before.graph.pop("mended", None)  # of what that one was made of nothing is asked any more
    graph.graph["mended"] = (graph, before, frozenset(at))
    return graph


def mended_at(graph: nx.MultiGraph, before: nx.MultiGraph) -> frozenset[Node] | None:
    """The nodes at which a graph has other edges than the one before, of which it was made; None where it was made otherwise."""
    whose, of, at = graph.graph.get("mended", (None, None, None))
    return at if whose is graph and of is before else None


def noted_before(graph: nx.MultiGraph, name: str) -> tuple[Any, nx.MultiGraph, frozenset[Node]] | None:
    """What is kept under a name with the graph of which one was made, with that graph and the nodes at which this one has other
    edges; None where nothing is."""
    whose, before, at = graph.graph.get("mended", (None, None, None))
    if whose is not graph or name not in before.graph or before.graph[name][0] is not before:
        return None
    return before.graph[name][1], before, at


class _Listed(nx.MultiGraph):  # type: ignore[misc]
    """A graph that is made of a list of edges. Its dicts of dicts are filled when networkx first asks for them: a check makes half
    a dozen graphs, and walks over most of them by the list alone."""

    _filled: dict[Node, dict[Node, dict[str, dict[str, Edge]]]] | None = None
    listing: Callable[[], Iterable[Keyed]] | None = None
    """Gives the edges where they are not listed yet."""

    def listed(self) -> Iterable[Keyed]:
        """Its edges; none for a copy, which has the attributes of the graph it was copied from, its list too."""
        whose, listed = self.graph.get("keyed", (None, ()))
        if whose is self:
            known: tuple[Keyed, ...] = listed
            return known
        return self.listing() if self.listing is not None else ()

    @property
    def _adj(self) -> dict[Node, dict[Node, dict[str, dict[str, Edge]]]]:
        if self._filled is None:
            self._filled = {node: {} for node in self._node}
            for a, b, key, edge in self.listed():
                between = self._filled[a].get(b)
                if between is None:
                    between = self._filled[a][b] = self._filled[b][a] = {}
                between[key] = {"edge": edge}
        return self._filled

    @_adj.setter
    def _adj(self, value: dict[Node, dict[Node, dict[str, dict[str, Edge]]]]) -> None:
        """networkx sets it to nothing when it makes a graph, and to a part of another's when it makes a view."""
        self._filled = value or None
        self.__dict__.pop("adj", None)


def noted(graph: nx.MultiGraph, name: str, make: Callable[[nx.MultiGraph], Made]) -> Made:
    """What follows from a graph that is no longer changed: worked out once and kept with it.

    A subgraph view shares its parent's attributes, so it is kept under the graph it was made from.
    """
    kept = graph.graph.get(name)
    if kept is None or kept[0] is not graph:
        kept = graph.graph[name] = (graph, make(graph))
    made: Made = kept[1]
    return made


def keyed_edges_of(graph: nx.MultiGraph) -> tuple[Keyed, ...]:
    """Every edge with its two nodes and its key."""
    return noted(graph, "keyed", _list_all)


def edges_of(graph: nx.MultiGraph) -> tuple[tuple[Node, Node, Edge], ...]:
    """Every edge with its two nodes."""
    return noted(graph, "edges", lambda graph: tuple([(a, b, edge) for a, b, _, edge in keyed_edges_of(graph)]))


def web_of(graph: nx.MultiGraph) -> Web:
    """The web of a graph."""
    return noted(graph, "web", lambda graph: _list_edges(graph, keyed_edges_of(graph)))


def joints_of(graph: nx.MultiGraph) -> Joints:
    """At each node the (other node, key) of its edges."""
    return noted(graph, "joints", lambda graph: _list_keys(graph, keyed_edges_of(graph)))


def keyed_at(graph: nx.MultiGraph, node: Node) -> Iterator[Keyed]:
    """The edges at a node, from there."""
    joints = dict.fromkeys(joints_of(graph)[node])  # one that leads back to it ends there twice
    return ((node, other, key, edge) for (other, key), (_, edge) in zip(joints, web_of(graph)[node], strict=True))


def _list_all(graph: nx.MultiGraph) -> tuple[Keyed, ...]:
    is_listed = isinstance(graph, _Listed) and graph.listing is not None
    return tuple(graph.listed() if is_listed else graph.edges(keys=True, data="edge"))


def _list_edges(nodes: Iterable[Node], listed: Iterable[Keyed]) -> Web:
    near: dict[Node, list[tuple[Node, Edge]]] = {node: [] for node in nodes}
    for a, b, _, edge in listed:
        near[a].append((b, edge))
        if a != b:
            near[b].append((a, edge))
    return near


def _list_keys(nodes: Iterable[Node], listed: Iterable[Keyed]) -> Joints:
    near: dict[Node, list[tuple[Node, str]]] = {node: [] for node in nodes}
    for a, b, key, _ in listed:
        near[a].append((b, key))
        near[b].append((a, key))
    return near

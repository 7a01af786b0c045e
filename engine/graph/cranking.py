"""Which conductors are really part of the way from a battery to an engine's starter, and so need no fuse.

Only what is marked as cranking cable counts, and of it only what lies between a battery and a starter: a spur off it is
an ordinary conductor. Knows no rulebook.
"""

from __future__ import annotations

from collections import deque

import networkx as nx

from engine.graph.boat import Boat
from engine.graph.listed import edges_of, graph_of, keyed_edges_of
from engine.graph.poles import Node


def cranking_cores(boat: Boat) -> frozenset[tuple[str, str]]:
    """(run id, pole) of every core between a battery and a starter, on the positive side and in the return."""
    found: set[tuple[str, str]] = set()
    for pole in ("+", "-"):
        if not any(run.cranking and pole in run.poles for run in boat.network.runs):
            continue
        graph = _marked(boat, pole)
        batteries, starters = _ends(boat, pole)
        for component in nx.connected_components(graph):
            if component & batteries and component & starters:
                found |= _between(graph.subgraph(component).copy(), (batteries | starters) & component)
    return frozenset(found)


def _marked(boat: Boat, pole: str) -> nx.MultiGraph:
    """The conductors of a pole that may belong to the way: marked runs and what lies inside parts."""
    return graph_of((), (
        keyed
        for keyed in keyed_edges_of(boat.wires)
        if keyed[0][2] == pole and (keyed[3].run is None or keyed[3].run.cranking) and keyed[3].kind != "blocking"
    ))  # fmt: skip


def _ends(boat: Boat, pole: str) -> tuple[set[Node], set[Node]]:
    batteries: set[Node] = set()
    starters: set[Node] = set()
    for a, b, edge in boat.inside("source", "load"):
        if edge.part is None:
            continue
        role = boat.role(edge.part)
        group = batteries if role == "battery" else starters if role == "starter" else set[Node]()
        group |= {node for node in (a, b) if node[2] == pole}
    return batteries, starters


def _between(graph: nx.MultiGraph, ends: set[Node]) -> set[tuple[str, str]]:
    """The runs that remain when everything that leads nowhere else is cut off."""
    queue = deque(node for node in graph if graph.degree(node) == 1 and node not in ends)
    while queue:
        node = queue.popleft()
        if node not in graph or graph.degree(node) > 1:
            continue
        near = list(graph.neighbors(node))
        graph.remove_node(node)
        queue += [other for other in near if graph.degree(other) == 1 and other not in ends]
    return {(edge.run.id, edge.pole) for _, _, edge in edges_of(graph) if edge.run is not None}

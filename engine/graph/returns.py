"""How much current a return conductor can be made to carry: what the sources on its one side can push through the
positive wiring to the loads on its other side. Maximum flow over groups of positive nodes that no device parts.

Returns are not fused, so the devices of the positive side are what holds their current. Knows no rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import networkx as nx

from engine.graph.flows import UNLIMITED
from engine.graph.poles import Edge, Node

_BIG = 1e12
Amounts = Iterable[tuple[Node, float]]


class Groups:
    """The positive wiring with everything joined that no fuse or breaker parts."""

    def __init__(self, graph: nx.MultiGraph, capacity: Callable[[Edge], float]) -> None:
        plain = nx.Graph()
        plain.add_nodes_from(graph)
        plain.add_edges_from((a, b) for a, b, edge in graph.edges(data="edge") if capacity(edge) == UNLIMITED)
        joined = nx.connected_components(plain)
        self._of: Mapping[Node, int] = {node: number for number, nodes in enumerate(joined) for node in nodes}
        self._net = nx.DiGraph()
        for a, b, edge in graph.edges(data="edge"):
            self._link(self._of[a], self._of[b], capacity(edge))

    def _link(self, a: int, b: int, capacity_a: float) -> None:
        if a == b or capacity_a == UNLIMITED:
            return
        for tail, head in ((a, b), (b, a)):
            known = self._net.get_edge_data(tail, head, {"capacity": 0.0})["capacity"]
            self._net.add_edge(tail, head, capacity=known + capacity_a)

    def flow(self, sources: Amounts, sinks: Amounts) -> float:
        """The most that the sources can push to the sinks at once, A; amounts without limit are UNLIMITED."""
        net = self._net.copy()
        net.add_nodes_from(("from", "to"))
        for node, amount_a in sources:
            _add(net, "from", self._of.get(node), amount_a)
        for node, amount_a in sinks:
            _add(net, self._of.get(node), "to", amount_a)
        value = nx.maximum_flow_value(net, "from", "to")
        return UNLIMITED if value >= _BIG / 2 else float(value)


def _add(net: nx.DiGraph, tail: int | str | None, head: int | str | None, amount_a: float) -> None:
    if tail is not None and head is not None:
        known = net.get_edge_data(tail, head, {"capacity": 0.0})["capacity"]
        net.add_edge(tail, head, capacity=known + min(amount_a, _BIG))

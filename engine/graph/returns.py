"""How much current a return conductor can be made to carry: what the sources on its one side can push through the
positive wiring to the loads on its other side. Maximum flow over groups of positive nodes that no device parts.

Returns are not fused, so the devices of the positive side are what holds their current. Knows no rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

import msgspec
import networkx as nx

from engine.graph.boat import DEVICES, Boat, rating_of
from engine.graph.cranking import cranking_cores
from engine.graph.flows import UNLIMITED
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node, edges_of
from engine.model.network import Run
from engine.model.quantity import high, is_exact, low

_BIG = 1e12
SMALL_OR_EXEMPT = frozenset({"starter", "switch", "meter"})
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


class Pushed(msgspec.Struct, frozen=True):
    """What can be made to flow through a return, A, with the fields that keep it open."""

    least_a: float
    most_a: float
    lacks: tuple[str, ...] = ()


def returns(boat: Boat) -> Mapping[str, Pushed]:
    """Run id of every negative conductor that runs without its positive -> what can be made to flow through it.

    Left out are starter cables, conductors in a ring, and those behind circuits without any device (found elsewhere).
    """
    graph = boat.wires.subgraph([node for node in boat.wires if node[2] == "-"]).copy()
    exempt = cranking_cores(boat)
    ends = _Ends(boat)
    found: dict[str, Pushed] = {}
    for run in boat.network.runs:
        if "-" in run.poles and "+" not in run.poles and (run.id, "-") not in exempt:
            sides = _sides(graph, run)
            if sides is not None:
                pushed = ends.pushed(*sides)
                if pushed.most_a < UNLIMITED or pushed.lacks:
                    found[run.id] = pushed
    return found


def _sides(graph: nx.MultiGraph, run: Run) -> tuple[set[Node], set[Node]] | None:
    """The nodes on either side of a run; None where both are one, that is: in a ring."""
    a, b = (run.a.part, run.a.port, "-"), (run.b.part, run.b.port, "-")
    sides = [reach(graph, [start], lambda edge: edge.run is not None and edge.run.id == run.id) for start in (a, b)]
    return None if b in sides[0] else (sides[0], sides[1])


class _Ends:
    """The batteries and loads by their negative nodes, and the positive wiring between them."""

    def __init__(self, boat: Boat) -> None:
        positive = boat.wires.subgraph([node for node in boat.wires if node[2] == "+"]).copy()
        self._most = Groups(
            positive, lambda edge: high(rating_of(edge), UNLIMITED) if edge.kind in DEVICES else UNLIMITED
        )
        self._least = Groups(positive, lambda edge: low(rating_of(edge), 0.0) if edge.kind in DEVICES else UNLIMITED)
        self._batteries = {
            source.back: source.live for source in boat.sources if source.kind == "battery" and source.back
        }
        self._loads = dict(_loads(boat))
        self._unknown = tuple(
            f"{edge.key} rating_a"
            for _, _, edge in boat.devices()
            if not is_exact(rating_of(edge)) and edge.pole == "+"
        )

    def pushed(self, one: set[Node], other: set[Node]) -> Pushed:
        """The larger of the two directions: batteries here, loads there."""
        pairs = [self._pair(here, there) for here, there in ((one, other), (other, one))]
        least = max(self._flow(self._least, *pair) for pair in pairs)
        most = max(self._flow(self._most, *pair) for pair in pairs)
        return Pushed(least, most, self._unknown if most > least else ())

    def _pair(self, here: set[Node], there: set[Node]) -> tuple[list[Node], list[Node]]:
        sources = [live for back, live in self._batteries.items() if back in here]
        return sources, [live for back, live in self._loads.items() if back in there]

    def _flow(self, groups: Groups, sources: list[Node], sinks: list[Node]) -> float:
        if not sources or not sinks:
            return 0.0
        return groups.flow([(node, UNLIMITED) for node in sources], [(node, UNLIMITED) for node in sinks])


def _loads(boat: Boat) -> Iterator[tuple[Node, Node]]:
    """(negative node, positive node) of everything that draws; left out are starters, and coils and meters, which pass
    little even into a fault."""
    for a, b, edge in edges_of(boat.graph):
        if edge.kind == "load" and edge.part is not None and boat.role(edge.part) not in SMALL_OR_EXEMPT:
            live, back = (a, b) if a[2] == "+" else (b, a)
            if (live[2], back[2]) == ("+", "-"):
                yield back, live

"""The current each core has to carry in service: what the loads beyond it draw, what the charging sources push through it.

Every load at its running current, all at once (no diversity); where a core lies between two batteries it carries no more
than its protection lets through. The sum is taken along the tree of conductors; in a ring each way is taken to carry all.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec
import networkx as nx

from engine.graph.boat import Boat
from engine.graph.poles import Node, edges_of
from engine.model.network import AC_LINES
from engine.model.quantity import Quantity, as_quantity, high, low

CURRENT_FIELDS = ("running_a", "cranking_a", "draw_a")


class Demand(msgspec.Struct, frozen=True):
    """Current, A, between bounds; `unknown` names the parts whose current is not known ("M3 running_a")."""

    least_a: float
    most_a: float
    unknown: tuple[str, ...] = ()


class Tap(msgspec.Struct, frozen=True):
    """Something at a node that draws or pushes current."""

    node: Node
    current_a: Quantity
    name: str
    kind: str
    """"load", "battery" or "charging"."""


def demands(boat: Boat) -> Mapping[tuple[str, str], Demand]:
    """(run id, pole) -> the current that core carries in service, both rails and AC included."""
    found: dict[tuple[str, str], Demand] = {}
    taps = list(_taps(boat))
    for poles in (frozenset({"+"}), frozenset({"-"}), AC_LINES, frozenset({"N"})):
        graph = boat.wires.subgraph([node for node in boat.wires if node[2] in poles])
        found.update(_along(boat, graph, [tap for tap in taps if tap.node[2] in poles]))
    return found


def load_current(boat: Boat, part_id: str) -> Quantity:
    """What a part draws in service, A: the first of its current fields that is known, or its watts over its volts."""
    part = boat.parts[part_id]
    for field in CURRENT_FIELDS:
        known = as_quantity(part.values.get(field))
        if known is not None:
            return known
    return _from_power(as_quantity(part.values.get("power_w")), as_quantity(part.values.get("nominal_v")))


def _from_power(power_w: Quantity, nominal_v: Quantity) -> Quantity:
    if power_w is None or nominal_v is None or low(nominal_v) <= 0:
        return None
    least, most = low(power_w) / high(nominal_v), high(power_w) / low(nominal_v)
    return least if least == most else (least, most)


def _taps(boat: Boat) -> Iterable[Tap]:
    """Loads draw at both their poles; a converter draws at the side it takes from and pushes at the side it feeds."""
    for _, _, edge in edges_of(boat.graph):
        if edge.part is None or edge.link is None:
            continue
        ends: tuple[Node, Node] = ((edge.part.id, *edge.link.a), (edge.part.id, *edge.link.b))
        if edge.kind == "load":
            current = load_current(boat, edge.part.id)
            yield from (Tap(node, current, f"{boat.name(edge.part)}: running_a", "load") for node in ends)
        elif edge.kind == "converter":
            yield Tap(ends[0], _input_current(boat, edge.part.id), f"{boat.name(edge.part)}: input_a", "load")
            yield Tap(ends[1], edge.link.rating_a, f"{boat.name(edge.part)}: output", "charging")
        elif edge.kind == "source":
            kind = "battery" if boat.role(edge.part) == "battery" else "charging"
            yield from (Tap(node, edge.link.rating_a, boat.name(edge.part), kind) for node in ends)


def _input_current(boat: Boat, part_id: str) -> Quantity:
    return as_quantity(boat.parts[part_id].values.get("input_a"))


def _along(boat: Boat, graph: nx.MultiGraph, taps: list[Tap]) -> Mapping[tuple[str, str], Demand]:
    at: dict[Node, list[Tap]] = {}
    for tap in taps:
        at.setdefault(tap.node, []).append(tap)
    found: dict[tuple[str, str], Demand] = {}
    for component in nx.connected_components(graph):
        sums = _TreeSums(graph.subgraph(component), at)
        for a, b, key, edge in graph.subgraph(component).edges(keys=True, data="edge"):
            if edge.run is not None:
                found[edge.run.id, edge.pole] = _core_demand(boat, edge, *sums.sides(a, b, key))
    return found


class Side(msgspec.Struct, frozen=True):
    """What lies on one side of a core: summed loads and charging current, and whether a battery is there."""

    load_least_a: float = 0.0
    load_most_a: float = 0.0
    charging_a: float = 0.0
    batteries: int = 0
    unknown: frozenset[str] = frozenset()

    def plus(self, other: Side) -> Side:
        """Both together."""
        return Side(
            self.load_least_a + other.load_least_a,
            self.load_most_a + other.load_most_a,
            self.charging_a + other.charging_a,
            self.batteries + other.batteries,
            self.unknown | other.unknown,
        )


class _TreeSums:
    """What lies beyond each edge of one connected graph; in a ring the whole rest lies beyond on either side."""

    def __init__(self, graph: nx.MultiGraph, at: Mapping[Node, list[Tap]]) -> None:
        self._parent: dict[Node, tuple[Node, str]] = {}
        self._below: dict[Node, Side] = {}
        self._tree_keys: set[str] = set()
        order = self._span(graph)
        for node in reversed(order):
            side = _side_of(at.get(node, []))
            self._below[node] = self._below.get(node, Side()).plus(side)
            if node in self._parent:
                above = self._parent[node][0]
                self._below[above] = self._below.get(above, Side()).plus(self._below[node])
        self._all = self._below[order[0]]

    def _span(self, graph: nx.MultiGraph) -> list[Node]:
        root = next(iter(graph))
        order, seen = [root], {root}
        for node in order:
            for _, other, key in graph.edges(node, keys=True):
                if other not in seen:
                    seen.add(other)
                    self._parent[other] = (node, key)
                    self._tree_keys.add(key)
                    order.append(other)
        return order

    def sides(self, a: Node, b: Node, key: str) -> tuple[Side, Side]:
        """What lies on a's side of the edge and what on b's."""
        for child, parent, first in ((a, b, True), (b, a, False)):
            if self._parent.get(child) == (parent, key):
                below, above = self._below[child], _less(self._all, self._below[child])
                return (below, above) if first else (above, below)
        return self._all, self._all


def _less(all_of: Side, part_of: Side) -> Side:
    return Side(
        max(0.0, all_of.load_least_a - part_of.load_least_a),
        max(0.0, all_of.load_most_a - part_of.load_most_a)
        if part_of.load_most_a < float("inf")
        else all_of.load_most_a,
        max(0.0, all_of.charging_a - part_of.charging_a),
        all_of.batteries - part_of.batteries,
        all_of.unknown - part_of.unknown,
    )


def _side_of(taps: Iterable[Tap]) -> Side:
    side = Side()
    for tap in taps:
        if tap.kind == "battery":
            side = side.plus(Side(batteries=1))
        elif tap.kind == "charging":
            side = side.plus(Side(charging_a=high(tap.current_a, 0.0)))
        else:
            unknown = frozenset({tap.name}) if tap.current_a is None else frozenset[str]()
            side = side.plus(Side(low(tap.current_a, 0.0), high(tap.current_a, 0.0), unknown=unknown))
    return side


def _core_demand(boat: Boat, edge: object, a: Side, b: Side) -> Demand:
    """The worse of the two directions; between two batteries no more than the protection lets through."""
    from_a, from_b = _towards(b, a), _towards(a, b)
    worst = from_a if from_a.most_a >= from_b.most_a else from_b
    unknown = tuple(sorted({*from_a.unknown, *from_b.unknown}))
    least, most = max(from_a.least_a, from_b.least_a), worst.most_a
    if a.batteries and b.batteries:
        run_id, pole = edge.run.id, edge.pole  # type: ignore[attr-defined]
        held = boat.held_fitted.get((run_id, pole))
        limit = held.worst.current_a if held else most
        least, most = min(least, limit), min(most, limit)
    return Demand(least, most, unknown)


def _towards(there: Side, here: Side) -> Demand:
    """What flows from here to there: there's loads if here can feed them, here's charging current if there stores it."""
    feeds = here.batteries > 0 or here.charging_a > 0
    load_least, load_most = (there.load_least_a, there.load_most_a) if feeds else (0.0, 0.0)
    charging = here.charging_a if there.batteries else 0.0
    unknown = tuple(sorted(there.unknown)) if feeds else ()
    return Demand(max(load_least, charging), max(load_most, charging), unknown)

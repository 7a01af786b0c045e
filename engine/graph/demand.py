"""The current each core has to carry in service: what the loads beyond it draw, what the charging sources push through it.

Every load at its running current, all at once (no diversity); where a core lies between two batteries it carries no more
than its protection lets through. The sum is taken along the tree of conductors; in a ring each way is taken to carry all.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import reduce
from typing import TYPE_CHECKING

import msgspec
import networkx as nx

from engine.graph.boat import Boat
from engine.graph.flows import UNLIMITED
from engine.graph.listed import joints_of, keyed_at, keyed_edges_of
from engine.graph.poles import Edge, Node
from engine.graph.spans import hanging_otherwise, span_of
from engine.graph.taps import Tap, tapped
from engine.model.kept import Kept, differing_keys, latest
from engine.model.quantity import high, low

if TYPE_CHECKING:
    from engine.graph.currents import Currents


class Demand(msgspec.Struct, frozen=True):
    """Current, A, between bounds; `unknown` are the fields that keep it from being one number ("part:p3 running_a"),
    ranges among them; where one is not known at all most_a is unlimited."""

    least_a: float
    most_a: float
    unknown: tuple[str, ...] = ()
    in_ring: bool = False
    """The core is part of a ring: taken to carry all that the ring feeds."""


class Side(msgspec.Struct, frozen=True):
    """What lies on one side of a core: load and charging current as far as known, the fields that are missing, and the
    batteries there."""

    load_least_a: float = 0.0
    load_most_a: float = 0.0
    charging_a: float = 0.0
    batteries: frozenset[Node] = frozenset()
    unknown: frozenset[str] = frozenset()
    unknown_charging: frozenset[str] = frozenset()
    ranged: frozenset[str] = frozenset()
    charging_least_a: float = 0.0
    ranged_charging: frozenset[str] = frozenset()

    @property
    def only_draws(self) -> bool:
        """Whether nothing there gives current: so it is with most cores of a boat."""
        return not (self.batteries or self.charging_a or self.unknown_charging)

    def plus(self, other: Side) -> Side:
        """Both together."""
        if self is NO_SIDE:
            return other
        return Side(
            self.load_least_a + other.load_least_a,
            self.load_most_a + other.load_most_a,
            self.charging_a + other.charging_a,
            self.batteries | other.batteries,
            self.unknown | other.unknown,
            self.unknown_charging | other.unknown_charging,
            self.ranged | other.ranged,
            self.charging_least_a + other.charging_least_a,
            self.ranged_charging | other.ranged_charging,
        )

    def less(self, other: Side) -> Side:
        """This without a part of it."""
        return Side(
            max(0.0, self.load_least_a - other.load_least_a),
            max(0.0, self.load_most_a - other.load_most_a),
            max(0.0, self.charging_a - other.charging_a),
            self.batteries - other.batteries,
            self.unknown - other.unknown,
            self.unknown_charging - other.unknown_charging,
            self.ranged - other.ranged,
            max(0.0, self.charging_least_a - other.charging_least_a),
            self.ranged_charging - other.ranged_charging,
        )


NO_SIDE = Side()


def demands(boat: Boat) -> Mapping[tuple[str, str], Demand]:
    """(run id, pole) -> the current that core carries in service, both rails and AC included."""
    return {**boat.currents.positive_demand, **_demands_of(boat, ("-", "L", "N"))}


def positive_demands(boat: Boat) -> Mapping[tuple[str, str], Demand]:
    """The same for the positive cores alone."""
    return _demands_of(boat, ("+",))


def _demands_of(boat: Boat, rails: Iterable[str]) -> Mapping[tuple[str, str], Demand]:
    found: dict[tuple[str, str], Demand] = {}
    taps = tapped(boat)
    for rail in rails:
        for strand in boat.graphs.strands[rail]:
            sums = _sums_of(strand, taps.by_rail.get(rail, _NOWHERE))
            found.update(sums.plain)
            found.update((core, sums.demand(boat, *edge)) for core, edge in sums.others.items())
    return found


Taken = Mapping[Node, tuple[Tap, ...]]
"""What draws or pushes current at each node."""
_NOWHERE: Taken = {}


def _sums_of(strand: nx.MultiGraph, taken: Taken) -> _TreeSums:
    """What lies beyond each edge of a strand, begun with the last of it."""
    name = f"sums {next(iter(strand))}"
    known: _TreeSums | None = latest.get(name)
    if known is None or not known.holds(strand, taken):
        known = latest[name] = _TreeSums(strand, taken, known)
    return known


class _TreeSums:
    """What lies beyond each edge of a graph; in a ring the whole rest lies beyond on either side.

    `plain`: the demand of the cores beyond which only is drawn; `others`: the cores, with edge, ends and key, whose demand
    depends on what is let through. Begun with those of `before` where the graph was made of that one's and neither has a ring.
    """

    def __init__(self, graph: nx.MultiGraph, taken: Taken, before: _TreeSums | None = None) -> None:
        self.graph, self.taken, self._span = graph, taken, span_of(graph)
        self._below: dict[Node, Side] = {}
        self._ring_parts: dict[frozenset[Node], tuple[Side, Side]] = {}
        self._names: dict[str, tuple[str, str]] = {}
        """Of each core, by its key in the graph, run id and pole."""
        self.plain: dict[tuple[str, str], Demand] = {}
        self.others: dict[tuple[str, str], tuple[Edge, Node, Node, str]] = {}
        touched = self._touched(before) if before is not None else None
        if before is not None and touched is not None:
            self._take_over(before, touched)
            return
        self._sum_up(self._span.all_hanging())
        self._sort_all()

    def holds(self, graph: nx.MultiGraph, taken: Taken) -> bool:
        """Whether these are the sums of a graph where that is drawn and pushed."""
        if self.graph is not graph:
            return False
        if self.taken is not taken and not any(node in graph for node in differing_keys(self.taken, taken)):
            self.taken = taken
        return self.taken is taken

    def _touched(self, before: _TreeSums) -> Mapping[Node, None] | None:
        """The nodes at which or beyond which something hangs together otherwise than before, each before the one on which it
        hangs; None where all are asked."""
        return hanging_otherwise(self.graph, before.graph, differing_keys(before.taken, self.taken))

    def _take_over(self, before: _TreeSums, touched: Mapping[Node, None]) -> None:
        """All but what lies at or beyond these nodes. Where batteries came to a tree or went, all cores are sorted anew."""
        self._below = dict(before._below)
        joints = joints_of(self.graph)
        self._sum_up({node: reversed(self._span.hanging(node, joints)) for node in touched})
        roots = [node for node in touched if node not in self._span.parent]
        had, have = (
            [bool(below.get(root, NO_SIDE).batteries) for root in roots] for below in (before._below, self._below)
        )
        if had != have:
            self._sort_all()
            return
        self._names, self.plain, self.others = dict(before._names), dict(before.plain), dict(before.others)
        for key in {key for node in touched for _, key in joints_of(before.graph).get(node, ())}:
            if key in self._names:
                core = self._names.pop(key)
                self.plain.pop(core, None)
                self.others.pop(core, None)
        here = {keyed[2]: keyed for node in touched for keyed in keyed_at(self.graph, node)}
        for keyed in here.values():
            self._sort(*keyed)

    def _sort_all(self) -> None:
        for a, b, key, edge in keyed_edges_of(self.graph):
            self._sort(a, b, key, edge)

    def _sort(self, a: Node, b: Node, key: str, edge: Edge) -> None:
        """Among the plain ones or the others, from the a to the b of its run."""
        if edge.run is None:
            return
        if a[:2] != (edge.run.a.part, edge.run.a.port):
            a, b = b, a
        self._names[key] = edge.run.id, edge.pole
        child = None if key in self._span.rings else self._span.child(a, b, key)
        if child is not None and self._below[child].only_draws and self._all(a).batteries:
            self.plain[edge.run.id, edge.pole] = _DRAWN.of((edge.run.id, edge.pole), self._below[child])
        else:
            self.others[edge.run.id, edge.pole] = edge, a, b, key

    def _sum_up(self, hanging: Mapping[Node, Iterable[Node]]) -> None:
        """What lies at some nodes and beyond them, each after those that hang on it. These are given from the last to the first."""
        below = self._below
        for node, others in hanging.items():
            sides, taps = (
                tuple([side for other in others if (side := below[other]) is not NO_SIDE]),
                self.taken.get(node, ()),
            )
            several = bool(taps) or len(sides) > 1
            below[node] = _BELOW.of(node, (sides, taps)) if several else next(iter(sides), NO_SIDE)

    def _all(self, node: Node) -> Side:
        """Everything that hangs together with the node."""
        return self._below[self._span.root[node]]

    def demand(self, boat: Boat, edge: Edge, a: Node, b: Node, key: str) -> Demand:
        """What another core from a to b carries in service."""
        return _core_demand(boat, edge, *self.sides(a, b, key), key in self._span.rings)

    def sides(self, a: Node, b: Node, key: str) -> tuple[Side, Side]:
        """What lies on a's side of the edge and what on b's; in a ring what feeds it and everything else on it."""
        if key in self._span.rings:
            return self._ring_sides(self._ring(a))
        child = self._span.child(a, b, key)
        if child is None:
            return self._all(a), self._all(a)
        below, above = self._below[child], self._all(a).less(self._below[child])
        return (below, above) if child == a else (above, below)

    def _ring(self, start: Node) -> frozenset[Node]:
        """The nodes that hang together with start by edges of rings."""
        seen, queue = {start}, [start]
        while queue:
            node = queue.pop()
            for other, key in joints_of(self.graph)[node]:
                if other not in seen and key in self._span.rings:
                    seen.add(other)
                    queue.append(other)
        return frozenset(seen)

    def _ring_sides(self, ring: frozenset[Node]) -> tuple[Side, Side]:
        """Where one node alone feeds the ring, what hangs on it does not pass through the ring; else all may."""
        if ring not in self._ring_parts:
            entries = [self._entry(node, ring) for node in sorted(ring)]  # the sums in the same order every time
            feeding = [side for side in entries if side.batteries]
            feeding = feeding or [side for side in entries if side.charging_a or side.unknown_charging]
            others = NO_SIDE
            for side in entries:
                others = others if side in feeding else others.plus(side)
            everything = self._all(min(ring))
            self._ring_parts[ring] = (feeding[0], others) if len(feeding) == 1 else (everything, everything)
        return self._ring_parts[ring]

    def _entry(self, node: Node, ring: frozenset[Node]) -> Side:
        """What is at a node of a ring and beyond the edges that lead away from the ring there."""
        side = _side_of(self.taken.get(node, ()))
        for other, key in joints_of(self.graph)[node]:
            if other not in ring:
                side = side.plus(self.sides(node, other, key)[1])
        return side


def _together(facts: tuple[tuple[Side, ...], tuple[Tap, ...]]) -> Side:
    """What lies beyond a node and at it."""
    sides, taps = facts
    first, *others = (*sides, _side_of(taps)) if taps else sides
    return reduce(Side.plus, others, first)


def _drawn(side: Side) -> Demand:
    """What loads alone draw, wherever it comes from."""
    return _from_batteries(side, NO_SIDE)


_BELOW, _DRAWN = Kept(_together), Kept(_drawn)


def _side_of(taps: Iterable[Tap]) -> Side:
    side = NO_SIDE
    for tap in taps:
        missing = frozenset({tap.field}) if tap.current_a is None else frozenset[str]()
        ranged = frozenset({tap.field}) if isinstance(tap.current_a, tuple) else frozenset[str]()
        least, most = low(tap.current_a, 0.0), high(tap.current_a, 0.0)
        if tap.kind == "battery":
            side = side.plus(Side(batteries=frozenset({tap.node})))
        elif tap.kind == "charging":
            side = side.plus(
                Side(charging_a=most, unknown_charging=missing, charging_least_a=least, ranged_charging=ranged)
            )
        else:
            side = side.plus(Side(least, most, unknown=missing, ranged=ranged))
    return side


def _core_demand(boat: Boat, edge: Edge, a: Side, b: Side, in_ring: bool) -> Demand:
    """The worse of the two directions; between two batteries no more than the protection lets through."""
    from_a, from_b = _towards(b, a), _towards(a, b)
    if (a.batteries and b.batteries) or in_ring:
        most = through_limits(boat.currents, edge, a.batteries, b.batteries)
        least = most if boat.currents.at_least is boat.currents else _least_limits(boat, edge, a, b)
        fields = _open_fields(boat, edge) if least != most else ()
        from_a = _limited(from_a, least[0], most[0], fields)
        from_b = _limited(from_b, least[1], most[1], fields)
        if edge.pole == "-":
            from_a, from_b = (_limited(each, *_taken(boat, side), fields) for each, side in ((from_a, b), (from_b, a)))
    worst = from_a if from_a.most_a >= from_b.most_a else from_b
    return Demand(max(from_a.least_a, from_b.least_a), worst.most_a, worst.unknown, in_ring)


def _limited(demand: Demand, least_limit_a: float, limit_a: float, fields: tuple[str, ...]) -> Demand:
    """A demand behind something that lets through at least `least_limit_a` and at most `limit_a`; `fields` keep these apart."""
    least, most = min(demand.least_a, least_limit_a), min(demand.most_a, limit_a)
    return Demand(least, most, tuple(dict.fromkeys((*demand.unknown, *fields))) if most > least else ())


def _open_fields(boat: Boat, edge: Edge) -> tuple[str, ...]:
    """The ratings that keep open what is let through a core: of the devices before it; of a return, of all."""
    known = boat.currents.open_ratings
    if edge.pole != "+" or edge.run is None:
        return tuple(known.values())
    held = [table[edge.run.id, "+"] for table in (boat.held_fitted, boat.held_fitted_least, boat.currents.drawn)]
    keys = [key for each in held for feed in (each.a, each.b) for key, _ in feed.by]
    return tuple(dict.fromkeys(known[key] for key in keys if key in known))


def _taken(boat: Boat, side: Side) -> tuple[float, float]:
    """The least and the most that one side of a return takes in, A: what its loads draw, and what can be pushed into its
    batteries."""
    least, most = (
        sum(currents.taken_by(node) for node in side.batteries) for currents in (boat.currents.at_least, boat.currents)
    )
    return side.load_least_a + least, UNLIMITED if side.unknown else side.load_most_a + most


def _least_limits(boat: Boat, edge: Edge, a: Side, b: Side) -> tuple[float, float]:
    if edge.run is not None and edge.pole == "-" and "+" in edge.run.poles:
        return (boat.currents.positive_demand[edge.run.id, "+"].least_a,) * 2
    return through_limits(boat.currents.at_least, edge, a.batteries, b.batteries)


def through_limits(currents: Currents, edge: Edge, a: frozenset[Node], b: frozenset[Node]) -> tuple[float, float]:
    """The most that the batteries at a can drive through a core in service, and those at b, A."""
    assert edge.run is not None
    if edge.pole == "+":
        supply, draw = currents.held_fitted[edge.run.id, "+"], currents.drawn[edge.run.id, "+"]
        return min(supply.a.current_a, draw.b.current_a), min(supply.b.current_a, draw.a.current_a)
    if edge.pole == "-" and "+" in edge.run.poles:
        return (currents.positive_demand[edge.run.id, "+"].most_a,) * 2
    if edge.pole != "-" or not (a and b):
        return UNLIMITED, UNLIMITED
    from_a, from_b = (sum(currents.drawn_from(node) for node in side) for side in (a, b))
    return from_a, from_b


def _towards(there: Side, here: Side) -> Demand:
    """What flows from here to there: from batteries what there's loads draw, from chargers alone at most what they give."""
    if here.batteries:
        return _from_batteries(there, here)
    if not (here.charging_a or here.unknown_charging):
        return Demand(0.0, 0.0)
    charging = UNLIMITED if here.unknown_charging else here.charging_a
    if there.batteries:
        return Demand(here.charging_least_a, charging, tuple(sorted(here.unknown_charging | here.ranged_charging)))
    wanted = UNLIMITED if there.unknown else there.load_most_a
    least, most = min(there.load_least_a, here.charging_least_a), min(charging, wanted)
    fields = there.unknown | there.ranged | here.unknown_charging | here.ranged_charging
    return Demand(least, most, tuple(sorted(fields)) if most > least else ())


def _from_batteries(there: Side, here: Side) -> Demand:
    charging, charging_least = (here.charging_a, here.charging_least_a) if there.batteries else (0.0, 0.0)
    unknown = there.unknown | (here.unknown_charging if there.batteries else frozenset())
    ranged = there.ranged | (here.ranged_charging if there.batteries else frozenset())
    least = max(there.load_least_a, charging_least)
    most = UNLIMITED if unknown else max(there.load_most_a, charging)
    return Demand(least, most, tuple(sorted(unknown | ranged)) if most > least else ())

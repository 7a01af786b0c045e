"""How much current a return conductor can be made to carry: what the sources on its one side can push through the
positive wiring to the loads on its other side. Maximum flow over groups of positive nodes that no device parts.

Returns are not fused, so the devices of the positive side are what holds their current. Knows no rule.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping
from heapq import heapify, heappop, heappush

import msgspec
import networkx as nx

from engine.graph.boat import DEVICES, Boat
from engine.graph.cranking import cranking_cores
from engine.graph.flows import NOTHING, UNLIMITED
from engine.graph.listed import edges_of, web_of
from engine.graph.poles import Edge, Node
from engine.graph.spans import Span, span_of
from engine.model.network import Run
from engine.model.quantity import high, is_exact, low

_BIG = 1e12
SMALL_OR_EXEMPT = frozenset({"starter", "switch", "meter"})
Amounts = Mapping[int, float]


class Groups:
    """The positive wiring with everything joined that no fuse or breaker parts: groups and the devices between them."""

    def __init__(
        self,
        graph: nx.MultiGraph,
        capacity: Callable[[Edge], float],
        sources: Iterable[Node] | None = None,
        of: Mapping[Node, int] | None = None,
    ) -> None:
        """`of`: the groups, where they are known."""
        amounts = [(a, b, capacity(edge)) for a, b, edge in edges_of(graph) if edge.kind in DEVICES]
        parting = [(a, b, amount) for a, b, amount in amounts if amount < UNLIMITED]
        self._of = _groups(graph, capacity) if of is None or len(parting) < len(amounts) else of
        self._near: dict[int, dict[int, float]] = {}
        for a, b, capacity_a in parting:
            self._link(self._of[a], self._of[b], capacity_a)
        kept = {self._of[node] for node in sources or () if node in self._of}
        self._hanging = self._take_off(kept) if sources is not None else []
        self._known: dict[frozenset[int], dict[int, float]] = {}
        self._place = {group: number for number, (group, _, _) in enumerate(self._hanging)}

    def _take_off(self, kept: set[int]) -> list[tuple[int, int, float]]:
        """Take off, outermost first, every group that hangs on one device and holds no source: (group, neighbour, A).

        All the branch circuits of a boat go, once for every question that is asked.
        """
        hanging: list[tuple[int, int, float]] = []
        queue = deque(group for group, ways in self._near.items() if len(ways) == 1 and group not in kept)
        while queue:
            group = queue.popleft()
            if len(self._near[group]) != 1:
                continue
            ((other, capacity_a),) = self._near.pop(group).items()
            hanging.append((group, other, capacity_a))
            del self._near[other][group]
            if len(self._near[other]) == 1 and other not in kept:
                queue.append(other)
        return hanging

    def _link(self, a: int, b: int, capacity_a: float) -> None:
        if a != b:
            for here, there in ((a, b), (b, a)):
                ways = self._near.setdefault(here, {})
                ways[there] = ways.get(there, 0.0) + capacity_a

    def flow(self, sources: Iterable[Node], sinks: Iterable[Node]) -> float:
        """The most that the sources can push to the sinks at once, A; neither has a limit of its own."""
        start = {self._of[node] for node in sources if node in self._of}
        absorb = {self._of[node]: UNLIMITED for node in sinks if node in self._of}
        if start & absorb.keys():
            return UNLIMITED
        absorb = self._folded(absorb)
        near = {group: dict(ways) for group, ways in self._near.items()}
        self._peel(near, start, absorb)
        if not any(near.values()):
            return sum(absorb.get(group, 0.0) for group in sorted(start))
        return _maximum(near, start, absorb)

    def _folded(self, absorb: dict[int, float]) -> dict[int, float]:
        """With what was taken off folded into what its neighbours can take, outermost first. All loads of the boat are asked
        of once for each bank."""
        asked = frozenset(absorb)
        if asked not in self._known:
            self._fold(absorb)
            self._known[asked] = absorb
        return dict(self._known[asked])

    def _fold(self, absorb: dict[int, float]) -> None:
        waiting = [self._place[group] for group in absorb if group in self._place]
        heapify(waiting)
        while waiting:
            group, other, capacity_a = self._hanging[heappop(waiting)]
            if group in absorb:
                if other not in absorb and other in self._place:
                    heappush(waiting, self._place[other])
                absorb[other] = absorb.get(other, 0.0) + min(capacity_a, absorb.pop(group))

    @staticmethod
    def _peel(near: dict[int, dict[int, float]], start: set[int], absorb: dict[int, float]) -> None:
        """Fold everything that hangs on one device only into what its neighbour can take."""
        queue = deque(group for group, ways in near.items() if len(ways) == 1 and group not in start)
        while queue:
            group = queue.popleft()
            if len(near[group]) != 1:
                continue
            ((other, capacity_a),) = near.pop(group).items()
            absorb[other] = absorb.get(other, 0.0) + min(capacity_a, absorb.pop(group, 0.0))
            del near[other][group]
            if len(near[other]) == 1 and other not in start:
                queue.append(other)
            near.setdefault(group, {})


def _groups(graph: nx.MultiGraph, capacity: Callable[[Edge], float]) -> Mapping[Node, int]:
    """Each node with the number of its group: all that hangs together without passing a fuse or breaker."""
    web, found = web_of(graph), dict[Node, int]()
    number = 0
    for start in web:
        if start in found:
            continue
        found[start] = number
        queue = [start]
        while queue:
            for other, edge in web[queue.pop()]:
                if other not in found and capacity(edge) == UNLIMITED:
                    found[other] = number
                    queue.append(other)
        number += 1
    return found


def _maximum(near: Mapping[int, Mapping[int, float]], start: set[int], absorb: Amounts) -> float:
    net = nx.DiGraph()
    net.add_nodes_from(("from", "to"))
    net.add_edges_from((a, b, {"capacity": amount}) for a, ways in near.items() for b, amount in ways.items())
    net.add_edges_from(("from", group, {"capacity": _BIG}) for group in start)
    net.add_edges_from((group, "to", {"capacity": min(amount, _BIG)}) for group, amount in absorb.items())
    value = nx.maximum_flow_value(net, "from", "to")
    return UNLIMITED if value >= _BIG / 2 else float(value)


class Pushed(msgspec.Struct, frozen=True):
    """What can be made to flow through a return, A, with the fields that keep it open."""

    least_a: float
    most_a: float
    lacks: tuple[str, ...] = ()


def returns(boat: Boat) -> Mapping[str, Pushed]:
    """Run id of every negative conductor that runs without its positive -> what can be made to flow through it.

    Left out are starter cables, conductors in a ring, and those behind circuits without any device (found elsewhere).
    """
    known = boat.carry_wiring(_parted)
    ends = _Ends(boat, known)
    pushed = ((run, ends.pushed(one, other)) for run, one, other in known.returns)
    return {run: each for run, each in pushed if each.most_a < UNLIMITED or each.lacks}


class _Parted(msgspec.Struct, frozen=True):
    """What of it follows from the wiring. `batteries` and `loads`: negative node -> positive node; `groups`: of the positive
    wiring, where every device parts it; `returns`: each of the conductors, with the ends on either side."""

    batteries: Mapping[Node, Node]
    loads: Mapping[Node, Node]
    groups: Mapping[Node, int]
    returns: tuple[tuple[str, set[Node], set[Node]], ...]


def _parted(boat: Boat) -> _Parted:
    batteries = {place.back: place.live for place in boat.source_places if place.kind == "battery" and place.back}
    loads, exempt = boat.carry_parts(_loads), boat.carry_wiring(cranking_cores)
    sides = _Sides(boat, frozenset({*batteries, *loads}))
    asked = (
        run for run in boat.network.runs if "-" in run.poles and "+" not in run.poles and (run.id, "-") not in exempt
    )
    returns_ = tuple((run.id, *parted) for run in asked if (parted := sides.of(run)) is not None)
    groups = _groups(boat.currents.rails["+"], lambda edge: 0.0 if edge.kind in DEVICES else UNLIMITED)
    return _Parted(batteries, loads, groups, returns_)


class _Sides:
    """The ends (batteries and loads) on either side of each conductor of the negative wiring."""

    def __init__(self, boat: Boat, ends: frozenset[Node]) -> None:
        self._boat, self._ends = boat, ends
        self._below: dict[Node, set[Node]] = {}
        for strand in boat.graphs.strands["-"]:
            self._add_up(span_of(strand))

    def _add_up(self, span: Span) -> None:
        """The ends at each node and beyond it."""
        for node in reversed(span.order):
            below = self._below.get(node)
            if node in self._ends:
                below = self._below.setdefault(node, set())
                below.add(node)
            if below and node in span.parent:
                self._below.setdefault(span.parent[node][0], set()).update(below)

    def of(self, run: Run) -> tuple[set[Node], set[Node]] | None:
        """The ends on either side of a run; None where it is in a ring."""
        key, a, b = f"{run.id}:-", (run.a.part, run.a.port, "-"), (run.b.part, run.b.port, "-")
        strand = self._boat.strand_at(a)
        if strand is None or key in (span := span_of(strand)).rings or (child := span.child(a, b, key)) is None:
            return None
        below = self._below.get(child, set[Node]())
        return below, self._below.get(span.root[child], set[Node]()) - below


class _Ends:
    """The batteries and loads by their negative nodes, and the positive wiring between them."""

    def __init__(self, boat: Boat, known: _Parted) -> None:
        self._boat = boat
        self._batteries, self._loads = known.batteries, known.loads
        positive, sources = boat.currents.rails["+"], known.batteries.values()
        devices = boat.devices() if boat.currents.open_devices else ()
        self._unknown = tuple(
            f"{edge.key} rating_a" for _, _, edge in devices if not is_exact(boat.rating_of(edge)) and edge.pole == "+"
        )
        self._most = Groups(positive, self._most_of, sources, known.groups)
        self._least = Groups(positive, self._least_of, sources, known.groups) if self._unknown else self._most

    def _most_of(self, edge: Edge) -> float:
        return high(self._boat.rating_of(edge), UNLIMITED) if edge.kind in DEVICES else UNLIMITED

    def _least_of(self, edge: Edge) -> float:
        return low(self._boat.rating_of(edge), 0.0) if edge.kind in DEVICES else UNLIMITED

    def pushed(self, one: set[Node], other: set[Node]) -> Pushed:
        """The larger of the two directions: batteries here, loads there."""
        found = [self._one_way(here, there) for here, there in ((one, other), (other, one))]
        least, most = max(each.least_a for each in found), max(each.most_a for each in found)
        return Pushed(least, most, self._unknown if most > least else ())

    def _one_way(self, here: set[Node], there: set[Node]) -> Pushed:
        """From the batteries here to the loads there; to a single load simply what can be pushed into its supply."""
        sources = [live for back, live in self._batteries.items() if back in here]
        if self._batteries and not sources:
            return Pushed(0.0, 0.0)
        sinks = [self._loads[back] for back in there if back in self._loads]
        if len(sinks) == 1 and len(sources) == len(self._batteries):
            part = self._boat.parts[sinks[0][0]]
            most, least = self._boat.currents.fed_by(part, sinks[0][1], "+") or (NOTHING, NOTHING)
            return Pushed(least.current_a, most.current_a)
        most_a = self._flow(self._most, sources, sinks)
        return Pushed(self._flow(self._least, sources, sinks) if self._unknown else most_a, most_a)

    def _flow(self, groups: Groups, sources: list[Node], sinks: list[Node]) -> float:
        if not sources or not sinks:
            return 0.0
        return groups.flow(sources, sinks)


def _loads(boat: Boat) -> Mapping[Node, Node]:
    """Negative node -> positive node of everything that draws; left out are starters, and coils and meters, which pass little even
    into a fault."""
    found: dict[Node, Node] = {}
    for a, b, edge in boat.inside("load"):
        if edge.part is not None and boat.role(edge.part) not in SMALL_OR_EXEMPT:
            live, back = (a, b) if a[2] == "+" else (b, a)
            if (live[2], back[2]) == ("+", "-"):
                found[back] = live
    return found

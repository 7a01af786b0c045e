"""What is taken over each conductor, through each part and out of each source in a case: which loads, not how many amperes.

Batteries feed; without one, generators, the shore or a converter do. A source that charges a battery's rail is not what
feeds its loads, and a combining relay counts as open: it is there to charge. Knows no ampere.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

import msgspec
import networkx as nx

from engine.graph.boat import LIVE_POLES, Boat
from engine.graph.graphs import switched_edges
from engine.graph.layout import Layout
from engine.graph.listed import graph_of, joints_of, keyed_edges_of
from engine.graph.poles import ENERGY, Edge, Keyed, Node
from engine.model.network import AC_LINES, Part
from engine.studies.conditions import Case, duty_of

Taps = frozenset[Node]
NOTHING: Taps = frozenset()


class Beyond(msgspec.Struct, frozen=True):
    """The poles at which current is taken: those that are fed this way for certain, and those of which one group may be,
    where there is another way or another source."""

    certain: Taps = NOTHING
    perhaps: tuple[Taps, ...] = ()


class Crossing(msgspec.Struct, frozen=True):
    """A converter or diode between two rails; power goes from the pole `start` to the pole `end`."""

    part: Part
    start: Node
    end: Node
    edge: Edge


class _Side(msgspec.Struct, frozen=True):
    """What hangs on one side of a conductor: where current is taken, and the poles that feed."""

    taps: Taps = NOTHING
    feeds: Taps = NOTHING

    def plus(self, other: _Side) -> _Side:
        return _Side(self.taps | other.taps, self.feeds | other.feeds)

    def less(self, other: _Side) -> _Side:
        return _Side(self.taps - other.taps, self.feeds - other.feeds)


class Reach:
    """The live wiring of a boat in a case, its rails (what hangs together), and what feeds each."""

    def __init__(self, boat: Boat, case: Case) -> None:
        self.boat, self.case = boat, case
        conducting, crossing = _in_force(boat, case)
        self.wires = _live_wires(boat, conducting)
        self._layout = Layout(self.wires)
        self._root, self._outer = self._roots(), self._rings_beyond()
        self.crossings = tuple(self._crossings(crossing))
        self.taps = {**_load_taps(crossing), **{each.start: each.part.id for each in self.crossings}}
        self.feeds = self._feeds()
        self._below = self._sweep()
        self._nodes: dict[str, list[Node]] = {}
        for node in self.wires:
            self._nodes.setdefault(node[0], []).append(node)

    def nodes_of(self, part: str) -> Sequence[Node]:
        """The live poles of a part."""
        return self._nodes.get(part, ())

    def rail(self, node: Node) -> int:
        """The number of the rail that a pole is on; -1 where it is on none."""
        ring = self._layout.ring_of.get(node)
        return -1 if ring is None else self._root[ring]

    def is_fed(self, node: Node) -> bool:
        """Whether a source feeds the rail of a pole."""
        return bool(self.feeds.get(self.rail(node)))

    def on_rail(self, rail: int) -> Taps:
        """Every pole of a rail at which current is taken."""
        return self._below[rail].taps if rail in self._below else NOTHING

    def over(self) -> Mapping[tuple[str, str], Beyond]:
        """(run id, pole) -> what is taken over that core."""
        found: dict[tuple[str, str], Beyond] = {}
        for a, b, key, edge in keyed_edges_of(self.wires):
            if edge.run is not None:
                found[edge.run.id, edge.pole] = self._over(a, b, key)
        return found

    def through(self, nodes: Iterable[Node]) -> Beyond:
        """What is taken through some poles, or out of them where they are those of sources: what would be dead without
        them, and what they may feed beside other sources."""
        own: dict[int, set[Node]] = {}
        for node in nodes:
            own.setdefault(self.rail(node), set()).add(node)
        found = [self._through(frozenset(nodes), rail) for rail, nodes in own.items()]
        perhaps = frozenset(tap for each in found for taps in each.perhaps for tap in taps)
        return Beyond(frozenset(tap for each in found for tap in each.certain), (perhaps,) if perhaps else ())

    def _through(self, own: Taps, rail: int) -> Beyond:
        """The same for the poles on one rail."""
        taps, feeds = self.on_rail(rail), self.feeds.get(rail, NOTHING)
        if not feeds:
            return Beyond()
        others = self._reached(feeds - own, own) & taps
        return Beyond(taps - others, (others,) if feeds & own and others else ())

    def _reached(self, starts: Iterable[Node], without: Collection[Node]) -> frozenset[Node]:
        joints, seen = joints_of(self.wires), set(starts)
        queue = list(seen)
        while queue:
            for other, _ in joints[queue.pop()]:
                if other not in seen and other not in without:
                    seen.add(other)
                    queue.append(other)
        return frozenset(seen)

    def _roots(self) -> Mapping[int, int]:
        found = {number: number for number in range(len(self._layout.rings))}
        for inner, outer, _ in self._layout.order:
            found[self._layout.ring_of[outer]] = found[self._layout.ring_of[inner]]
        return found

    def _crossings(self, edges: Iterable[Edge]) -> Iterator[Crossing]:
        """The converters that work and the diodes, from one live rail to another."""
        for edge in edges:
            if edge.kind not in ("converter", "blocking") or edge.part is None or edge.link is None:
                continue
            start, end = (edge.part.id, *edge.link.a), (edge.part.id, *edge.link.b)
            if {start[2], end[2]} <= LIVE_POLES and share_of(self.boat, edge, self.case) > 0:
                yield Crossing(self.boat.part_of(edge), start, end, edge)

    def _feeds(self) -> Mapping[int, Taps]:
        """Rail -> the poles that feed it; a rail without battery, generator and shore is fed over what crosses to it."""
        batteries, others = dict[int, set[Node]](), dict[int, set[Node]]()
        for source in self.boat.sources:
            if source.kind == "battery":
                batteries.setdefault(self.rail(source.live), set()).add(source.live)
            elif source.kind in ("generator", "shore") and duty_of(self.boat, source.part, self.case) > 0:
                others.setdefault(self.rail(source.live), set()).add(source.live)
        found = {**others, **batteries}
        self._cross(found, frozenset(found))
        return {rail: frozenset(nodes) for rail, nodes in found.items() if rail >= 0}

    def _cross(self, found: dict[int, set[Node]], own: frozenset[int]) -> None:
        waiting = [each for each in self.crossings if self.rail(each.end) not in own]
        while ready := [each for each in waiting if self.rail(each.start) in found]:
            waiting = [each for each in waiting if each not in ready]
            for each in ready:
                found.setdefault(self.rail(each.end), set()).add(each.end)

    def _sweep(self) -> dict[int, _Side]:
        """What hangs on each ring and outside of it, leaves inwards; at the root of a rail that is all of it."""
        below = dict.fromkeys(range(len(self._layout.rings)), _Side())
        for node in self.wires:
            ring = self._layout.ring_of[node]
            below[ring] = below[ring].plus(self._at(node))
        for inner, outer, _ in reversed(self._layout.order):
            near, far = self._layout.ring_of[inner], self._layout.ring_of[outer]
            below[near] = below[near].plus(below[far])
        return below

    def _at(self, node: Node) -> _Side:
        feeding = node in self.feeds.get(self.rail(node), NOTHING)
        return _Side(frozenset({node} if node in self.taps else ()), frozenset({node} if feeding else ()))

    def _sides(self, a: Node, b: Node) -> tuple[_Side, _Side]:
        """What hangs on a's side of a bridge and what on b's."""
        ring_a, ring_b = self._layout.ring_of[a], self._layout.ring_of[b]
        whole = self._below[self._root[ring_a]]
        b_is_outer = ring_b in self._outer.get(ring_a, ())
        far = self._below[ring_b if b_is_outer else ring_a]
        return (whole.less(far), far) if b_is_outer else (far, whole.less(far))

    def _rings_beyond(self) -> Mapping[int, frozenset[int]]:
        """Ring -> the rings that hang on it, seen from the root of its rail."""
        found: dict[int, set[int]] = {}
        for inner, outer, _ in self._layout.order:
            found.setdefault(self._layout.ring_of[inner], set()).add(self._layout.ring_of[outer])
        return {ring: frozenset(rings) for ring, rings in found.items()}

    def _over(self, a: Node, b: Node, key: str) -> Beyond:
        if key not in self._layout.bridges:
            return self._in_ring(self._layout.ring_of[a])
        at_a, at_b = self._sides(a, b)
        if at_a.feeds and at_b.feeds:
            return Beyond(perhaps=(at_a.taps, at_b.taps))
        return Beyond(at_b.taps if at_a.feeds else at_a.taps if at_b.feeds else NOTHING)

    def _in_ring(self, ring: int) -> Beyond:
        """Parallel ways: each may carry all that the ring feeds; what hangs where the ring is fed does not pass it."""
        entries = [self._entry(node) for node in self._layout.rings[ring]]
        feeding = [side for side in entries if side.feeds]
        if not feeding:
            return Beyond()
        whole = self._below[self._root[ring]]
        return Beyond(perhaps=(whole.taps - (feeding[0].taps if len(feeding) == 1 else NOTHING),))

    def _entry(self, node: Node) -> _Side:
        """What is at a node of a ring and beyond the bridges that lead away from it there."""
        side = self._at(node)
        for near, far, _ in self._layout.doors.get(self._layout.ring_of[node], ()):
            if near == node:
                side = side.plus(self._sides(near, far)[1])
        return side


def share_of(boat: Boat, edge: Edge, case: Case) -> float:
    """How hard a converter works, 0 to 1: one that charges from AC where the case says so; a diode always passes."""
    assert edge.part is not None
    assert edge.link is not None
    if edge.kind == "blocking":
        return 1.0
    if edge.link.a[1] in AC_LINES and edge.link.b[1] == "+":
        return case.duty.get(edge.part.id, 0.0)
    return duty_of(boat, boat.part_of(edge), case)


def _in_force(boat: Boat, case: Case) -> tuple[Sequence[Keyed], Sequence[Edge]]:
    """The conducting edges of a case, and those that loads, converters and diodes make in the position they are in."""
    every = keyed_edges_of(boat.graph)
    if case.switches is None:
        wires: Sequence[Keyed] = [keyed for keyed in every if keyed[3].conducts]
    else:
        wires = switched_edges(boat.graph, boat.library, case.switches)
    over = [keyed[3] for keyed in every if keyed[3].kind in ENERGY and _is_in_force(boat, keyed[3], case)]
    return wires, (*over, *(keyed[3] for keyed in wires if keyed[3].kind == "blocking"))


def _is_in_force(boat: Boat, edge: Edge, case: Case) -> bool:
    """Whether its part is in a state in which the link is there."""
    if edge.part is None or edge.link is None or not edge.link.states or case.switches is None:
        return True
    states = boat.library[edge.part.kind].states
    return case.switches.get(edge.part.id, states[0] if states else "on") in edge.link.states


def _live_wires(boat: Boat, conducting: Iterable[Keyed]) -> nx.MultiGraph:
    """The live conductors among some edges; without diodes, over which a rail ends, and combining relays."""
    nodes = [node for node in boat.graph if node[2] in LIVE_POLES]
    return graph_of(nodes, [
        keyed for keyed in conducting
        if keyed[3].kind not in ("blocking", "bond") and not _combines(keyed[3])
        and keyed[0][2] in LIVE_POLES and keyed[1][2] in LIVE_POLES
    ])  # fmt: skip


def _combines(edge: Edge) -> bool:
    return edge.kind == "contact" and edge.part is not None and edge.part.kind == "combining_relay"


def _load_taps(edges: Iterable[Edge]) -> Mapping[Node, str]:
    """The live poles at which loads take current, with the part's id."""
    return {
        (edge.part.id, *end): edge.part.id
        for edge in edges
        if edge.kind == "load" and edge.part is not None and edge.link is not None
        for end in (edge.link.a, edge.link.b)
        if end[1] in LIVE_POLES
    }

"""The most that some terminals can push to others through the fuses and breakers between them: maximum flow over groups of nodes
that no device parts. Knows no boat.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from math import fsum

import networkx as nx

from engine.graph.flows import UNLIMITED
from engine.graph.listed import edges_of, noted, web_of
from engine.graph.poles import DEVICES, Edge, Node

_BIG = 1e12
Near = Mapping[int, Mapping[int, float]]
"""Between groups what the devices let through, A."""


class Groups:
    """The positive wiring with everything joined that no fuse or breaker parts: groups and the devices between them."""

    def __init__(
        self,
        graph: nx.MultiGraph,
        capacity: Callable[[Edge], float],
        sources: Iterable[Node] | None = None,
    ) -> None:
        """`sources`: the nodes of which alone is asked what they can push; None for all."""
        amounts = [(a, b, capacity(edge)) for a, b, edge in edges_of(graph) if edge.kind in DEVICES]
        parting = [(a, b, amount) for a, b, amount in amounts if amount < UNLIMITED]
        self._of = _groups(graph, capacity) if len(parting) < len(amounts) else _parted(graph)
        self._near: dict[int, dict[int, float]] = {}
        for a, b, capacity_a in parting:
            self._link(self._of[a], self._of[b], capacity_a)
        kept = {self._of[node] for node in sources or () if node in self._of}
        self._hanging = self._take_off(kept) if sources is not None else []
        self._known: dict[frozenset[int], dict[int, float]] = {}

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
        return fsum(self.flows(sources, sinks))

    def flows(self, sources: Iterable[Node], sinks: Iterable[Node]) -> list[float]:
        """The same of each group that holds sources, and of all together that are joined by devices: each is the same whatever
        else the graph holds."""
        start = {self._of[node] for node in sources if node in self._of}
        absorb = {self._of[node]: UNLIMITED for node in sinks if node in self._of}
        if start & absorb.keys():
            return [UNLIMITED]
        absorb = self._folded(absorb)
        near = {group: dict(ways) for group, ways in self._near.items()}
        self._peel(near, start, absorb)
        joined = [_maximum(part, start, absorb) for part in _apart(near) if not start.isdisjoint(part)]
        return [absorb.get(group, 0.0) for group in start if not near.get(group)] + joined

    def _folded(self, absorb: dict[int, float]) -> dict[int, float]:
        """With what was taken off folded into what its neighbours can take, outermost first. All loads of the boat are asked
        of once for each bank."""
        asked = frozenset(absorb)
        if asked not in self._known:
            self._fold(absorb)
            self._known[asked] = absorb
        return dict(self._known[asked])

    def _fold(self, absorb: dict[int, float]) -> None:
        for group, other, capacity_a in self._hanging:
            if group in absorb:
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
    """Each node with the number of its group: all that hangs together without passing a fuse or breaker. The numbers grow with the
    place of the first node of each."""
    web, found = web_of(graph), dict[Node, int]()
    for number, start in enumerate(web):
        if start in found:
            continue
        found[start] = number
        queue = [start]
        while queue:
            for other, edge in web[queue.pop()]:
                if other not in found and capacity(edge) == UNLIMITED:
                    found[other] = number
                    queue.append(other)
    return found


def _parted(graph: nx.MultiGraph) -> Mapping[Node, int]:
    """The groups where every device parts."""
    return noted(graph, "parted", lambda graph: _groups(graph, lambda edge: 0.0 if edge.kind in DEVICES else UNLIMITED))


def _apart(near: Near) -> Iterator[Near]:
    """The groups that are joined by devices, in parts between which there is none."""
    found: set[int] = set()
    for start, ways in near.items():
        if ways and start not in found:
            part = {start}
            queue = [start]
            for group in queue:
                others = [other for other in near[group] if other not in part]
                part.update(others)
                queue += others
            found |= part
            yield {group: ways for group, ways in near.items() if group in part}


def _maximum(near: Near, start: set[int], absorb: Mapping[int, float]) -> float:
    net = nx.DiGraph()
    net.add_nodes_from(("from", "to"))
    net.add_edges_from((a, b, {"capacity": amount}) for a, ways in near.items() for b, amount in ways.items())
    net.add_edges_from(("from", group, {"capacity": _BIG}) for group in near if group in start)
    net.add_edges_from((group, "to", {"capacity": min(absorb[group], _BIG)}) for group in near if group in absorb)
    value = nx.maximum_flow_value(net, "from", "to")
    return UNLIMITED if value >= _BIG / 2 else float(value)

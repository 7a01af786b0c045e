"""What can be joined in some position of the switches: a search over the positions that a way needs, not over all of them.

Conductors that no position parts are taken together first; breakers, fuses and plain switches are taken as closed, since
opening one joins nothing. What is left are selectors, transfer relays and inverter states: a way may use a contact only in
the states in which it is closed, and the states it has used narrow what it may use further on. Knows no rulebook.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping

import networkx as nx

from engine.graph.listed import edges_of
from engine.graph.poles import Edge, Node

Needs = Mapping[str, frozenset[str]]
"""The states that parts must be in, by part id; parts that are not named may be in any."""

MOST_STEPS = 20_000
"""Beyond this many places searched from one start the search gives up and says so."""


class SearchTooLargeError(Exception):
    """The switches of this boat can be combined in more ways than the search goes through."""


def needs_of(edge: Edge) -> Needs:
    """The states in which the edge conducts or feeds; none where it always does."""
    if edge.part is None or edge.link is None or not edge.link.states:
        return {}
    return {edge.part.id: frozenset(edge.link.states)}


def both(one: Needs, other: Needs) -> Needs | None:
    """Both needs at once; None where no position fulfils both."""
    if not other:
        return one
    found = dict(one)
    for part, states in other.items():
        found[part] = found.get(part, states) & states
        if not found[part]:
            return None
    return found


def position_text(needs: Needs, names: Mapping[str, str]) -> str:
    """The positions in words: "Q1 in position 1, T2 in position inverting"; names by part id."""
    listed = [
        f"{names.get(part, part)} in position {' or '.join(sorted(states))}" for part, states in sorted(needs.items())
    ]
    return ", ".join(listed) or "the switches in any position"


class Positions:
    """One conducting graph, ready to be searched. `stateful`: parts whose states matter beyond the contacts in the graph
    (an inverter/charger is a source in one state and passes current in another)."""

    def __init__(self, graph: nx.MultiGraph, stateful: frozenset[str] = frozenset()) -> None:
        self.graph = graph
        self._parent: dict[Node, Node] = {}
        self._doors: dict[Node, list[tuple[Node, Needs]]] = {}
        self._best = {part: states for part, states in _best_states(graph).items() if part not in stateful}
        doors = []
        for a, b, edge in edges_of(graph):
            needs = needs_of(edge)
            if needs and not _always(needs, self._best):
                doors.append((a, b, needs))
            else:
                self._parent[self._root(a)] = self._root(b)
        for a, b, needs in doors:
            self._doors.setdefault(self._root(a), []).append((self._root(b), needs))
            self._doors.setdefault(self._root(b), []).append((self._root(a), needs))

    def _root(self, node: Node) -> Node:
        while (above := self._parent.get(node, node)) != node:
            self._parent[node] = self._parent.get(above, above)
            node = above
        return node

    def group(self, node: Node) -> Node:
        """What stands for all the nodes that are joined to this one whatever the positions."""
        return self._root(node)

    def reach(self, start: Node, needs: Needs) -> Iterator[tuple[Node, Needs]]:
        """Every group that can be joined to start, with the least that it takes; fewest contacts first.

        A group comes again when it can be reached in positions that an earlier way ruled out. Raises SearchTooLargeError.
        """
        first = self._root(start)
        known: dict[Node, list[Needs]] = {first: [needs]}
        queue: deque[tuple[Node, Needs]] = deque([(first, needs)])
        steps = 0
        while queue:
            group, held = queue.popleft()
            yield group, held
            for other, door in self._doors.get(group, ()):
                steps += 1
                if steps > MOST_STEPS:
                    raise SearchTooLargeError
                joined = both(held, door)
                if joined is not None and not _covered(joined, known.setdefault(other, [])):
                    known[other].append(joined)
                    queue.append((other, joined))

    def way(self, start: Node, goal: Node, needs: Needs) -> tuple[Edge, ...]:
        """The edges from start to goal with the switches as needed; () where there is no way."""
        came: dict[Node, tuple[Node, Edge] | None] = {start: None}
        queue = deque([start])
        while queue and goal not in came:
            node = queue.popleft()
            for _, other, edge in self.graph.edges(node, data="edge"):
                if other not in came and self._is_closed(edge, needs):
                    came[other] = (node, edge)
                    queue.append(other)
        return _unwound(came, goal)

    def _is_closed(self, edge: Edge, held: Needs) -> bool:
        """Whether the edge conducts for certain in these positions; a plain switch that is not named is on."""
        for part, states in needs_of(edge).items():
            held_in = held.get(part) or self._best.get(part)
            if not held_in or not held_in <= states:
                return False
        return True


def _unwound(came: Mapping[Node, tuple[Node, Edge] | None], goal: Node) -> tuple[Edge, ...]:
    edges: list[Edge] = []
    step = came.get(goal)
    while step is not None:
        edges.append(step[1])
        step = came[step[0]]
    return tuple(reversed(edges))


def _covered(needs: Needs, known: Iterable[Needs]) -> bool:
    """Whether something already known asks for no more than these needs."""
    return any(all(part in needs and needs[part] <= states for part, states in each.items()) for each in known)


def _best_states(graph: nx.MultiGraph) -> Mapping[str, frozenset[str]]:
    """For each part, the states in which every contact of its that is in the graph is closed, if there are any."""
    best: dict[str, frozenset[str]] = {}
    for _, _, edge in edges_of(graph):
        for part, states in needs_of(edge).items():
            best[part] = best.get(part, states) & states
    return best


def _always(needs: Needs, best: Mapping[str, frozenset[str]]) -> bool:
    return all(best.get(part) for part in needs)

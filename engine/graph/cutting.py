"""Whether some position of the switches leaves a terminal without any of the terminals it needs, and which position.

Every switch can be where it likes, but its own contacts move together: that is the interlock. A position whose contacts are
all closed in another one as well cuts more than that other; only such positions are tried, so a switch that has an off
position costs nothing, and of the others only those are tried that stand at the edge of what is still joined. Diodes pass
one way. Knows no rulebook.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterator, Mapping

import networkx as nx

from engine.graph.listed import edges_of, web_of
from engine.graph.poles import Edge, Node
from engine.graph.positions import MOST_STEPS, Needs, SearchTooLargeError

States = Mapping[str, tuple[str, ...]]
"""The positions of each switch, by part id."""
Position = Mapping[str, str]


class Cuts:
    """One conducting graph in which some switches may move and all else stays closed.

    `states`: the positions of the parts whose contacts may move; a contact that names no positions is always closed.
    """

    def __init__(self, graph: nx.MultiGraph, states: States) -> None:
        self._web = web_of(graph)
        self._contacts: dict[int, str] = {}
        closed: dict[str, dict[str, frozenset[int]]] = {}
        for edge in (edge for _, _, edge in edges_of(graph) if edge.kind == "contact"):
            part, link = edge.part, edge.link
            if part is not None and link is not None and link.states and states.get(part.id):
                self._contacts[id(edge)] = part.id
                for state in states[part.id]:
                    closes = closed.setdefault(part.id, {}).setdefault(state, frozenset())
                    closed[part.id][state] = closes | {id(edge)} if state in link.states else closes
        self._closed = closed
        self._worst = {part: _closing_least(closes) for part, closes in closed.items()}

    def joined(self, start: Node, goals: Collection[Node], *, gives: bool = False) -> bool:
        """Whether start is joined to a goal with every contact closed: else there is nothing to cut."""
        return not self.reach(start, gives=gives).isdisjoint(goals)

    def reach(self, start: Node, *, gives: bool = False) -> set[Node]:
        """What start can take from, or give to, with every contact closed."""
        return self._reached(start, {}, gives)

    def cut(self, start: Node, goals: Collection[Node], *, gives: bool = False) -> Needs | None:
        """A position in which start is joined to none of the goals, without the switches that may close all they have.

        Start takes from the goals, or gives to them: a diode passes accordingly. None where there is no such position;
        nothing that is joined in none at all is asked about. Raises SearchTooLargeError.
        """
        waiting: list[Position] = [{part: worst[0] for part, worst in self._worst.items() if len(worst) == 1}]
        for _ in range(MOST_STEPS):
            if not waiting:
                return None
            position = waiting.pop()
            seen = self._reached(start, position, gives, undecided_open=True)
            if not seen.isdisjoint(goals):
                continue
            border = [part for part in self._at_border(seen) if part not in position]
            if not border:
                return self._spared(start, goals, position, gives)
            waiting += [{**position, border[0]: state} for state in self._worst[border[0]]]
        raise SearchTooLargeError

    def _reached(self, start: Node, position: Position, gives: bool, *, undecided_open: bool = False) -> set[Node]:
        """What start is joined to; the contacts of switches that have no position yet are all closed, or all open."""
        seen, queue = {start}, deque([start] if start in self._web else ())
        while queue:
            node = queue.popleft()
            for other, edge in self._web[node]:
                if other not in seen and self._passes(edge, node, position, gives, undecided_open):
                    seen.add(other)
                    queue.append(other)
        return seen

    def _passes(self, edge: Edge, node: Node, position: Position, gives: bool, undecided_open: bool) -> bool:
        if edge.kind == "blocking":
            return passes_diode(edge, node, gives)
        part = self._contacts.get(id(edge)) if edge.kind == "contact" else None
        if part is None:
            return True
        return id(edge) in self._closed[part][position[part]] if part in position else not undecided_open

    def _at_border(self, seen: Collection[Node]) -> Iterator[str]:
        """The switches with a contact from what is joined to what is not."""
        for node in seen:
            for other, edge in self._web.get(node, ()):
                if other not in seen and id(edge) in self._contacts:
                    yield self._contacts[id(edge)]

    def _spared(self, start: Node, goals: Collection[Node], position: Position, gives: bool) -> Needs:
        """The same cut without the switches that may as well close everything."""
        border = frozenset(self._at_border(self._reached(start, position, gives, undecided_open=True)))
        held = {part: state for part, state in position.items() if part in border}
        for part in sorted(held):
            without = {each: state for each, state in held.items() if each != part}
            if self._reached(start, without, gives).isdisjoint(goals):
                held = without
        return {part: frozenset({state}) for part, state in held.items()}


def passes_diode(edge: Edge, node: Node, gives: bool) -> bool:
    """Whether a diode (an edge of kind "blocking") can be walked over from the node: along the current when it gives."""
    part, link = edge.part, edge.link
    if part is None or link is None:
        return False
    return node == (part.id, *(link.a if gives else link.b))


def _closing_least(closes: Mapping[str, frozenset[int]]) -> list[str]:
    """The positions that close no more than any other one does; one of those that close the same."""
    found: list[str] = []
    for state in sorted(closes, key=lambda each: len(closes[each])):
        if not any(closes[other] <= closes[state] for other in found):
            found.append(state)
    return found

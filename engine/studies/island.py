"""Which poles hang together: points (joined without resistance), rails (joined by conductors) and islands (joined by sources
too), which islands are live, and which row of the matrix each point has. Knows no values.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

import msgspec

from engine.graph.poles import Node
from engine.model.network import AC_POLES
from engine.studies.converters import Transfer
from engine.studies.elements import Elements
from engine.studies.supplies import Supply, Valve

Reason = Literal["live", "no-source", "collapsed", "unsettled"]
REFERENCE = -1
NOWHERE = -2


class Island(msgspec.Struct, frozen=True):
    """One part of the boat that hangs together by conductors and sources. `name` is its reference pole."""

    name: Node
    ac: bool
    nodes: tuple[Node, ...]
    reason: Reason


class Layout(msgspec.Struct, frozen=True):
    """Where each pole is: its point, rail and island by number, and its row; NOWHERE in an island that is not live."""

    point: Mapping[Node, int]
    rail: Mapping[Node, int]
    island: Mapping[Node, int]
    row: Mapping[Node, int]
    islands: tuple[Island, ...]
    size: tuple[int, int]
    """Rows of the DC matrix and of the AC matrix."""

    def is_live(self, *nodes: Node) -> bool:
        """Whether the poles are in one live island."""
        numbers = {self.island.get(node, NOWHERE) for node in nodes}
        return len(numbers) == 1 and NOWHERE not in numbers and self.islands[numbers.pop()].reason == "live"


class Groups:
    """Sets of poles that grow together."""

    def __init__(self, nodes: Iterable[Node]) -> None:
        self._above: dict[Node, Node] = {node: node for node in nodes}

    def root(self, node: Node) -> Node:
        """The pole that stands for the group; a pole that is new stands for itself."""
        above = self._above
        root = above.setdefault(node, node)
        while above[root] != root:
            above[root] = above[above[root]]
            root = above[root]
        return root

    def join(self, pairs: Iterable[tuple[Node, Node]]) -> None:
        """The two poles of each pair belong together."""
        for a, b in pairs:
            self._above[self.root(a)] = self.root(b)

    def numbers(self) -> dict[Node, int]:
        """Pole -> number of its group, in the order of the poles."""
        order: dict[Node, int] = {}
        return {node: order.setdefault(self.root(node), len(order)) for node in self._above}


def lay_out(elements: Elements, failed: Mapping[Node, Reason] | None = None) -> Layout:
    """Points, rails, islands and rows. `failed`: islands, by name, that are known to have no solution.

    A converter that is not fed itself joins nothing to a live island: what hangs on it alone has no source.
    """
    joining = elements.transfers
    while True:
        layout = _lay_out(msgspec.structs.replace(elements, transfers=joining), failed or {})
        still = tuple(each for each in joining if not _is_loose(each, layout))
        if len(still) == len(joining):
            return layout
        joining = still


def _is_loose(transfer: Transfer, layout: Layout) -> bool:
    """Whether it would hang its outputs on a live island and give them nothing."""
    output = transfer.supply or transfer.source
    return output is not None and layout.is_live(output.a, output.b) and not layout.is_live(transfer.a, transfer.b)


def _lay_out(elements: Elements, failed: Mapping[Node, Reason]) -> Layout:
    groups = Groups(elements.nodes)
    for transfer in elements.transfers:
        groups.join([(node, node) for node in (transfer.output, transfer.output_return)])
    groups.join(elements.joined)
    points = groups.numbers()
    conductors = [(each.a, each.b) for each in elements.branches]
    groups.join(conductors + [(valve.a, valve.b) for valve in _diodes(elements)])
    rails = groups.numbers()
    groups.join((each.a, each.b) for each in (*elements.supplies, *_charging(elements), *_outputs(elements.transfers)))
    numbers = groups.numbers()
    islands = _islands(elements, numbers, failed)
    rows, size = _rows(points, numbers, islands)
    return Layout(points, rails, numbers, rows, islands, size)


def _diodes(elements: Elements) -> list[Valve]:
    outlets = [valve for transfer in elements.transfers for valve in transfer.outlets]
    return [valve for valve in elements.valves if valve.limit_a is None] + outlets


def _charging(elements: Elements) -> list[Valve]:
    return [valve for valve in elements.valves if valve.limit_a is not None]


def _outputs(transfers: Iterable[Transfer]) -> list[Supply | Valve]:
    return [got for transfer in transfers if (got := transfer.supply or transfer.source) is not None]


def _islands(elements: Elements, numbers: Mapping[Node, int], failed: Mapping[Node, Reason]) -> tuple[Island, ...]:
    members: dict[int, list[Node]] = {}
    for node, number in numbers.items():
        members.setdefault(number, []).append(node)
    names = _references(elements, numbers, members)
    dead = {number: failed[name] for number, name in names.items() if name in failed}
    live = _live(elements, numbers, set(dead))
    return tuple(
        Island(names[number], nodes[0][2] in AC_POLES, tuple(nodes), "live" if number in live else dead.get(number, "no-source"))
        for number, nodes in sorted(members.items())
    )  # fmt: skip


def _references(elements: Elements, numbers: Mapping[Node, int], members: Mapping[int, list[Node]]) -> dict[int, Node]:
    """The reference pole of each island: the return of its first supply, else of what else feeds it."""
    names = {number: nodes[0] for number, nodes in members.items()}
    for each in (*_outputs(elements.transfers), *reversed(_charging(elements)), *reversed(elements.supplies)):
        names[numbers[each.a]] = each.a
    return names


def _live(elements: Elements, numbers: Mapping[Node, int], dead: set[int]) -> set[int]:
    """Islands with a source that works by itself, and those that converters feed out of live ones."""
    every: tuple[Supply | Valve, ...] = (*elements.supplies, *_charging(elements))
    sources = [each for each in every if _gives(each)]
    live = {numbers[each.b] for each in sources} - dead
    while True:
        fed = {
            numbers[transfer.output]
            for transfer in elements.transfers
            if _gives(transfer.supply or transfer.source) and works(transfer, numbers, live)
        } - dead
        if fed <= live:
            return live
        live |= fed


def _gives(source: Supply | Valve | None) -> bool:
    """Whether it can give anything: one whose rating is not known is counted with none, and feeds no island by itself."""
    return source is not None and (isinstance(source, Supply) or source.limit_a is None or source.limit_a.real > 0)


def works(transfer: Transfer, numbers: Mapping[Node, int], live: set[int]) -> bool:
    """Whether both poles of its input are in one live island."""
    at = numbers.get(transfer.a, NOWHERE)
    return at == numbers.get(transfer.b) and at in live


def _rows(
    points: Mapping[Node, int], numbers: Mapping[Node, int], islands: Sequence[Island]
) -> tuple[dict[Node, int], tuple[int, int]]:
    row_of_point: dict[int, int] = {points[island.name]: REFERENCE for island in islands if island.reason == "live"}
    size = [0, 0]
    rows: dict[Node, int] = {}
    for node, point in points.items():
        island = islands[numbers[node]]
        if island.reason != "live":
            rows[node] = NOWHERE
        elif point not in row_of_point:
            row_of_point[point] = size[island.ac]
            size[island.ac] += 1
        rows.setdefault(node, row_of_point.get(point, NOWHERE))
    return rows, (size[0], size[1])

"""The last resort of routing: the cheapest way over the module grid (A*), for runs that no usual shape fits."""

from __future__ import annotations

import heapq
from collections.abc import Iterator

from engine.drawing.tracks import BLOCKED, LEVEL, UPRIGHT, Node, Tracks

Way = tuple[int, int]
MOST_STEPS = 8_000
LEVEL_WAYS = (0, 1)
"""Numbers of the ways to the right and left; 2 and 3 are down and up."""


def search(
    tracks: Tracks, start: Node, out_a: Way, end: Node, out_b: Way, price: tuple[float, float, float]
) -> tuple[float, tuple[Node, ...]] | None:
    """(cost, corners) from exit to exit; None where there is no way, or none within a fixed number of steps.

    `price` is that of a bend, of a crossing and of a node beside another line. A state is a node and the way by which
    it was entered, as one integer: 4 · (row · columns + column) + way.
    """
    grid = _Grid(tracks, start, end, price)
    first = 4 * grid.start + _way_number(out_a)
    barred, arrive = _way_number(out_b), _way_number((-out_b[0], -out_b[1]))
    cost: dict[int, float] = {first: 0.0}
    came: dict[int, int] = {}
    queue = [(grid.least(grid.start), first)]
    for _ in range(MOST_STEPS):
        if not queue:
            return None
        here = heapq.heappop(queue)[1]
        if here >> 2 == grid.end and here & 3 != barred:
            return cost[here] + (price[0] if here & 3 != arrive else 0.0), _corners(grid, came, here)
        base = cost[here]
        for there, step in grid.moves(here):
            total = base + step
            if total < cost.get(there, 1e9):
                cost[there], came[there] = total, here
                heapq.heappush(queue, (total + grid.least(there >> 2), there))
    return None


def _way_number(way: Way) -> int:
    return ((1, 0), (-1, 0), (0, 1), (0, -1)).index(way)


class _Grid:
    """The tracks as one array of cells."""

    def __init__(self, tracks: Tracks, start: Node, end: Node, price: tuple[float, float, float]) -> None:
        self.cells, self.columns = tracks.cells, tracks.columns
        self.steps = (1, -1, self.columns, -self.columns)
        self.start = start[1] * self.columns + start[0] if tracks.holds(start) else 0
        self.end = end[1] * self.columns + end[0] if tracks.holds(end) else 0
        self.end_x, self.end_y = end
        self.bend, self.crossing, self.beside = price
        self.last = len(self.cells) - self.columns

    def least(self, cell: int) -> float:
        """What is left at the least: the distance and a bend where the end is not straight ahead."""
        dx, dy = abs(cell % self.columns - self.end_x), abs(cell // self.columns - self.end_y)
        return dx + dy + (self.bend if dx and dy else 0.0)

    def moves(self, state: int) -> Iterator[tuple[int, float]]:
        """The states one step on, with what the step costs; a line that is crossed is crossed straight."""
        cell, way = state >> 2, state & 3
        busy = cell != self.start and self.cells[cell] & (LEVEL | UPRIGHT)
        for turn in range(4):
            if turn == way ^ 1 or (busy and turn != way):
                continue
            there = cell + self.steps[turn]
            if not self.columns <= there < self.last:
                continue
            step = 1.0 if there == self.end else self._enter(there, turn)
            if step:
                yield 4 * there + turn, step + (self.bend if turn != way else 0.0)

    def _enter(self, cell: int, way: int) -> float:
        """What a step onto a cell costs; 0: it may not be."""
        flags = self.cells[cell]
        along, across, side = (LEVEL, UPRIGHT, self.columns) if way < 2 else (UPRIGHT, LEVEL, 1)
        if flags & (BLOCKED | along):
            return 0.0
        cost = 1.0 + (self.crossing if flags & across else 0.0)
        if self.cells[cell - side] & along:
            cost += self.beside
        return cost + (self.beside if self.cells[cell + side] & along else 0.0)


def _corners(grid: _Grid, came: dict[int, int], here: int) -> tuple[Node, ...]:
    nodes = [here >> 2]
    while here in came:
        here = came[here]
        nodes.append(here >> 2)
    return tuple((cell % grid.columns, cell // grid.columns) for cell in reversed(nodes))

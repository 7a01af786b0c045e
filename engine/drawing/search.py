"""The last resort of routing: the cheapest way over the module grid (A*), for runs that no usual shape fits."""

from __future__ import annotations

import heapq
from collections.abc import Mapping

from engine.drawing.tracks import LEVEL, NEAR, SOLID, UPRIGHT, Node, Tracks

Way = tuple[int, int]
MOST_STEPS = 40_000
FREE_STATES = 1200
"""An end that can be reached from that many states is not walled in."""
TURNS = tuple(tuple(turn for turn in range(4) if turn != way ^ 1) for way in range(4))
"""The ways in which one may go on from each: never back."""


class Steps:
    """How many steps the searches of one drawing may still take together: what bounds its time."""

    def __init__(self, left: int) -> None:
        self.left = left


def search(
    tracks: Tracks,
    starts: Mapping[Node, Way],
    ends: Mapping[Node, Way],
    price: tuple[float, float, float],
    steps: Steps,
) -> tuple[float, tuple[Node, ...]] | None:
    """(cost, corners) from an exit to an exit; None where there is no way, or none within the steps that are left.

    `starts` and `ends` give each exit and the way out of its part; `price` is that of a bend, of a crossing and of a
    node beside another line. A state is a node and the way by which it was entered, as one integer:
    4 · (row · columns + column) + way.
    """
    grid = _Grid(tracks, starts, ends, price)
    if grid.is_walled_in():
        return None
    cost: dict[int, float] = {4 * cell + way: 0.0 for cell, way in grid.starts.items()}
    came: dict[int, int] = {}
    queue = [(grid.least(state >> 2), 0.0, state) for state in cost]
    heapq.heapify(queue)
    for _ in range(min(MOST_STEPS, steps.left)):
        steps.left -= 1
        if not queue:
            return None
        here = heapq.heappop(queue)[2]
        out = grid.ends.get(here >> 2)
        if out is not None and here & 3 != out:
            return cost[here] + (price[0] if here & 3 != out ^ 1 else 0.0), _corners(grid, came, here)
        base = cost[here]
        for there, step in grid.moves(here):
            total = base + step
            if total < cost.get(there, 1e9):
                cost[there], came[there] = total, here
                left = grid.least(there >> 2)
                heapq.heappush(queue, (total + left, left, there))  # of equal ways the one that is nearly there
    return None


def _way_number(way: Way) -> int:
    """Right, left, down, up: a way and its opposite differ in the last bit."""
    return ((1, 0), (-1, 0), (0, 1), (0, -1)).index(way)


class _Grid:
    """The tracks as one array of cells."""

    def __init__(
        self, tracks: Tracks, starts: Mapping[Node, Way], ends: Mapping[Node, Way], price: tuple[float, float, float]
    ) -> None:
        self.cells, self.columns = tracks.cells, tracks.columns
        self.steps = (1, -1, self.columns, -self.columns)
        self.starts = {y * self.columns + x: _way_number(way) for (x, y), way in starts.items() if tracks.holds((x, y))}
        self.ends = {y * self.columns + x: _way_number(way) for (x, y), way in ends.items() if tracks.holds((x, y))}
        self.distances: dict[int, float] = {}
        self.entered: dict[int, float] = {}
        self.barred = SOLID if tracks.tight else NEAR
        self.targets = list(ends)
        self.bend, self.crossing, self.beside = price
        self.last = len(self.cells) - self.columns

    def is_walled_in(self) -> bool:
        """Whether no end can be reached from more than a few states: then nothing need be searched from the starts."""
        queue = [(cell, way) for cell, out in self.ends.items() for way in range(4) if way != out]
        seen = set(queue)
        while queue and len(seen) < FREE_STATES:
            cell, way = queue.pop()
            before = cell - self.steps[way]
            if before in self.starts:
                return False
            fresh = {(before, turn) for turn in TURNS[way] if self._leads(before, turn, way)} - seen
            seen |= fresh
            queue += fresh
        return not queue

    def _leads(self, cell: int, came: int, way: int) -> bool:
        """Whether one may enter a cell by one way and leave it by another: a line is crossed straight."""
        if not self._enter(cell, came):
            return False
        return came == way or not self.cells[cell] & (LEVEL | UPRIGHT)

    def least(self, cell: int) -> float:
        """What is left at the least: the distance and a bend where no end is straight ahead."""
        known = self.distances.get(cell)
        if known is None:
            y, x = divmod(cell, self.columns)
            known = min(self._least(abs(x - end_x), abs(y - end_y)) for end_x, end_y in self.targets)
            self.distances[cell] = known
        return known

    def _least(self, dx: int, dy: int) -> float:
        return dx + dy + (self.bend if dx and dy else 0.0)

    def moves(self, state: int) -> list[tuple[int, float]]:
        """The states one step on, with what the step costs; a line that is crossed is crossed straight."""
        cell, way = state >> 2, state & 3
        straight = cell not in self.starts and self.cells[cell] & (LEVEL | UPRIGHT)
        found = []
        for turn in (way,) if straight else TURNS[way]:
            there = cell + self.steps[turn]
            step = self._enter(there, turn)
            if step:
                found.append((4 * there + turn, step if turn == way else step + self.bend))
        return found

    def _enter(self, cell: int, way: int) -> float:
        """What a step onto a cell costs; 0: it may not be. Known costs are kept: the tracks stand still meanwhile."""
        key = 2 * cell + (way >> 1)
        known = self.entered.get(key)
        if known is None:
            known = self.entered[key] = self._entry(cell, way)
        return known

    def _entry(self, cell: int, way: int) -> float:
        if cell in self.ends:
            return 1.0
        if not self.columns <= cell < self.last:
            return 0.0
        along, across, side = (LEVEL, UPRIGHT, self.columns) if way < 2 else (UPRIGHT, LEVEL, 1)
        if self.cells[cell] & (self.barred | along):
            return 0.0
        beside = (self.cells[cell - side] & along > 0) + (self.cells[cell + side] & along > 0)
        return 1.0 + (self.crossing if self.cells[cell] & across else 0.0) + self.beside * beside


def _corners(grid: _Grid, came: dict[int, int], here: int) -> tuple[Node, ...]:
    nodes = [here >> 2]
    while here in came:
        here = came[here]
        nodes.append(here >> 2)
    return tuple((cell % grid.columns, cell // grid.columns) for cell in reversed(nodes))

"""The module grid of a sheet while runs are led over it: what is blocked and where lines already lie.

Rows and columns are kept as bit sets (one integer a row), so that a whole stretch is tested at once. A working
object: it is made for one drawing and thrown away. Knows nodes (column, row) only, no parts and no runs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from engine.drawing.metrics import Box
from engine.drawing.outline import Point
from engine.model.sheets import MODULE_MM

Node = tuple[int, int]
NEAR, LEVEL, UPRIGHT, SOLID = 1, 2, 4, 8
"""Flags of a cell: too near to something; a level line, an upright line lies here; inside something."""

_WITH = {flags: bytes(cell | flags for cell in range(256)) for flags in (NEAR, NEAR | SOLID)}
"""For each kind of blocking what a cell becomes by it."""

MARGIN = 24
"""Columns and rows kept left of and above the sheet, for what is dragged off it."""


def node_at(x_mm: float, y_mm: float) -> Node:
    """The node nearest to a point of the sheet."""
    return round(x_mm / MODULE_MM) + MARGIN, round(y_mm / MODULE_MM) + MARGIN


def point_at(node: Node) -> Point:
    """Where a node lies on the sheet, mm."""
    return (node[0] - MARGIN) * MODULE_MM, (node[1] - MARGIN) * MODULE_MM


def span(a: int, b: int) -> int:
    """The bits from a to b, both included, in either order."""
    low, high = (a, b) if a <= b else (b, a)
    return ((1 << (high - low + 1)) - 1) << low


class Tracks:
    """Blocked nodes and occupied nodes, by row and by column.

    Lines keep a clearance off things; `tight` lets them come nearer, but never inside.
    """

    def __init__(self, width_mm: float, height_mm: float) -> None:
        self.columns = math.ceil(width_mm / MODULE_MM) + 2 * MARGIN
        self.rows = math.ceil(height_mm / MODULE_MM) + 2 * MARGIN
        self.cells = bytearray(self.columns * self.rows)
        self.tight = False
        self._near_row, self._near_column = [0] * self.rows, [0] * self.columns
        self._solid_row, self._solid_column = [0] * self.rows, [0] * self.columns
        self.level_row = [0] * self.rows
        self.level_column = [0] * self.columns
        self.upright_row = [0] * self.rows
        self.upright_column = [0] * self.columns

    def block(self, box: Box, clearance_mm: float) -> None:
        """Keep lines off a box: every node nearer to it than the clearance, and never a node inside."""
        if clearance_mm > 0.0:
            self._block(box, 0.0, self._solid_row, self._solid_column, NEAR | SOLID)
        self._block(box, clearance_mm, self._near_row, self._near_column, NEAR)

    def _block(self, box: Box, clearance_mm: float, rows: list[int], columns: list[int], flags: int) -> None:
        left, top = _first(box[0] - clearance_mm), _first(box[1] - clearance_mm)
        right, foot = _last(box[2] + clearance_mm), _last(box[3] + clearance_mm)
        left, right = max(left, 0), min(right, self.columns - 1)
        top, foot = max(top, 0), min(foot, self.rows - 1)
        if left > right or top > foot:
            return
        across, down = span(left, right), span(top, foot)
        for row in range(top, foot + 1):
            rows[row] |= across
            stretch = slice(row * self.columns + left, row * self.columns + right + 1)
            self.cells[stretch] = self.cells[stretch].translate(_WITH[flags])
        for column in range(left, right + 1):
            columns[column] |= down

    def block_outside(self, field: Box) -> None:
        """Keep lines inside the field."""
        far = MARGIN * MODULE_MM
        right, foot = (self.columns - MARGIN) * MODULE_MM, (self.rows - MARGIN) * MODULE_MM
        self.block((-far, -far, right, field[1]), 0.1)
        self.block((-far, field[3], right, foot), 0.1)
        self.block((-far, -far, field[0], foot), 0.1)
        self.block((field[2], -far, right, foot), 0.1)

    def block_node(self, node: Node) -> None:
        """Reserve one node."""
        if self.holds(node):
            for rows, columns in ((self._near_row, self._near_column), (self._solid_row, self._solid_column)):
                rows[node[1]] |= 1 << node[0]
                columns[node[0]] |= 1 << node[1]
            self.cells[node[1] * self.columns + node[0]] |= NEAR | SOLID

    def holds(self, node: Node) -> bool:
        """Whether the node is on the grid at all."""
        return 0 <= node[0] < self.columns and 0 <= node[1] < self.rows

    def lay(self, corners: Sequence[Node]) -> None:
        """Mark a line as lying there."""
        for a, b in pairwise(corners):
            self._mark(a, b)

    def lift(self, corners: Sequence[Node], others: Sequence[Sequence[Node]]) -> None:
        """Take a line away; `others` are the lines that share nodes with it and stay."""
        for a, b in pairwise(corners):
            self._clear(a, b)
        for other in others:
            self.lay(other)

    def _mark(self, a: Node, b: Node) -> None:
        if not (self.holds(a) and self.holds(b)):
            return
        if a[1] == b[1]:
            self.level_row[a[1]] |= span(a[0], b[0])
            for column in _between(a[0], b[0]):
                self.level_column[column] |= 1 << a[1]
                self.cells[a[1] * self.columns + column] |= LEVEL
        else:
            self.upright_column[a[0]] |= span(a[1], b[1])
            for row in _between(a[1], b[1]):
                self.upright_row[row] |= 1 << a[0]
                self.cells[row * self.columns + a[0]] |= UPRIGHT

    def _clear(self, a: Node, b: Node) -> None:
        if not (self.holds(a) and self.holds(b)):
            return
        if a[1] == b[1]:
            self.level_row[a[1]] &= ~span(a[0], b[0])
            for column in _between(a[0], b[0]):
                self.level_column[column] &= ~(1 << a[1])
                self.cells[a[1] * self.columns + column] &= ~LEVEL
        else:
            self.upright_column[a[0]] &= ~span(a[1], b[1])
            for row in _between(a[1], b[1]):
                self.upright_row[row] &= ~(1 << a[0])
                self.cells[row * self.columns + a[0]] &= ~UPRIGHT

    def occupied(self, node: Node) -> bool:
        """Whether a line passes or bends here."""
        return self.holds(node) and bool((self.level_row[node[1]] | self.upright_row[node[1]]) >> node[0] & 1)

    def stretch(self, a: Node, b: Node, exempt: tuple[Node, ...]) -> tuple[int, int] | None:
        """(crossings, nodes beside another line) of a straight stretch; None where it may not lie, or off the grid."""
        if not (self.holds(a) and self.holds(b)):
            return None
        if a[1] == b[1]:
            at, start, end, limit = a[1], a[0], b[0], self.rows
            blocked = self._solid_row if self.tight else self._near_row
            along, across = self.level_row, self.upright_row
            spare = _bits([node[0] for node in exempt if node[1] == at])
        else:
            at, start, end, limit = a[0], a[1], b[1], self.columns
            blocked = self._solid_column if self.tight else self._near_column
            along, across = self.upright_column, self.level_column
            spare = _bits([node[1] for node in exempt if node[0] == at])
        mask = span(start, end) & ~spare
        if (blocked[at] | along[at]) & mask:
            return None
        beside = (along[at - 1] & mask).bit_count() + (along[(at + 1) % limit] & mask).bit_count()
        return (across[at] & mask).bit_count(), beside


def _bits(at: Sequence[int]) -> int:
    found = 0
    for one in at:
        found |= 1 << one
    return found


def _first(value_mm: float) -> int:
    """The first grid line strictly behind the value."""
    return math.floor(value_mm / MODULE_MM + 1e-6) + 1 + MARGIN


def _last(value_mm: float) -> int:
    return math.ceil(value_mm / MODULE_MM - 1e-6) - 1 + MARGIN


def _between(a: int, b: int) -> range:
    return range(min(a, b), max(a, b) + 1)


def unit_nodes(corners: Sequence[Node]) -> Iterator[Node]:
    """Every node along a line, in order, each once."""
    yield corners[0]
    for a, b in pairwise(corners):
        dx, dy = _sign(b[0] - a[0]), _sign(b[1] - a[1])
        here = a
        while here != b:
            here = (here[0] + dx, here[1] + dy)
            yield here


def _sign(value: int) -> int:
    return (value > 0) - (value < 0)

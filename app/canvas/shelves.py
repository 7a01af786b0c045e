"""Finds the items near a box of the sheet without looking at all of them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from PySide6.QtCore import QRectF

CELL_MM = 60.0
MOST_CELLS = 64
"""An item that lies in more cells (the frame, say) is always given."""

Cell = tuple[int, int]


class Shelves:
    """Numbers of boxes by the cells of the sheet that they touch."""

    def __init__(self, boxes: Sequence[QRectF]) -> None:
        self._everywhere: set[int] = set()
        self._in: dict[Cell, list[int]] = {}
        for number, box in enumerate(boxes):
            columns, rows = _cells(box)
            if len(columns) * len(rows) > MOST_CELLS:
                self._everywhere.add(number)
                continue
            for cell in product(columns, rows):
                self._in.setdefault(cell, []).append(number)

    def near(self, box: QRectF) -> list[int] | None:
        """The numbers of all that may touch the box, in order; None where that is most of them anyway."""
        columns, rows = _cells(box)
        if len(columns) * len(rows) * 2 > len(self._in):
            return None
        found = set(self._everywhere)
        for cell in product(columns, rows):
            found.update(self._in.get(cell, ()))
        return sorted(found)


def _cells(box: QRectF) -> tuple[range, range]:
    """Columns and rows of the cells that a box touches."""
    across = range(int(box.left() // CELL_MM), int(box.right() // CELL_MM) + 1)
    return across, range(int(box.top() // CELL_MM), int(box.bottom() // CELL_MM) + 1)

"""Items near a box: none that touches it is missed."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF

from app.canvas.shelves import CELL_MM, MOST_CELLS, Shelves

AT = st.floats(-300, 900)
SIZE = st.floats(0, 700)
BOXES = st.builds(QRectF, AT, AT, SIZE, SIZE)


@given(st.lists(BOXES, max_size=40), BOXES)
def test_whatever_touches_the_box_is_given_in_order(boxes: list[QRectF], box: QRectF) -> None:
    near = Shelves(boxes).near(box)
    if near is not None:
        assert near == sorted(set(near))
        assert {number for number, each in enumerate(boxes) if each.intersects(box)} <= set(near)


def test_few_are_given_and_what_lies_everywhere_always() -> None:
    side = CELL_MM * (MOST_CELLS + 1)
    boxes = [QRectF(0, 0, side, side), *(QRectF(CELL_MM * at + 5, 5, 10, 10) for at in range(100))]
    assert Shelves(boxes).near(QRectF(CELL_MM * 50, 0, 20, 20)) == [0, 51]
    assert Shelves(boxes).near(QRectF(0, 0, side, CELL_MM)) is None

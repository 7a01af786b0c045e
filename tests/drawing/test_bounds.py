"""Boxes of display items: what is found by a click and what may not overlap."""

from __future__ import annotations

from engine.drawing.bounds import item_box, items_box, moved, overlap, texts
from engine.drawing.display import Group, Image, Path, Pen, Text
from engine.drawing.metrics import text_box
from engine.drawing.outline import line, rectangle

LINE = Path(line(10, 10, 30, 10), Pen("ink", 1.0))
LABEL = Text(10, 20, "-F3")
PICTURE = Image(50, 60, 10, 5, b"")


def test_a_stroke_counts_with_its_width() -> None:
    assert item_box(LINE) == (9.5, 9.5, 30.5, 10.5)
    assert item_box(Path(rectangle(0, 0, 5, 5), fill="paper")) == (0, 0, 5, 5)


def test_a_group_is_as_large_as_what_is_in_it() -> None:
    group = Group("part:p1", (LINE, Group("inner", (PICTURE,))))
    assert item_box(group) == (9.5, 9.5, 60, 65)
    assert item_box(Group("empty", ())) is None
    assert items_box(()) is None


def test_moving_moves_the_box() -> None:
    for item in (LINE, LABEL, PICTURE, Group("all", (LINE, LABEL, PICTURE))):
        before, after = item_box(item), item_box(moved(item, 5.0, -2.5))
        assert before
        assert after == (before[0] + 5.0, before[1] - 2.5, before[2] + 5.0, before[3] - 2.5)


def test_boxes_that_only_touch_do_not_overlap() -> None:
    assert not overlap((0, 0, 10, 10), (10, 0, 20, 10))
    assert overlap((0, 0, 10, 10), (10, 0, 20, 10), clearance_mm=0.5)
    assert overlap((0, 0, 10, 10), (9, 9, 20, 10))


def test_texts_are_found_in_groups() -> None:
    assert [text_box(text) for text in texts((Group("a", (LINE, LABEL)),))] == [text_box(LABEL)]

"""Tables: widths, wrapping, links, rows that are not left alone."""

from __future__ import annotations

import pytest

from engine.drawing.bounds import items_box, texts
from engine.papers.table import Cell, Column, Row, Style, fitted_mm, height_of, table, widths_mm
from engine.papers.text_flow import flow
from tests.papers.page_checks import keys_on

COLUMNS = (Column("Name", 30), Column("A", 10, "end"))


def test_widths_fill_the_table() -> None:
    assert widths_mm(COLUMNS, 80.0) == pytest.approx((60.0, 20.0))


def test_a_long_text_makes_its_row_deeper_and_stays_in_its_column() -> None:
    short, long = table(
        COLUMNS, [Row(("pump", "3")), Row(("a pump with a very long name indeed " * 4, "3"))], Style(80.0)
    )
    assert long.height_mm > 2 * short.height_mm
    box = items_box(texts(long.items))
    assert box is not None
    assert box[2] <= 80.0


def test_rows_are_anchors_and_cells_are_links() -> None:
    (row,) = table(COLUMNS, [Row((Cell("pump", link="s1/p3"), "3"), anchor="index/p3")], Style(80.0))
    assert {"anchor:index/p3", "link:s1/p3"} <= set(keys_on(row.items))


def test_no_row_is_left_alone_before_or_after_a_break() -> None:
    blocks = table(COLUMNS, [Row((str(n), "1")) for n in range(10)], Style(80.0))
    head = blocks[0].head
    assert head is not None
    columns = flow(blocks, head.height_mm + 9 * blocks[0].height_mm + 0.1)
    assert [len(column) - 1 for column in columns] == [8, 2]


def test_the_height_counts_the_head() -> None:
    blocks = table(COLUMNS, [Row(("pump", "3"))], Style(80.0))
    assert blocks[0].head is not None
    assert height_of(blocks) == pytest.approx(blocks[0].height_mm + blocks[0].head.height_mm)


def test_no_word_is_broken_while_another_column_has_room() -> None:
    """“Insulatio n °C” and “150–17 5” stood in the run list, with room to give beside them."""
    columns = (Column("Insulation °C", 1, "end"), Column("Name", 9))
    block = table(columns, [Row(("28985–30218", "pump")), Row(("1", "fan"))], Style(80.0))[0]
    assert block.head is not None
    assert "Insulation" in " ".join(text.string for text in texts(block.head.items))
    assert "28985–30218" in [text.string for text in texts(block.items)]


def test_widths_that_cannot_serve_stay_as_they_are_shared() -> None:
    rows = [Row(("extraordinarily", "extraordinarily"))]
    assert fitted_mm(COLUMNS, rows, Style(20.0)) == widths_mm(COLUMNS, 20.0)


def test_a_row_that_goes_on_is_not_parted_from_the_one_before() -> None:
    rows = [Row((str(n), "1"), goes_on=n == 4) for n in range(8)]
    blocks = table(COLUMNS, rows, Style(80.0))
    assert [block.keeps for block in blocks] == [True, False, False, True, False, False, True, False]

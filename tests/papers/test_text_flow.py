"""Blocks into columns: heads repeated, clusters kept, no white space on top."""

from __future__ import annotations

from engine.drawing.display import Text
from engine.papers.text_flow import Block, flow, gap, heading, paragraph

HEAD = Block(5.0, (Text(0, 4, "head"),))
LINE = (Text(0, 4, "row"),)


def heights(column: tuple[object, ...]) -> list[float]:
    return [placed.y_mm for placed in column]  # type: ignore[attr-defined]


def test_a_table_repeats_its_head_in_every_column() -> None:
    rows = [Block(10.0, LINE, head=HEAD) for _ in range(5)]
    columns = flow(rows, 35.0)
    assert [len(column) for column in columns] == [4, 3]
    assert all(column[0].block is HEAD for column in columns)
    assert heights(columns[0]) == [0.0, 5.0, 15.0, 25.0]


def test_two_tables_have_a_head_each() -> None:
    other = Block(5.0, (Text(0, 4, "other"),))
    columns = flow([Block(10.0, LINE, head=HEAD), Block(10.0, LINE, head=other)], 100.0)
    assert [placed.block for placed in columns[0] if placed.block in (HEAD, other)] == [HEAD, other]


def test_a_heading_goes_with_what_follows_it() -> None:
    columns = flow([Block(90.0, LINE), heading("Next", 100.0), paragraph("Text", 100.0)], 105.0)
    assert len(columns) == 2
    assert columns[1][0].block.section == "Next"


def test_white_space_is_left_out_at_the_top() -> None:
    columns = flow([Block(95.0, LINE), gap(10.0), Block(20.0, LINE)], 100.0)
    assert [len(column) for column in columns] == [1, 1]
    assert columns[1][0].y_mm == 0.0


def test_a_block_higher_than_the_column_stands_alone() -> None:
    columns = flow([Block(10.0, LINE), Block(300.0, LINE), Block(10.0, LINE)], 100.0)
    assert [len(column) for column in columns] == [1, 1, 1]


def test_nothing_gives_no_column() -> None:
    assert flow([], 100.0) == ()

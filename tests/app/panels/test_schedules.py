"""Schedules: tables in step with the sheet, edited and pasted into, one step of undo, all or nothing."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.panels.pasting import cells_of
from app.panels.tables import KEY_ROLE
from app.workbench import Workbench
from engine.model.lookup import parts_by_id, runs_by_id
from engine.model.network import Position


def open_table(bench: Workbench, name: str) -> None:
    bench.window.dock("schedules").bring()
    bench.panes.schedules.show_table(name)
    QGuiApplication.processEvents()


def column(bench: Workbench, key: str) -> int:
    return [one.field.key for one in bench.panes.schedules.view.table.columns].index(key)


def paste(bench: Workbench, text: str, row: int, key: str) -> None:
    view = bench.panes.schedules.view
    view.setCurrentIndex(view.sorter.index(row, column(bench, key)))
    QGuiApplication.clipboard().setText(text)
    QTest.keyClick(view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)


def ways(bench: Workbench) -> tuple[Position, ...]:
    return parts_by_id(bench.store.document.network)["p4"].positions


@pytest.mark.parametrize("name", ["circuits", "runs", "loads", "panels"])
def test_tables_show_the_boat(bench: Workbench, name: str) -> None:
    open_table(bench, name)
    table = bench.panes.schedules.view.table
    expected = {
        "circuits": len(ways(bench)),
        "runs": len(bench.store.document.network.runs),
        "loads": 1,
        "panels": 1,
    }
    assert table.rowCount() == expected[name]
    for row in range(table.rowCount()):
        for at in range(table.columnCount()):
            assert table.index(row, at).data() is not None


def test_a_cell_is_typed_into(bench: Workbench, qtbot: QtBot) -> None:
    open_table(bench, "runs")
    view = bench.panes.schedules.view
    view.setCurrentIndex(view.sorter.index(1, column(bench, "length_m")))
    QTest.keyClick(view, Qt.Key.Key_Return)
    editor = view.viewport().findChild(QLineEdit)
    assert isinstance(editor, QLineEdit)
    editor.setText("12 ft")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: runs_by_id(bench.store.document.network)["w7"].length_m == pytest.approx(3.6576))
    assert view.sorter.index(1, column(bench, "length_m")).data() == "12 ft"


def test_tables_follow_the_sheet(bench: Workbench) -> None:
    open_table(bench, "runs")
    view = bench.panes.schedules.view
    bench.view.setFocus()
    bench.selection.set(("run:w8",))
    assert view.currentIndex().data(KEY_ROLE) == "run:w8"
    bench.window.menus.run("delete")
    assert "run:w8" not in {row.key for row in view.table.rows}
    bench.window.menus.run("undo")
    assert "run:w8" in {row.key for row in view.table.rows}


def test_picking_a_row_selects_on_the_sheet(bench: Workbench) -> None:
    open_table(bench, "circuits")
    view = bench.panes.schedules.view
    view.setFocus()
    view.setCurrentIndex(view.sorter.index(0, 2))
    assert bench.selection.keys == {"position:p4/1"}


def test_a_spreadsheet_is_pasted_in_one_step(bench: Workbench) -> None:
    open_table(bench, "circuits")
    steps = bench.store.undo_stack.count()
    count = len(ways(bench))
    lines = [f"Circuit {n}\tused\tfuse\t{5 * n} A\t20" for n in range(1, count + 1)]
    paste(bench, "\n".join(lines), 0, "label")
    assert [way.label for way in ways(bench)] == [f"Circuit {n}" for n in range(1, count + 1)]
    assert {way.device for way in ways(bench)} == {"fuse"}
    assert ways(bench)[1].rating_a == 10.0
    assert {way.holder_largest_a for way in ways(bench)} == {20.0}
    assert bench.store.undo_stack.count() == steps + 1
    bench.window.menus.run("undo")
    assert ways(bench)[0].label == ""


def test_headings_lead_each_column_to_its_own(bench: Workbench) -> None:
    open_table(bench, "runs")
    paste(bench, "Length\tSize\r\n2 m\t10 AWG\r\n3 m\t8 AWG\r\n", 0, "number")
    runs = bench.store.document.network.runs
    assert [(run.length_m, run.size) for run in runs[:2]] == [(2.0, "10 AWG"), (3.0, "8 AWG")]


@pytest.mark.parametrize(
    ("text", "row", "key", "words"),
    [
        ("1\n2\n3\n4\n5\n6", 0, "length_m", "do not fit"),
        ("2 m\nlong", 0, "length_m", "Row 2"),
        ("13 stones", 0, "size", "conductor size"),
        ("W1", 1, "from", "cannot be filled in"),
        ("", 0, "number", "no text"),
    ],
)
def test_what_cannot_be_pasted_changes_nothing_and_is_said(
    bench: Workbench, text: str, row: int, key: str, words: str
) -> None:
    open_table(bench, "runs")
    before = bench.store.document
    paste(bench, text, row, key)
    assert bench.store.document is before
    assert words in bench.window.notes.text


def test_empty_cells_leave_what_is_there(bench: Workbench) -> None:
    open_table(bench, "runs")
    paste(bench, "2 m\n\n4 m", 0, "length_m")
    assert [run.length_m for run in bench.store.document.network.runs] == [2.0, None, 4.0]


def test_copied_cells_paste_back_as_they_were(bench: Workbench) -> None:
    open_table(bench, "runs")
    paste(bench, "2 m\n3 m\n4 m", 0, "length_m")
    view = bench.panes.schedules.view
    view.selectColumn(column(bench, "length_m"))
    QTest.keyClick(view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert len(QGuiApplication.clipboard().text().splitlines()) == 3
    bench.window.menus.run("undo")
    paste(bench, QGuiApplication.clipboard().text(), 0, "length_m")
    lengths = [run.length_m for run in bench.store.document.network.runs]
    assert lengths == pytest.approx([2.0, 3.0, 4.0], rel=1e-3)


def test_sorted_rows_take_what_is_pasted_where_it_is_seen(bench: Workbench) -> None:
    open_table(bench, "runs")
    view = bench.panes.schedules.view
    view.horizontalHeader().setSortIndicator(column(bench, "number"), Qt.SortOrder.DescendingOrder)
    shown = [view.sorter.index(row, 0).data(KEY_ROLE) for row in range(3)]
    assert shown == ["run:w8", "run:w7", "run:w6"]
    paste(bench, "7 m", 0, "length_m")
    assert runs_by_id(bench.store.document.network)["w8"].length_m == 7.0


def test_filter_and_count(bench: Workbench) -> None:
    open_table(bench, "runs")
    bench.panes.schedules.filter.setText("E1")
    assert bench.panes.schedules.view.sorter.rowCount() == 1
    assert bench.panes.schedules.count.text() == "1 of 3"


def test_cleared_cells_are_unknown(bench: Workbench) -> None:
    open_table(bench, "runs")
    paste(bench, "2 m\n3 m", 0, "length_m")
    view = bench.panes.schedules.view
    view.selectColumn(column(bench, "length_m"))
    QTest.keyClick(view, Qt.Key.Key_Delete)
    assert {run.length_m for run in bench.store.document.network.runs} == {None}
    assert len(bench.store.document.network.runs) == 3


def test_cells_with_line_ends_in_quotes() -> None:
    assert cells_of('a\t"b\nc"\r\n\td\n\n') == [["a", "b\nc"], ["", "d"]]

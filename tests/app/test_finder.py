"""The search field: actions, parts, wires, circuits, sheets and Stores; Enter goes there, Escape back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.canvas.tools.placing import PlaceTool
from app.finder import Entry
from app.store import edit_with
from app.workbench import Workbench
from engine.model.edits.fields import set_position


def find(bench: Workbench, text: str) -> None:
    bench.window.menus.run("find")
    assert bench.window.finder.hasFocus()
    QTest.keyClicks(bench.window.finder, text)


def enter(bench: Workbench) -> None:
    QTest.keyClick(bench.window.finder, Qt.Key.Key_Return)


def test_a_part_is_found_by_designation(bench: Workbench) -> None:
    find(bench, "f1")
    enter(bench)
    assert bench.selection.keys == {"part:p3"}
    assert not bench.window.finder.answers.isVisible()
    assert bench.view.hasFocus()


def test_a_wire_is_found_by_number(bench: Workbench) -> None:
    number = bench.store.document.network.runs[1].number
    find(bench, number)
    enter(bench)
    assert bench.selection.keys == {"run:w7"}


def test_a_circuit_is_found_by_name(bench: Workbench) -> None:
    bench.store.apply(edit_with(set_position, "p4", "2", label="Anchor light"), "Name")
    find(bench, "anchor li")
    enter(bench)
    assert bench.selection.keys == {"position:p4/2"}


def test_an_action_is_done(bench: Workbench) -> None:
    find(bench, "new sheet")
    enter(bench)
    assert len(bench.store.document.sheets) == 2


def test_a_part_of_stores_is_taken_in_hand(bench: Workbench) -> None:
    find(bench, "alternator")
    enter(bench)
    assert isinstance(bench.view.tool, PlaceTool)


def test_arrows_walk_the_answers(bench: Workbench) -> None:
    find(bench, "sheet")
    assert bench.window.finder.answers.count() > 2
    QTest.keyClick(bench.window.finder, Qt.Key.Key_Down)
    assert bench.window.finder.answers.currentRow() == 1
    QTest.keyClick(bench.window.finder, Qt.Key.Key_Up)
    assert bench.window.finder.answers.currentRow() == 0


def test_escape_gives_the_keyboard_back(bench: Workbench) -> None:
    bench.view.setFocus()
    find(bench, "sheet")
    QTest.keyClick(bench.window.finder, Qt.Key.Key_Escape)
    assert bench.view.hasFocus()
    assert not bench.window.finder.answers.isVisible()


def test_nothing_found_is_said(bench: Workbench) -> None:
    find(bench, "trombone")
    assert bench.window.finder.answers.item(0).text() == "Nothing is called that."
    enter(bench)
    assert bench.window.finder.hasFocus()


@pytest.mark.parametrize(
    ("words", "score"), [(["f3"], 4), (["f3", "wind"], 0), (["wind"], 0), (["f"], 3), (["bolt"], 1)]
)
def test_the_whole_name_counts_most(words: list[str], score: int) -> None:
    assert Entry("F3", "bolt-down fuse", lambda: None).score(words) == score

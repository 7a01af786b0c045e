"""The load list in Schedules: what each load draws in each condition, and its duty typed in."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.panels.load_schedule import share_of
from app.reading import FieldRefusedError
from app.workbench import Workbench
from tests.app.conftest import with_boat
from tests.app.panels.test_schedules import column, open_table
from tests.samples.boats import document


@pytest.fixture
def quill(empty_bench: Workbench, qtbot: QtBot) -> Workbench:
    bench = with_boat(empty_bench, document("quill_34"), qtbot)
    open_table(bench, "load_list")
    return bench


def cell(bench: Workbench, load: str, key: str) -> Any:
    table = bench.panes.schedules.view.table
    at = [row.record.load.part.designation for row in table.rows].index(load)
    return table.index(at, column(bench, key))


def test_it_shows_what_each_load_draws(quill: Workbench) -> None:
    assert cell(quill, "E7", "circuit").data() == "A1.7"
    assert (cell(quill, "E7", "duty.manoeuvring").data(), cell(quill, "E7", "drawn.5").data()) == ("0.3", "1.8 A")
    assert (cell(quill, "E7", "duty.alongside").data(), cell(quill, "E7", "drawn.0").data()) == ("", "0.5 A")
    assert cell(quill, "T1", "drawn.0").data() == "6 A"
    assert cell(quill, "E10", "starting_a").data() == ""


def test_a_duty_is_typed_and_taken_back(quill: Workbench) -> None:
    table, steps = quill.panes.schedules.view.table, quill.store.undo_stack.count()
    assert table.setData(cell(quill, "E3", "duty.anchor"), "100 %", Qt.ItemDataRole.EditRole)
    assert quill.store.document.network.conditions[1].duty["p35"] == 1.0
    assert cell(quill, "E3", "drawn.1").data() == "0.5 A"
    assert table.setData(cell(quill, "E3", "duty.anchor"), "", Qt.ItemDataRole.EditRole)
    assert "p35" not in quill.store.document.network.conditions[1].duty
    assert quill.store.undo_stack.count() == steps + 2
    quill.window.menus.run("undo")
    assert cell(quill, "E3", "duty.anchor").data() == "1"


def test_a_duty_that_is_none_is_refused(quill: Workbench) -> None:
    before = quill.store.document
    assert not quill.panes.schedules.view.table.setData(
        cell(quill, "E3", "duty.anchor"), "often", Qt.ItemDataRole.EditRole
    )
    assert quill.store.document is before
    assert "often" in quill.window.notes.text


@pytest.mark.parametrize(("text", "share"), [("0.4", 0.4), ("0,4", 0.4), ("40 %", 0.4), ("1", 1.0), (" ", None)])
def test_a_duty_is_read_as_people_write_it(text: str, share: float | None) -> None:
    assert share_of(text) == share


@pytest.mark.parametrize("text", ["1.5", "150 %", "-1", "half", "nan"])
def test_what_is_no_share_is_refused(text: str) -> None:
    with pytest.raises(FieldRefusedError):
        share_of(text)

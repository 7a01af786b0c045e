"""Size the boat: proposed in a thread with reasons, findings before and after, taken as one step, refused on another boat."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTableWidget
from pytestqt.qtbot import QtBot

from app.dialogs.sizing import SizingDialog
from app.workbench import Workbench
from engine.model.edits.fields import set_run_fields
from tests.app.conftest import with_boat
from tests.samples.boats import document


@pytest.fixture(name="dialog")
def dialog_fixture(empty_bench: Workbench, qtbot: QtBot) -> Iterator[SizingDialog]:
    bench = with_boat(empty_bench, document("marguerite_as_built"), qtbot)
    bench.selection.set(("run:w13", "part:p12"))
    bench.window.menus.run("size")
    made = bench.window.findChild(SizingDialog)
    assert made is not None
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    yield made
    made.close()


def proposed(dialog: SizingDialog, qtbot: QtBot) -> None:
    with qtbot.waitSignal(dialog.work.ended, timeout=60_000):
        dialog.propose.click()


def test_the_whole_boat_is_one_step_of_undo(dialog: SizingDialog, qtbot: QtBot) -> None:
    store = dialog.bench.store
    before = store.document
    assert dialog.keep.isChecked()
    assert not dialog.take.isEnabled()
    proposed(dialog, qtbot)
    assert dialog.sizing is not None
    assert dialog.table.rowCount() == len(dialog.sizing.changes) > 5
    assert "before" in dialog.said.text()
    assert "No size cures:" in dialog.said.text()
    dialog.take.click()
    assert store.document.network == dialog.sizing.document.network
    assert store.undo_stack.undoText() == "Size the boat"
    store.undo()
    assert store.document is before


def test_only_the_selection(dialog: SizingDialog, qtbot: QtBot) -> None:
    dialog.scope.setCurrentIndex(1)
    proposed(dialog, qtbot)
    texts = [dialog.table.item(row, 0).text() for row in range(dialog.table.rowCount())]
    assert "F3 Refrigerator: 20 A" in texts
    assert not any("102" in text for text in texts)


def test_it_can_be_stopped_and_is_not_taken_for_another_boat(dialog: SizingDialog, qtbot: QtBot) -> None:
    with qtbot.waitSignal(dialog.work.ended, timeout=60_000):
        dialog.begin()
        dialog.stop.click()
    assert dialog.said.text().startswith("Stopped.")
    proposed(dialog, qtbot)
    store = dialog.bench.store
    store.apply(lambda given: set_run_fields(given, "w20", note="Seen"), "Note")
    after = store.document
    dialog.take.click()
    assert store.document is after
    assert "changed meanwhile" in dialog.said.text()


def test_every_row_is_as_high_as_its_texts_at_any_width(dialog: SizingDialog, qtbot: QtBot) -> None:
    """The first reason was cut short: the row numbers, which come with the first row, take room from it."""
    proposed(dialog, qtbot)
    table, shown = dialog.table, dialog.width()
    for width in (shown, shown + 300, shown):
        dialog.resize(width, dialog.height())
        qtbot.waitUntil(lambda width=width: dialog.width() == width)
        qtbot.waitUntil(lambda: all(table.rowHeight(row) >= needed(table, row) for row in range(table.rowCount())))


def needed(table: QTableWidget, row: int) -> int:
    """Pixels that the lines of its reason take."""
    flags, room = int(Qt.TextFlag.TextWordWrap), table.columnWidth(1) - 20
    return table.fontMetrics().boundingRect(0, 0, room, 10_000, flags, table.item(row, 1).text()).height()

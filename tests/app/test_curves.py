"""If a wire is shorted: select it, press the keys, read the sentence and the chart; it follows selection and boat."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.dialogs.curves import CurvesDialog
from app.workbench import Workbench
from engine.drawing.bounds import texts
from engine.files.opening import open_boat
from tests.app.conftest import with_boat

SAMPLES = Path(__file__).parent.parent.parent / "sample_boats"


@pytest.fixture
def ketch(empty_bench: Workbench, qtbot: QtBot) -> Workbench:
    return with_boat(empty_bench, open_boat(SAMPLES / "marguerite_as_built.boat", empty_bench.library), qtbot)


def select_wire(bench: Workbench, number: str) -> None:
    run = next(run for run in bench.store.document.network.runs if run.number == number)
    bench.selection.set((f"run:{run.id}",))


def asked(bench: Workbench) -> CurvesDialog:
    QTest.keyClick(bench.window, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    dialog = bench.window.findChild(CurvesDialog)
    assert dialog is not None
    return dialog


def words(dialog: CurvesDialog) -> str:
    return " ".join(label.text() for label in dialog.findChildren(QLabel))


def test_which_fuse_opens_first_if_the_masthead_cable_shorts(ketch: Workbench) -> None:
    """Wire 102 goes 22 m up the mast: the question is answered in words and drawn."""
    select_wire(ketch, "102")
    dialog = asked(ketch)
    assert "If wire 102 is shorted, A1.2 (5 A) has to open" in dialog.told.text()
    assert "If wire 102 is shorted" in ketch.window.foot.next_click.text()
    assert "k²S²" in dialog.held.text()
    assert "many from memory" in words(dialog)
    dialog.grab()
    said = " ".join(text.string for text in texts(dialog.view.items))
    assert "A1.2 (5 A)" in said
    assert "smallest 8.73 A" in said
    assert dialog.view.accessibleDescription() == dialog.told.text()
    dialog.close()


def test_it_follows_the_selection_and_is_opened_once(ketch: Workbench) -> None:
    select_wire(ketch, "102")
    dialog = asked(ketch)
    select_wire(ketch, "18")
    assert "If wire 18 is shorted, F4 (25 A)" in dialog.told.text()
    assert asked(ketch) is dialog
    fuse = next(part for part in ketch.store.document.network.parts if part.designation == "F3")
    ketch.selection.set((f"part:{fuse.id}",))
    assert "F3 (30 A)" in dialog.told.text()
    ketch.selection.clear()
    assert "F3 (30 A)" in dialog.told.text()
    dialog.close()


def test_where_nothing_opens_no_chart_is_shown(ketch: Workbench) -> None:
    select_wire(ketch, "7")
    dialog = asked(ketch)
    assert "No fuse or breaker stands between" in dialog.told.text()
    assert not dialog.view.isVisible()
    dialog.close()


def test_without_a_selection_it_cannot_be_asked(ketch: Workbench) -> None:
    ketch.selection.clear()
    assert not ketch.window.menus.usable("shorted")

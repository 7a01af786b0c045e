"""A person asks what may be added on a spare way, adds a circuit there, and takes it back with one step of undo."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.dialogs.add_circuit import AddCircuitDialog
from app.workbench import Workbench
from tests.app.conftest import with_boat
from tests.remedies.test_addition import ROOMY, broken, panel
from tests.samples.boats import document


def opened(bench: Workbench, position: str = "") -> AddCircuitDialog:
    """Through the action, as a person opens it."""
    bench.selection.set([position] if position else [])
    bench.window.menus.run("add-circuit")
    (dialog,) = bench.window.findChildren(AddCircuitDialog)
    return dialog


def way(key: str) -> str:
    return f"position:{panel(ROOMY).id}/{key}"


@pytest.fixture(name="quill")
def quill_fixture(empty_bench: Workbench, qtbot: QtBot) -> Workbench:
    return with_boat(empty_bench, document("quill_34"), qtbot)


@pytest.fixture(name="roomy")
def roomy_fixture(empty_bench: Workbench, qtbot: QtBot) -> Workbench:
    return with_boat(empty_bench, ROOMY, qtbot)


def test_the_selected_way_is_chosen_and_says_what_may_be_added(quill: Workbench) -> None:
    dialog = opened(quill, way("22"))
    assert dialog.way.currentData() == way("22")
    assert dialog.room.text().startswith("A1.22: up to 1.1 A (13 W) more; F5 Panel feed binds: 78.9 A of 80 A already")
    assert not dialog.add.isEnabled()
    dialog.close()


def test_typed_previewed_added_and_undone(roomy: Workbench, qtbot: QtBot) -> None:
    dialog = opened(roomy, way("24"))
    QTest.keyClicks(dialog.name, "Reading lamp")
    QTest.keyClicks(dialog.amount, "60")
    dialog.kind.setCurrentIndex(dialog.kind.findData("lamp"))
    dialog.place.setCurrentIndex(dialog.place.findText("Saloon"))
    qtbot.waitUntil(dialog.add.isEnabled, timeout=20_000)
    assert "On A1 DC panel way 24" in dialog.answer.text()
    assert "Fuse 7.5 A" in dialog.detail.text()
    assert "Wire 122: 10 AWG" in dialog.detail.text()
    assert roomy.store.document is ROOMY
    assert f"part:{dialog.plan.part_id}" in roomy.view.bench.shown.boxes  # type: ignore[union-attr]
    part_id = dialog.plan.part_id  # type: ignore[union-attr]
    QTest.mouseClick(dialog.add, Qt.MouseButton.LeftButton)
    made = roomy.store.document
    assert any(part.id == part_id and part.label == "Reading lamp" for part in made.network.parts)
    assert roomy.selection.keys == {f"part:{part_id}"}
    assert broken(made) <= broken(ROOMY)
    assert roomy.store.undo_stack.count() == 1
    roomy.window.menus.run("undo")
    assert roomy.store.document is ROOMY


def test_what_does_not_fit_says_why_and_cannot_be_added(quill: Workbench, qtbot: QtBot) -> None:
    dialog = opened(quill)
    QTest.keyClicks(dialog.amount, "60 W")
    qtbot.waitUntil(lambda: "takes 1.1 A more" in dialog.answer.text(), timeout=20_000)
    assert "F5 Panel feed binds" in dialog.answer.text()
    assert not dialog.add.isEnabled()
    dialog.take()
    assert quill.store.undo_stack.count() == 0
    dialog.close()


def test_what_is_no_number_is_said(quill: Workbench) -> None:
    dialog = opened(quill)
    dialog.amount.setText("many")
    dialog.ask()
    assert dialog.answer.text()
    assert not dialog.add.isEnabled()
    dialog.amount.setText("1")
    dialog.distance.setText("5 A")
    dialog.ask()
    assert "5 A" in dialog.answer.text() or "unit" in dialog.answer.text()
    dialog.close()


def test_closing_takes_the_preview_off_the_sheet(roomy: Workbench) -> None:
    dialog = opened(roomy, way("24"))
    dialog.amount.setText("24")
    dialog.ask()
    part = f"part:{dialog.plan.part_id}"  # type: ignore[union-attr]
    assert part in roomy.view.bench.shown.boxes
    dialog.close()
    assert part not in roomy.view.bench.shown.boxes


def test_an_edit_meanwhile_is_followed(roomy: Workbench) -> None:
    dialog = opened(roomy, way("23"))
    dialog.amount.setText("24")
    dialog.ask()
    roomy.selection.set([f"part:{panel(ROOMY).id}"])
    roomy.window.menus.run("duplicate")
    dialog.take()
    assert roomy.store.undo_stack.count() == 2
    roomy.window.menus.run("undo")
    assert len(roomy.store.document.network.parts) == len(ROOMY.network.parts) + 1


def test_the_action_rests_where_there_is_no_panel(empty_bench: Workbench) -> None:
    assert not empty_bench.window.menus.usable("add-circuit")

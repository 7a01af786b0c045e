"""One part on two sheets, and an in-line part taken out of its run, by the actions of the window."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.workbench import Workbench
from engine.model.edits.sheets import add_sheet
from engine.model.network import End
from tests.app.conftest import with_boat
from tests.model.boats import run, small_boat


def action_ids(bench: Workbench) -> set[str]:
    from app.actions import actions

    return {action.id for action in actions() if action.when(bench)}


def test_a_part_selected_on_one_sheet_is_placed_on_the_next(empty_bench: Workbench, qtbot: QtBot) -> None:
    bench = with_boat(empty_bench, add_sheet(small_boat()), qtbot)
    bench.selection.set(("part:p3",))
    assert "place-again" not in action_ids(bench)
    bench.show_sheet("s9")
    assert "place-again" in action_ids(bench)
    bench.window.menus.run("place-again")
    x, y = bench.view.camera.to_px(100.0, 100.0)
    QTest.mouseMove(bench.view, QPoint(round(x), round(y)))
    QTest.mouseClick(bench.view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(round(x), round(y)))
    assert [place.part for place in bench.store.document.sheets[1].places] == ["p3"]


def test_a_fuse_is_taken_out_of_its_run(empty_bench: Workbench, qtbot: QtBot) -> None:
    bench = with_boat(empty_bench, small_boat(), qtbot)
    bench.selection.set(("part:p5",))
    assert "take-out" not in action_ids(bench)
    bench.selection.set(("part:p3",))
    bench.window.menus.run("take-out")
    assert [part.id for part in bench.store.document.network.parts] == ["p2", "p4", "p5"]
    assert run(bench.store.document, "w6").b == End(part="p4", port="feed")

"""The view: zoom, pan, fit, the keys, drops, what it tells others."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QDragEnterEvent, QDragLeaveEvent, QDropEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.drops import KIND_MIME
from engine.drawing.annotate import Annotation, Mark
from engine.drawing.theme import DARK, DARK_WINDOW
from engine.model.edits.placing import place_existing
from engine.model.edits.sheets import add_sheet
from tests.app.canvas.stage import LEFT, NONE, SHIFT, Stage


def wheel(stage: Stage, at: QPoint, turns: int, keys: Qt.KeyboardModifier = NONE) -> None:
    event = QWheelEvent(
        QPointF(at),
        QPointF(stage.view.mapToGlobal(at)),
        QPoint(),
        QPoint(0, 120 * turns),
        Qt.MouseButton.NoButton,
        keys,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(stage.view, event)


def test_the_wheel_zooms_at_the_cursor(stage: Stage) -> None:
    at = QPoint(300, 200)
    under, scale = stage.view.camera.to_mm(300, 200), stage.view.camera.scale
    wheel(stage, at, 2)
    assert stage.view.camera.scale > scale * 1.4
    x, y = stage.view.camera.to_px(*under)
    assert abs(x - 300) < 1
    assert abs(y - 200) < 1


def test_shift_and_the_wheel_go_sideways(stage: Stage) -> None:
    before = stage.view.camera
    wheel(stage, QPoint(300, 200), 1, SHIFT)
    assert (stage.view.camera.y_px, stage.view.camera.scale) == (before.y_px, before.scale)
    assert stage.view.camera.x_px > before.x_px


def test_the_middle_button_pans_and_selects_nothing(stage: Stage) -> None:
    before = stage.view.camera
    start = stage.px(stage.middle("part:p3"))
    middle = Qt.MouseButton.MiddleButton
    QTest.mousePress(stage.view, middle, NONE, start)
    QTest.mouseMove(stage.view, start + QPoint(40, 25))
    QTest.mouseRelease(stage.view, middle, NONE, start + QPoint(40, 25))
    assert (stage.view.camera.x_px - before.x_px, stage.view.camera.y_px - before.y_px) == (40, 25)
    assert stage.selection.keys == frozenset()


def test_space_and_the_left_button_pan(stage: Stage) -> None:
    before, places = stage.view.camera, stage.document.sheets
    start = stage.px(stage.middle("part:p3"))
    QTest.keyPress(stage.view, Qt.Key.Key_Space)
    QTest.mousePress(stage.view, LEFT, NONE, start)
    QTest.mouseMove(stage.view, start + QPoint(-30, 10))
    QTest.mouseRelease(stage.view, LEFT, NONE, start + QPoint(-30, 10))
    QTest.keyRelease(stage.view, Qt.Key.Key_Space)
    assert (stage.view.camera.x_px - before.x_px, stage.view.camera.y_px - before.y_px) == (-30, 10)
    assert stage.document.sheets is places
    stage.click(stage.middle("part:p3"))
    assert stage.selection.keys == {"part:p3"}


def test_a_fitted_sheet_stays_fitted_until_one_zooms(stage: Stage) -> None:
    stage.view.resize(600, 500)
    fitted = stage.view.camera
    assert fitted.to_px(420, 297)[0] <= 600
    stage.view.zoom(2.0)
    zoomed = stage.view.camera
    stage.view.resize(900, 500)
    assert stage.view.camera == zoomed


def test_tab_walks_through_the_parts_and_shows_them(stage: Stage) -> None:
    stage.view.set_camera(stage.view.camera.zoomed(6, 0, 0))
    walked = []
    for _ in range(4):
        stage.type(Qt.Key.Key_Tab)
        key = next(iter(stage.selection.keys))
        x, y = stage.view.camera.to_px(*stage.middle(key))
        assert -1 <= x <= stage.view.width()
        assert -1 <= y <= stage.view.height()
        walked.append(key)
    assert sorted(walked) == ["part:p2", "part:p3", "part:p4", "part:p5"]
    stage.type(Qt.Key.Key_Backtab)
    assert stage.selection.keys == {walked[2]}


def test_arrows_move_the_selection_as_one_step(stage: Stage) -> None:
    network = stage.document.network
    stage.selection.set(("part:p5",))
    stage.type(Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Down)
    stage.type(Qt.Key.Key_Down, held=SHIFT)
    assert stage.place("p5") == (305.0, 122.5)
    assert stage.document.network is network
    assert stage.store.undo_stack.count() == 1


def test_arrows_with_nothing_selected_push_the_sheet(stage: Stage) -> None:
    before = stage.view.camera
    stage.type(Qt.Key.Key_Right)
    assert stage.view.camera.x_px < before.x_px
    assert stage.store.clean


def test_j_walks_along_the_wiring(stage: Stage) -> None:
    stage.selection.set(("part:p2",))
    seen = []
    for _ in range(4):
        stage.type(Qt.Key.Key_J)
        seen += stage.selection.keys
    assert seen == ["run:w6", "part:p3", "run:w7", "part:p4"]


def test_enter_and_double_click_activate(stage: Stage, qtbot: QtBot) -> None:
    stage.selection.set(("part:p3",))
    with qtbot.waitSignal(stage.view.activated) as told:
        stage.type(Qt.Key.Key_Return)
    assert told.args == ["part:p3"]
    with qtbot.waitSignal(stage.view.activated) as told:
        QTest.mouseDClick(stage.view, LEFT, NONE, stage.px(stage.middle("position:p4/2")))
    assert told.args == ["position:p4/2"]


def test_the_context_menu_is_told_what_it_is_about(stage: Stage, qtbot: QtBot) -> None:
    at = stage.px(stage.middle("part:p4"))
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, stage.view.mapToGlobal(at))
    with qtbot.waitSignal(stage.view.context_menu_requested) as told:
        QApplication.sendEvent(stage.view, event)
    assert told.args == [stage.view.pointer(at.x(), at.y()).hit.key, stage.view.mapToGlobal(at)]


def test_a_kind_dropped_from_stores_is_placed(stage: Stage) -> None:
    data = QMimeData()
    data.setData(KIND_MIME, b"load_dc")
    at = stage.px((200.0, 230.0))
    copy, keys = Qt.DropAction.CopyAction, (LEFT, NONE)
    QApplication.sendEvent(stage.view, QDragEnterEvent(at, copy, data, *keys))
    QApplication.sendEvent(stage.view, QDropEvent(QPointF(at), copy, data, *keys))
    assert stage.document.network.parts[-1].kind == "load_dc"
    assert stage.place(stage.document.network.parts[-1].id) == (200.0, 230.0)


def test_a_drag_that_leaves_places_nothing(stage: Stage) -> None:
    data = QMimeData()
    data.setData(KIND_MIME, b"load_dc")
    QApplication.sendEvent(stage.view, QDragEnterEvent(QPoint(9, 9), Qt.DropAction.CopyAction, data, LEFT, NONE))
    QApplication.sendEvent(stage.view, QDragLeaveEvent())
    assert len(stage.document.network.parts) == 4
    stage.click((200.0, 230.0))
    assert len(stage.document.network.parts) == 4


def test_other_things_are_not_taken(stage: Stage) -> None:
    data = QMimeData()
    data.setData(KIND_MIME, b"perpetual_motion")
    event = QDragEnterEvent(QPoint(9, 9), Qt.DropAction.CopyAction, data, LEFT, NONE)
    event.ignore()
    QApplication.sendEvent(stage.view, event)
    assert not event.isAccepted()


def test_another_sheet_is_shown_whole(stage: Stage) -> None:
    stage.store.apply(add_sheet, "Sheet")
    other = stage.document.sheets[1].id
    stage.store.apply(lambda document: place_existing(document, "p3", other, 50, 50), "Place")
    stage.view.show_sheet(other)
    assert set(stage.view.bench.drawing.boxes) >= {"part:p3"}
    assert "part:p2" not in stage.view.bench.drawing.boxes
    stage.store.undo()
    stage.store.undo()
    assert stage.view.bench.sheet_id == "s1"


def test_findings_are_painted_over_the_sheet(stage: Stage) -> None:
    plain = stage.view.grab().toImage()
    stage.view.annotate(Annotation(marks=(Mark("part:p3", "danger", 1),)))
    assert stage.view.grab().toImage() != plain
    stage.view.annotate(None)
    assert stage.view.grab().toImage() == plain


def test_the_sheet_can_be_dark(stage: Stage) -> None:
    stage.view.set_themes(DARK, DARK_WINDOW)
    image = stage.view.grab().toImage()
    assert image.pixelColor(2, 2).name() == DARK_WINDOW.colours["desk"]
    assert image.pixelColor(stage.px((330.0, 40.0))).lightness() < 80


def test_after_a_pause_the_sheet_lies_as_it_prints(stage: Stage, qtbot: QtBot) -> None:
    stage.selection.set(("part:p3",))
    stage.type(Qt.Key.Key_Down, Qt.Key.Key_Down)
    stage.view.bench.settle()
    from engine.drawing.sheet import draw_sheet
    from tests.app.canvas.stage import symbols
    from tests.model.boats import library

    assert stage.view.bench.drawing == draw_sheet(stage.document, "s1", library(), symbols())

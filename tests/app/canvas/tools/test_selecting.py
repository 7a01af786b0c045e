"""Clicking, dragging, boxing: the tool at rest and the gestures it begins."""

from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.app.canvas.stage import CTRL, LEFT, NONE, SHIFT, Stage


def test_a_click_selects_and_one_on_the_sheet_selects_nothing(stage: Stage) -> None:
    stage.click(stage.middle("part:p3"))
    assert stage.selection.keys == {"part:p3"}
    stage.click((350.0, 250.0))
    assert stage.selection.keys == frozenset()
    assert stage.store.clean


def test_a_position_of_a_panel_can_be_selected(stage: Stage) -> None:
    stage.click(stage.middle("position:p4/3"))
    assert stage.selection.keys == {"position:p4/3"}


def test_shift_and_ctrl_select_more_and_less(stage: Stage) -> None:
    stage.click(stage.middle("part:p3"))
    stage.click(stage.middle("note:n9"), SHIFT)
    assert stage.selection.keys == {"part:p3", "note:n9"}
    stage.click(stage.middle("part:p3"), CTRL)
    assert stage.selection.keys == {"note:n9"}


def test_a_click_on_one_of_several_selects_that_one(stage: Stage) -> None:
    stage.selection.set(("part:p3", "part:p2"))
    stage.click(stage.middle("part:p3"))
    assert stage.selection.keys == {"part:p3"}


def test_a_drag_moves_on_the_module_as_one_step(stage: Stage) -> None:
    network, (x, y) = stage.document.network, stage.middle("part:p3")
    stage.drag((x, y), (x + 3, y), (x + 9.4, y + 15.4), (x + 20.6, y + 30.6))
    assert stage.place("p3") == (120.0, 80.0)
    assert stage.document.network is network
    assert stage.store.undo_stack.count() == 1
    stage.store.undo()
    assert stage.place("p3") == (100.0, 50.0)


def test_while_dragging_the_preview_is_shown_and_the_document_waits(stage: Stage) -> None:
    document, (x, y) = stage.document, stage.middle("part:p3")
    before = stage.view.bench.shown.boxes["part:p3"]
    stage.press((x, y))
    stage.hover((x + 10, y + 20))
    assert stage.document is document
    assert stage.view.bench.shown.boxes["part:p3"][1] == before[1] + 20
    assert "20" in stage.said[-1]
    stage.type(Qt.Key.Key_Escape)
    assert stage.view.bench.shown.boxes["part:p3"] == before
    QTest.mouseRelease(stage.view, LEFT, NONE, stage.px((x + 10, y + 20)))
    assert stage.document is document


def test_shift_keeps_a_drag_to_one_direction(stage: Stage) -> None:
    x, y = stage.middle("part:p5")
    stage.press((x, y))
    stage.hover((x + 5, y + 2))
    QTest.mouseRelease(stage.view, LEFT, SHIFT, stage.px((x + 20, y + 8)))
    assert stage.place("p5") == (320.0, 100.0)


def test_a_bus_is_taken_hold_of_between_its_studs(stage: Stage) -> None:
    (x, y), (_, below) = stage.port("p2", "s3"), stage.port("p2", "s4")
    middle = (x, (y + below) / 2)
    stage.drag(middle, (x + 5, middle[1]), (x + 10, middle[1]))
    assert stage.place("p2") == (60.0, 50.0)
    assert len(stage.document.network.runs) == 3


def test_all_that_is_selected_moves_together(stage: Stage) -> None:
    stage.selection.set(("part:p3", "part:p5", "note:n9"))
    x, y = stage.middle("part:p3")
    stage.drag((x, y), (x + 5, y + 5), (x, y + 25))
    assert (stage.place("p3"), stage.place("p5")) == ((100.0, 75.0), (300.0, 125.0))
    assert stage.view.bench.sheet.notes[0].y_mm == 225.0
    assert stage.selection.keys == {"part:p3", "part:p5", "note:n9"}


def test_dragging_a_position_moves_its_panel(stage: Stage) -> None:
    x, y = stage.middle("position:p4/5")
    stage.drag((x, y), (x + 5, y), (x + 20, y))
    assert stage.place("p4") == (170.0, 50.0)


def test_a_box_selects_what_lies_wholly_in_it(stage: Stage) -> None:
    stage.drag((40.0, 35.0), (90.0, 60.0), (120.0, 120.0))
    assert {"part:p2", "part:p3", "run:w6"} <= stage.selection.keys
    assert not stage.selection.keys & {"part:p4", "part:p5", "run:w8"}
    assert stage.store.clean


def test_shift_keeps_what_was_selected_before_the_box(stage: Stage) -> None:
    stage.selection.set(("part:p5",))
    stage.drag((40.0, 35.0), (90.0, 60.0), (120.0, 120.0), keys=SHIFT)
    assert "part:p5" in stage.selection.keys


def test_a_box_is_given_up_with_escape(stage: Stage) -> None:
    stage.press((40.0, 35.0))
    stage.hover((120.0, 120.0))
    assert stage.view.tool.marks().box is not None
    stage.type(Qt.Key.Key_Escape)
    assert stage.selection.keys == frozenset()
    assert stage.view.tool.marks().box is None


def test_escape_clears_the_selection(stage: Stage) -> None:
    stage.selection.set(("part:p3",))
    stage.type(Qt.Key.Key_Escape)
    assert stage.selection.keys == frozenset()


def test_dragging_a_leg_re_routes_the_run(stage: Stage) -> None:
    network = stage.document.network
    points = stage.view.bench.drawing.paths["w6"]
    leg = next(n for n, (a, b) in enumerate(pairwise(points)) if a[0] == b[0] and a[1] != b[1])
    x, y = points[leg][0], (points[leg][1] + points[leg + 1][1]) / 2
    stage.drag((x, y), (x + 4, y), (x + 10, y))
    bends = next(route.bends for route in stage.view.bench.sheet.routes if route.run == "w6")
    assert x + 10 in {bend[0] for bend in bends}
    assert x not in {bend[0] for bend in bends}
    assert stage.document.network is network
    assert stage.store.undo_stack.count() == 1


def test_the_status_says_what_a_press_would_do(stage: Stage) -> None:
    stage.hover(stage.middle("part:p4"))
    said = [stage.said[-1]]
    for at in (stage.port("p2", "s3"), stage.middle("note:n9"), (350.0, 250.0)):
        stage.hover(at)
        said.append(stage.said[-1])
    assert len(set(said)) == 4
    assert "port" in said[1]

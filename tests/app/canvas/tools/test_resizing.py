"""The handle of a selected bar or board."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.canvas.tools.resizing import handle
from engine.model.edits.arranging import rotate
from tests.app.canvas.stage import LEFT, NONE, Stage


def size(stage: Stage, part: str) -> tuple[float | None, float | None]:
    place = next(place for place in stage.view.bench.sheet.places if place.part == part)
    return place.width_mm, place.height_mm


def pull(stage: Stage, part: str, dx: float, dy: float) -> None:
    stage.selection.set((f"part:{part}",))
    held = handle(stage.view.bench)
    assert held is not None
    x, y = held[1]
    stage.drag((x, y), (x + dx / 2, y + dy / 2), (x + dx, y + dy))


def test_a_bar_gets_longer_and_its_studs_part(stage: Stage) -> None:
    before = stage.view.bench.drawing.boxes["part:p2"]
    pull(stage, "p2", 3, 50)
    after = stage.view.bench.drawing.boxes["part:p2"]
    assert size(stage, "p2")[0] is None
    assert after[3] - after[1] > before[3] - before[1] + 20
    assert stage.store.undo_stack.count() == 1


def test_a_turned_bar_gets_wider(stage: Stage) -> None:
    stage.store.apply(lambda document: rotate(document, "s1", {"part:p2"}), "Turn")
    pull(stage, "p2", 50, 3)
    assert size(stage, "p2")[0] is not None
    assert size(stage, "p2")[1] is None


def test_a_board_gets_larger_both_ways(stage: Stage) -> None:
    before = stage.view.bench.drawing.boxes["part:p4"]
    pull(stage, "p4", 20, 30)
    after = stage.view.bench.drawing.boxes["part:p4"]
    assert after[2] > before[2] + 15
    assert None not in size(stage, "p4")


def test_a_symbol_has_no_handle_and_two_parts_have_none(stage: Stage) -> None:
    stage.selection.set(("part:p3",))
    assert handle(stage.view.bench) is None
    stage.selection.set(("part:p2", "part:p4"))
    assert handle(stage.view.bench) is None


def test_a_click_on_the_handle_keeps_the_selection(stage: Stage) -> None:
    stage.selection.set(("part:p4",))
    held = handle(stage.view.bench)
    assert held is not None
    stage.click(held[1])
    assert stage.selection.keys == {"part:p4"}
    assert stage.store.clean


def test_escape_leaves_the_size(stage: Stage) -> None:
    document = stage.document
    stage.selection.set(("part:p4",))
    held = handle(stage.view.bench)
    assert held is not None
    x, y = held[1]
    stage.press((x, y))
    stage.hover((x + 20, y + 20))
    assert stage.view.bench.shown.boxes["part:p4"] != stage.view.bench.drawing.boxes["part:p4"]
    stage.type(Qt.Key.Key_Escape)
    QTest.mouseRelease(stage.view, LEFT, NONE, stage.px((x + 20, y + 20)))
    assert stage.document is document

"""A part of the boat on one more sheet."""

from PySide6.QtCore import Qt

from app.canvas.tools.selecting import SelectTool
from engine.model.edits.sheets import add_sheet
from tests.app.canvas.stage import Stage


def test_a_part_is_placed_on_the_next_sheet_too(stage: Stage) -> None:
    stage.store.apply(add_sheet, "Sheet")
    other = stage.document.sheets[1].id
    network = stage.document.network
    stage.view.show_sheet(other)
    stage.view.place_again("p3")
    stage.hover((100.0, 100.0))
    assert "F1" in stage.said[-1]
    stage.type(Qt.Key.Key_R)
    stage.click((100.0, 100.0))
    place = stage.document.sheets[1].places[0]
    assert (place.part, place.x_mm, place.y_mm, place.rotation) == ("p3", 100.0, 100.0, 90)
    assert stage.document.network is network
    assert isinstance(stage.view.tool, SelectTool)


def test_not_twice_on_one_sheet(stage: Stage) -> None:
    document = stage.document
    stage.view.place_again("p3")
    stage.hover((100.0, 200.0))
    assert stage.view.tool.marks().refused
    assert "F1" in stage.said[-1]
    stage.click((100.0, 200.0))
    assert stage.document is document
    assert len(stage.refused) == 1
    stage.type(Qt.Key.Key_Escape)
    assert isinstance(stage.view.tool, SelectTool)

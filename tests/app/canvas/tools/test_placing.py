"""Putting parts down: the ghost, turning, keeping in hand, going into a run."""

import pytest
from PySide6.QtCore import Qt

from app.canvas.tools.placing import heading
from app.canvas.tools.selecting import SelectTool
from engine.model.invariants import problems
from tests.app.canvas.stage import SHIFT, Stage
from tests.model.boats import port_names


def test_a_click_places_on_the_module_and_selects(stage: Stage) -> None:
    stage.view.place("load_dc")
    stage.click((201.0, 229.0))
    part = stage.document.network.parts[-1]
    assert (part.designation, stage.place(part.id)) == ("E2", (200.0, 230.0))
    assert stage.selection.keys == {f"part:{part.id}"}
    assert isinstance(stage.view.tool, SelectTool)
    assert stage.store.undo_stack.count() == 1


def test_the_ghost_follows_and_the_document_waits(stage: Stage) -> None:
    document = stage.document
    stage.view.place("load_dc")
    stage.hover((200.0, 230.0))
    ghost = f"part:p{document.next_id}"
    left = stage.view.bench.shown.boxes[ghost][0]
    stage.hover((210.0, 230.0))
    assert stage.view.bench.shown.boxes[ghost][0] == left + 10
    assert ghost not in stage.view.bench.drawing.boxes
    stage.type(Qt.Key.Key_Escape)
    assert ghost not in stage.view.bench.shown.boxes
    assert stage.document is document


def test_shift_keeps_the_kind_in_hand(stage: Stage) -> None:
    stage.view.place("load_dc")
    stage.click((200.0, 230.0), SHIFT)
    stage.click((250.0, 230.0))
    assert len(stage.document.network.parts) == 6
    assert isinstance(stage.view.tool, SelectTool)


def test_r_turns_and_m_mirrors_what_is_in_hand(stage: Stage) -> None:
    stage.view.place("fuse_bolt")
    stage.hover((200.0, 230.0))
    stage.type(Qt.Key.Key_R, Qt.Key.Key_M)
    stage.click((200.0, 230.0))
    place = stage.view.bench.sheet.places[-1]
    assert (place.rotation, place.mirrored) == (90, True)


def test_an_inline_part_goes_into_the_run_under_the_cursor(stage: Stage) -> None:
    points = stage.view.bench.drawing.paths["w8"]
    leg = max(
        range(len(points) - 1),
        key=lambda n: abs(points[n][0] - points[n + 1][0]) + abs(points[n][1] - points[n + 1][1]),
    )
    x, y = ((a + b) / 2 for a, b in zip(points[leg], points[leg + 1], strict=True))
    stage.view.place("fuse_bolt")
    stage.hover((x, y))
    assert "run" in stage.said[-1]
    stage.click((x, y))
    assert len(stage.document.network.runs) == 4
    assert stage.view.bench.sheet.places[-1].rotation == heading(points, leg)
    assert problems(stage.document, port_names) == ()
    stage.store.undo()
    assert len(stage.document.network.runs) == 3


@pytest.mark.parametrize(
    ("to", "rotation"), [((10.0, 0.0), 0), ((0.0, 10.0), 90), ((-10.0, 0.0), 180), ((0.0, -10.0), 270)]
)
def test_a_part_is_turned_with_the_leg(to: tuple[float, float], rotation: int) -> None:
    assert heading(((0.0, 0.0), to), 0) == rotation

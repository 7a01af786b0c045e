"""One end of a selected run taken elsewhere."""

from engine.model.network import End
from tests.app.canvas.stage import Stage
from tests.model.boats import run


def test_an_end_goes_to_another_stud(stage: Stage) -> None:
    stage.selection.set(("run:w6",))
    stage.drag(stage.port("p2", "s1"), (60.0, 90.0), stage.port("p2", "s5"))
    assert run(stage.document, "w6").a == End(part="p2", port="s5")
    assert len(stage.document.network.runs) == 3
    assert stage.selection.keys == {"run:w6"}
    assert stage.store.undo_stack.count() == 1


def test_cores_without_a_pole_there_go_but_not_past_an_inline_device(stage: Stage) -> None:
    stage.selection.set(("run:w8",))
    stage.drag(stage.port("p4", "p1"), (200.0, 30.0), stage.port("p3", "b"))
    assert run(stage.document, "w8").poles == ("+", "-")
    stage.drag(stage.port("p3", "b"), (200.0, 30.0), stage.port("p2", "s4"))
    assert (run(stage.document, "w8").poles, run(stage.document, "w8").colours) == (("+",), ("RD",))


def test_a_port_without_a_common_pole_is_refused(stage: Stage) -> None:
    document = stage.document
    stage.selection.set(("run:w6",))
    stage.drag(stage.port("p3", "a"), (200.0, 30.0), stage.port("p5", "neg"))
    assert stage.document is document
    assert len(stage.refused) == 1


def test_released_nowhere_it_stays(stage: Stage) -> None:
    document = stage.document
    stage.selection.set(("run:w6",))
    stage.press(stage.port("p3", "a"))
    stage.hover((200.0, 240.0))
    assert stage.view.tool.marks().line
    assert "1" in stage.said[-1]
    stage.drag((200.0, 240.0), (200.0, 240.0))
    assert stage.document is document


def test_a_run_that_is_not_selected_is_not_taken_apart(stage: Stage) -> None:
    stage.drag(stage.port("p2", "s1"), (60.0, 90.0), stage.port("p3", "b"))
    assert len(stage.document.network.runs) == 4

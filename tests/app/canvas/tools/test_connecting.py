"""Drawing runs: by clicks, by a drag, with corners, and what is refused and why."""

from itertools import pairwise

from PySide6.QtCore import Qt

from app.canvas.tools.connecting import arriving, led
from app.canvas.tools.selecting import SelectTool
from engine.model.network import End
from tests.app.canvas.stage import SHIFT, Stage


def test_two_clicks_connect(stage: Stage) -> None:
    stage.view.connect_ports()
    stage.click(stage.port("p2", "s4"))
    stage.click(stage.port("p3", "b"))
    run = stage.document.network.runs[-1]
    assert (run.a, run.b, run.poles) == (End(part="p2", port="s4"), End(part="p3", port="b"), ("+",))
    assert (run.number, run.colours) == ("4", ("RD",))
    assert stage.selection.keys == {f"run:{run.id}"}
    assert stage.store.undo_stack.count() == 1
    assert stage.refused == []


def test_the_run_is_shown_before_it_is_made(stage: Stage) -> None:
    document = stage.document
    stage.view.connect_ports()
    stage.click(stage.port("p2", "s4"))
    stage.hover(stage.port("p3", "b"))
    assert f"w{document.next_id}" in stage.view.bench.shown.paths
    assert stage.document is document
    assert stage.view.tool.marks().target == stage.port("p3", "b")
    assert "W1 s4" in stage.said[-1]
    assert "F1 b" in stage.said[-1]


def test_a_drag_from_port_to_port_connects_without_taking_a_tool(stage: Stage) -> None:
    stage.drag(stage.port("p2", "s4"), (80.0, 100.0), stage.port("p3", "b"))
    assert stage.document.network.runs[-1].b == End(part="p3", port="b")
    assert isinstance(stage.view.tool, SelectTool)


def test_a_drag_from_a_port_to_nowhere_makes_nothing(stage: Stage) -> None:
    document = stage.document
    stage.drag(stage.port("p2", "s4"), (80.0, 100.0), (90.0, 230.0))
    assert stage.document is document
    stage.hover((95.0, 235.0))
    assert stage.view.tool.marks().line == ()


def test_clicks_on_the_sheet_put_corners(stage: Stage) -> None:
    stage.view.connect_ports()
    x, y = stage.port("p2", "s4")
    stage.click((x, y))
    stage.click((80.0, 225.0))
    assert stage.view.tool.marks().line[:3] == ((x, y), (80.0, y), (80.0, 225.0))
    stage.click(stage.port("p3", "a"))
    made = stage.document.network.runs[-1]
    bends = next(route.bends for route in stage.view.bench.sheet.routes if route.run == made.id)
    assert bends[:2] == ((80.0, y), (80.0, 225.0))
    corners = [(x, y), *bends, stage.port("p3", "a")]
    assert all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise(corners))


def test_ports_without_a_common_pole_are_refused_with_their_names(stage: Stage) -> None:
    document = stage.document
    stage.view.connect_ports()
    stage.click(stage.port("p2", "s4"))
    stage.hover(stage.port("p5", "neg"))
    assert stage.view.tool.marks().refused
    assert "W1" in stage.said[-1]
    assert "E1" in stage.said[-1]
    stage.click(stage.port("p5", "neg"))
    assert stage.document is document
    assert len(stage.refused) == 1


def test_only_ports_that_fit_are_offered(stage: Stage) -> None:
    stage.view.connect_ports()
    everything = set(stage.view.tool.marks().ports)
    stage.click(stage.port("p2", "s4"))
    offered = set(stage.view.tool.marks().ports)
    assert stage.port("p3", "b") in offered
    assert not offered & {stage.port("p5", "neg"), stage.port("p2", "s4")}
    assert offered < everything or not everything


def test_a_click_on_the_body_of_a_panel_takes_its_nearest_free_port(stage: Stage) -> None:
    stage.view.connect_ports()
    stage.click(stage.port("p5", "supply"))
    stage.click(stage.middle("position:p4/3"))
    run = stage.document.network.runs[-1]
    assert run.b == End(part="p4", port="p3")
    assert stage.document.network.parts[2].positions[2].state == "used"


def test_a_run_does_not_end_on_a_run(stage: Stage) -> None:
    document = stage.document
    stage.view.connect_ports()
    stage.click(stage.port("p2", "s4"))
    points = stage.view.bench.drawing.paths["w8"]
    long = max(pairwise(points), key=lambda leg: abs(leg[0][0] - leg[1][0]) + abs(leg[0][1] - leg[1][1]))
    stage.click(((long[0][0] + long[1][0]) / 2, (long[0][1] + long[1][1]) / 2))
    assert "bus" in stage.said[-1]
    assert stage.document is document


def test_a_click_off_any_port_begins_nothing(stage: Stage) -> None:
    stage.view.connect_ports()
    stage.click((350.0, 250.0))
    assert "port" in stage.said[-1]
    assert stage.view.tool.marks().line == ()


def test_escape_gives_up_the_run_then_the_tool(stage: Stage) -> None:
    stage.view.connect_ports()
    stage.click(stage.port("p2", "s4"))
    stage.type(Qt.Key.Key_Escape)
    assert stage.view.tool.marks().line == ()
    assert not isinstance(stage.view.tool, SelectTool)
    stage.type(Qt.Key.Key_Escape)
    assert isinstance(stage.view.tool, SelectTool)


def test_a_boat_is_drawn_by_keyboard_alone(stage: Stage) -> None:
    stage.view.place("load_dc")
    stage.type(*[Qt.Key.Key_Down] * 4, held=SHIFT)
    stage.type(Qt.Key.Key_Return)
    load = stage.document.network.parts[-1]
    assert stage.selection.keys == {f"part:{load.id}"}
    stage.view.connect_ports()
    reached: list[tuple[str, str]] = []
    for wanted in (("p2", "s2"), (load.id, "supply")):
        for _ in range(60):
            if stage.view.tool.marks().target == stage.port(*wanted):
                reached.append(wanted)
                break
            stage.type(Qt.Key.Key_Tab)
        stage.type(Qt.Key.Key_Return)
    assert reached == [("p2", "s2"), (load.id, "supply")]
    run = stage.document.network.runs[-1]
    assert (run.a, run.b) == (End(part="p2", port="s2"), End(part=load.id, port="supply"))


def test_a_line_is_led_with_one_corner() -> None:
    assert led(((0.0, 0.0),), (10.0, 5.0), True) == ((0.0, 0.0), (10.0, 0.0), (10.0, 5.0))
    assert led(((0.0, 0.0),), (10.0, 5.0), False) == ((0.0, 0.0), (0.0, 5.0), (10.0, 5.0))
    assert led(((0.0, 0.0),), (10.0, 0.0), True) == ((0.0, 0.0), (10.0, 0.0))


def test_a_line_enters_a_port_as_it_faces_and_never_runs_back_over_itself() -> None:
    drawn = ((0.0, 0.0), (10.0, 0.0), (10.0, 20.0))
    assert arriving(drawn, (30.0, 25.0), True) == ((0.0, 0.0), (10.0, 0.0), (10.0, 25.0), (30.0, 25.0))
    assert arriving(drawn, (30.0, 5.0), True) == (*drawn, (30.0, 20.0), (30.0, 5.0))

"""Going through a sheet by keyboard."""

from app.canvas.walk import along, next_part, parts_in_order, ports_in_order
from engine.drawing.display import Page
from engine.drawing.ports import PortSpot
from engine.drawing.sheet import SheetDrawing
from tests.model.boats import small_boat

DRAWING = SheetDrawing(
    Page(420, 297, ()),
    {
        ("p3", "b"): PortSpot(30, 52, "right"),
        ("p1", "a"): PortSpot(10, 12, "right"),
        ("p3", "a"): PortSpot(20, 52, "left"),
    },
    {"part:p3": (20, 50, 30, 55), "part:p2": (90, 11, 99, 20), "part:p1": (0, 12, 9, 20), "run:w1": (0, 0, 1, 1)},
    {},
)


def test_parts_are_read_line_by_line() -> None:
    assert parts_in_order(DRAWING) == ["part:p1", "part:p2", "part:p3"]


def test_ports_are_read_part_by_part() -> None:
    assert [(end.part, end.port) for end in ports_in_order(DRAWING)] == [("p1", "a"), ("p3", "a"), ("p3", "b")]


def test_tab_goes_round() -> None:
    assert next_part(DRAWING, (), 1) == "part:p1"
    assert next_part(DRAWING, (), -1) == "part:p3"
    assert next_part(DRAWING, ("part:p3",), 1) == "part:p1"
    assert next_part(DRAWING, ("part:p1",), -1) == "part:p3"
    assert next_part(SheetDrawing(Page(1, 1, ()), {}, {}, {}), (), 1) is None


def test_a_walk_along_the_wiring_goes_on() -> None:
    network, came, here = small_boat().network, "", "part:p2"
    seen = [here]
    for _ in range(6):
        here, came = along(network, (here,), came) or "", here
        seen.append(here)
    assert seen == ["part:p2", "run:w6", "part:p3", "run:w7", "part:p4", "run:w8", "part:p5"]


def test_a_run_alone_jumps_between_its_ends() -> None:
    network = small_boat().network
    assert along(network, ("run:w6",), "part:p3") == "part:p2"
    assert along(network, ("run:w6", "run:w7"), "") is None
    assert along(network, (), "") is None


def test_a_position_walks_from_its_panel() -> None:
    assert along(small_boat().network, ("position:p4/1",), "") == "run:w7"

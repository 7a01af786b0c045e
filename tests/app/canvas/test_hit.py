"""What is under the cursor."""

import pytest

from app.canvas.hit import Hit, distance_to_leg, hit, inside
from engine.drawing.display import Page
from engine.drawing.ports import PortSpot
from engine.drawing.sheet import SheetDrawing
from engine.model.network import End

DRAWING = SheetDrawing(
    Page(420, 297, ()),
    {("p1", "a"): PortSpot(10, 10, "right"), ("p1", "b"): PortSpot(11, 10, "right")},
    {
        "part:p1": (0, 0, 20, 20),
        "part:p4": (100, 0, 200, 100),
        "position:p4/1": (110, 10, 190, 20),
        "note:n1": (50, 50, 80, 60),
    },
    {"w1": ((20, 10), (60, 10), (60, 55)), "w2": ((150, 50), (300, 50))},
)


@pytest.mark.parametrize(
    ("x", "y", "key", "kind"),
    [
        (10.2, 10.2, "part:p1", "port"),
        (5, 5, "part:p1", "part"),
        (120, 15, "position:p4/1", "position"),
        (120, 60, "part:p4", "part"),
        (160, 50.5, "part:p4", "part"),
        (40, 10.9, "run:w1", "run"),
        (60, 54, "run:w1", "run"),
        (70, 55, "note:n1", "note"),
        (300, 200, "", ""),
    ],
)
def test_the_nearest_thing_is_found(x: float, y: float, key: str, kind: str) -> None:
    found = hit(DRAWING, x, y, 1.5)
    assert (found.key, found.kind) == (key, kind)


def test_the_nearer_of_two_ports_is_taken() -> None:
    assert hit(DRAWING, 10.6, 10, 1.5).end == End(part="p1", port="b")


def test_ports_can_be_given_a_shorter_reach() -> None:
    assert hit(DRAWING, 12, 10, 1.5).kind == "port"
    assert hit(DRAWING, 12, 10, 1.5, 0.8).kind == "part"


def test_the_leg_is_known() -> None:
    assert [hit(DRAWING, *at, 1.0).leg for at in ((40, 10), (60, 30))] == [0, 1]


def test_the_part_of_what_was_hit() -> None:
    assert (Hit("position:p4/1").part, Hit("part:p4").part, Hit("run:w1").part, Hit().part) == ("p4", "p4", "", "")


def test_only_what_lies_wholly_in_a_box_is_inside() -> None:
    assert inside(DRAWING, (-1, -1, 90, 90)) == {"part:p1", "note:n1", "run:w1"}
    assert inside(DRAWING, (-1, -1, 70, 54)) == {"part:p1"}


def test_distance_counts_from_the_nearest_point_of_a_leg() -> None:
    assert distance_to_leg((5, 3), (0, 0), (10, 0)) == 3
    assert distance_to_leg((13, 4), (0, 0), (10, 0)) == 5
    assert distance_to_leg((3, 4), (0, 0), (0, 0)) == 5

"""How the drawing lies; the network is never touched."""

import pytest

from engine.model.document import Document
from engine.model.edits.arranging import (
    add_note,
    align,
    distribute,
    mirror,
    move,
    resize,
    rotate,
    set_note,
    shifted_segment,
    straightened,
)
from engine.model.edits.records import EditRefused
from tests.model.boats import SHEET, small_boat


def spot(boat: Document, part_id: str) -> tuple[float, float]:
    place = next(place for place in boat.sheets[0].places if place.part == part_id)
    return place.x_mm, place.y_mm


def bends(boat: Document) -> tuple[tuple[float, float], ...]:
    return boat.sheets[0].routes[0].bends


def test_moving_keeps_the_network_and_the_module() -> None:
    boat = small_boat()
    moved = move(boat, SHEET, {"part:p3"}, 9.0, 1.0)
    assert moved.network is boat.network
    assert spot(moved, "p3") == (110.0, 50.0)
    assert move(boat, SHEET, {"part:p3"}, 1.0, -1.0) is boat


def test_bends_between_moved_parts_go_along() -> None:
    assert bends(move(small_boat(), SHEET, {"part:p2", "part:p3"}, 5, 10)) == ((75.0, 60.0), (75.0, 70.0))


def test_the_leg_to_a_moved_end_stays_straight() -> None:
    assert bends(move(small_boat(), SHEET, {"part:p2"}, 5, 10)) == ((70.0, 60.0), (70.0, 60.0))
    assert bends(move(small_boat(), SHEET, {"part:p3"}, 5, 10)) == ((70.0, 50.0), (70.0, 70.0))


def test_four_quarter_turns_are_none_and_two_mirrors_too() -> None:
    boat = small_boat()
    turned = rotate(rotate(boat, SHEET, {"part:p3"}), SHEET, {"part:p3"}, clockwise=False)
    assert turned == boat
    assert rotate(boat, SHEET, {"part:p3"}).sheets[0].places[1].rotation == 90
    assert mirror(mirror(boat, SHEET, {"part:p3"}), SHEET, {"part:p3"}) == boat


BOXES = {"p2": (50.0, 50.0, 60.0, 80.0), "p3": (95.0, 45.0, 105.0, 55.0), "p5": (300.0, 95.0, 310.0, 105.0)}


@pytest.mark.parametrize(
    ("edge", "expected"),
    [
        ("left", [(50, 50), (55, 50), (50, 100)]),
        ("right", [(300, 50), (305, 50), (300, 100)]),
        ("top", [(50, 45), (100, 50), (300, 50)]),
        ("bottom", [(50, 75), (100, 100), (300, 100)]),
        ("centre", [(175, 50), (180, 50), (175, 100)]),
        ("middle", [(50, 60), (100, 75), (300, 75)]),
    ],
)
def test_parts_are_aligned(edge: str, expected: list[tuple[float, float]]) -> None:
    aligned = align(small_boat(), SHEET, BOXES, edge)  # type: ignore[arg-type]
    assert [spot(aligned, part) for part in BOXES] == expected


def test_parts_are_spread_with_equal_gaps() -> None:
    spread = distribute(small_boat(), SHEET, BOXES, "across")
    assert [spot(spread, part)[0] for part in BOXES] == [50.0, 180.0, 300.0]
    down = distribute(small_boat(), SHEET, BOXES, "down")
    assert [spot(down, part)[1] for part in BOXES] == [60.0, 50.0, 100.0]


def test_too_few_parts_are_refused() -> None:
    with pytest.raises(EditRefused, match="too-few"):
        align(small_boat(), SHEET, {"p2": BOXES["p2"]}, "left")
    with pytest.raises(EditRefused, match="too-few"):
        distribute(small_boat(), SHEET, {"p2": BOXES["p2"], "p3": BOXES["p3"]}, "across")


def test_a_size_is_set_on_the_module_and_left_to_the_drawing_again() -> None:
    boat = resize(small_boat(), SHEET, "p4", 81.0, 0.4)
    assert (boat.sheets[0].places[2].width_mm, boat.sheets[0].places[2].height_mm) == (80.0, 2.5)
    assert resize(boat, SHEET, "p4", None, None) == small_boat()


def test_a_leg_pushed_aside_keeps_the_ports() -> None:
    middle = ((0.0, 0.0), (10.0, 0.0), (10.0, 20.0), (30.0, 20.0))
    assert shifted_segment(middle, 1, 5.2) == ((15.0, 0.0), (15.0, 20.0))
    assert shifted_segment(middle, 0, 5.0) == ((0.0, 5.0), (10.0, 5.0), (10.0, 20.0))
    assert shifted_segment(middle, 2, -20.0) == ((30.0, 0.0),)
    assert shifted_segment(((0.0, 0.0), (30.0, 0.0)), 0, 5.0) == ((0.0, 5.0), (30.0, 5.0))


def test_corners_that_do_not_turn_go() -> None:
    assert straightened(((0, 0), (5, 0), (5, 0), (10, 0), (10, 5))) == ((0, 0), (10, 0), (10, 5))


def test_notes_have_words() -> None:
    boat = add_note(small_boat(), SHEET, 20.9, 20.0, " Battery locker ")
    note = boat.sheets[0].notes[0]
    assert (note.id, note.text, note.x_mm, boat.next_id) == ("n9", "Battery locker", 20.0, 10)
    assert set_note(boat, "n9", "Engine space", 3.5).sheets[0].notes[0].height_mm == 3.5
    assert set_note(boat, "n9", "Battery locker") is boat
    with pytest.raises(EditRefused, match="note-empty"):
        set_note(boat, "n9", " ")
    with pytest.raises(EditRefused, match="note-empty"):
        add_note(boat, SHEET, 0, 0, "")

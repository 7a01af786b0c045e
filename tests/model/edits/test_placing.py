"""Parts on sheets and off them."""

import pytest

from engine.model.document import Document
from engine.model.edits.boat import add
from engine.model.edits.placing import delete, place_existing, place_part, take_off_sheet
from engine.model.edits.records import EditRefused
from engine.model.edits.sheets import add_sheet
from engine.model.invariants import problems
from tests.model.boats import SHEET, kind, part, port_names, small_boat


def test_a_new_part_stands_on_the_module_with_its_kinds_defaults() -> None:
    boat = place_part(Document(), kind("bus_positive"), SHEET, 51.2, 48.8)
    bus, place = boat.network.parts[0], boat.sheets[0].places[0]
    assert (bus.id, bus.designation, bus.values["studs"]) == ("p2", "W1", 6.0)
    assert (place.x_mm, place.y_mm) == (50.0, 50.0)
    assert "rating_a" not in bus.values


def test_a_new_panel_has_spare_ways() -> None:
    panel = part(small_boat(), "p4")
    assert [way.state for way in panel.positions] == ["used"] + ["spare"] * 7


def test_a_part_stands_on_two_sheets_but_once_on_each() -> None:
    boat = place_existing(add_sheet(small_boat()), "p2", "s9", 30, 30)
    assert problems(boat, port_names) == ()
    with pytest.raises(EditRefused, match="already-on-sheet"):
        place_existing(boat, "p2", "s9", 60, 60)


def test_taking_a_part_off_a_sheet_leaves_it_on_the_boat() -> None:
    boat = place_existing(add_sheet(small_boat()), "p2", "s9", 30, 30)
    off = take_off_sheet(boat, "p2", SHEET)
    assert off.network is boat.network
    assert [place.part for place in off.sheets[0].places] == ["p3", "p4", "p5"]
    assert off.sheets[0].routes == ()
    with pytest.raises(EditRefused, match="last-place"):
        take_off_sheet(off, "p2", "s9")


def test_the_runs_of_a_deleted_part_go_with_it() -> None:
    boat = delete(small_boat(), {"part:p3"})
    assert [run.id for run in boat.network.runs] == ["w8"]
    assert boat.sheets[0].routes == ()
    assert problems(boat, port_names) == ()


def test_a_deleted_part_is_forgotten_by_the_conditions() -> None:
    boat = add(small_boat(), "conditions", "At anchor", switches={"p3": "off"}, duty={"p5": 0.5, "p3": 1.0})
    condition = delete(boat, {"part:p3"}).network.conditions[0]
    assert (dict(condition.switches), dict(condition.duty)) == ({}, {"p5": 0.5})


def test_deleting_nothing_is_the_same_document() -> None:
    boat = small_boat()
    assert delete(boat, {"part:p77", "note:n1", "position:p4/1"}) is boat

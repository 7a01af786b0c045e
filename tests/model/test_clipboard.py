"""Copy and paste: new ids, free names, other boats, and texts that are no fragment."""

import json

import msgspec
import pytest

from engine.model.clipboard import copy, duplicate, paste, pasted_keys
from engine.model.document import Document
from engine.model.edits.boat import add
from engine.model.edits.fields import set_part_fields
from engine.model.edits.records import EditRefused
from engine.model.edits.sheets import add_sheet
from engine.model.invariants import problems
from tests.model.boats import SHEET, port_names, small_boat

BOTH = ("part:p2", "part:p3")


def test_a_copy_takes_the_runs_between_the_parts_and_no_others() -> None:
    fragment = json.loads(copy(small_boat(), SHEET, BOTH))
    assert [run["id"] for run in fragment["runs"]] == ["w6"]
    assert [part["id"] for part in fragment["parts"]] == ["p2", "p3"]


def test_a_duplicate_has_new_ids_free_names_and_its_bends() -> None:
    boat = small_boat()
    twice = duplicate(boat, SHEET, BOTH)
    assert problems(twice, port_names) == ()
    assert [part.designation for part in twice.network.parts[4:]] == ["W2", "F2"]
    assert twice.network.runs[-1].number == "4"
    assert twice.sheets[0].routes[-1].bends == ((80.0, 60.0), (80.0, 70.0))
    assert pasted_keys(boat, twice, SHEET) == {"part:p9", "part:p10"}


def test_pasting_where_the_cursor_is_puts_the_top_left_there() -> None:
    boat = add_sheet(small_boat(), "Alternating current")
    pasted = paste(boat, copy(boat, SHEET, BOTH), "s9", 20, 31)
    assert [(place.x_mm, place.y_mm) for place in pasted.sheets[1].places] == [(20.0, 30.0), (70.0, 30.0)]


def test_a_compartment_is_found_again_by_name_in_another_boat() -> None:
    boat = add(small_boat(), "compartments", "Engine space", kind="engine")
    boat = set_part_fields(boat, "p2", compartment="c9")
    other = add(add(Document(), "compartments", "Saloon"), "compartments", "Engine space")
    assert paste(other, copy(boat, SHEET, BOTH), SHEET).network.parts[0].compartment == "c3"
    assert paste(Document(), copy(boat, SHEET, BOTH), SHEET).network.parts[0].compartment == ""


def test_what_comes_from_the_same_boat_keeps_its_compartment() -> None:
    boat = set_part_fields(add(small_boat(), "compartments", "Locker"), "p2", compartment="c9")
    assert duplicate(boat, SHEET, BOTH).network.parts[4].compartment == "c9"


def test_an_empty_copy_is_refused() -> None:
    with pytest.raises(EditRefused, match="nothing-to-copy"):
        copy(small_boat(), SHEET, ("run:w6",))


@pytest.mark.parametrize("text", ["", "words", "[]", "{}", "null", '{"parts": 3}', "[" * 5000])
def test_other_texts_are_refused(text: str) -> None:
    with pytest.raises(EditRefused, match="not-a-fragment"):
        paste(Document(), text, SHEET)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda fragment: fragment["parts"].pop(),
        lambda fragment: fragment["places"].pop(),
        lambda fragment: fragment["parts"].append(fragment["parts"][0]),
        lambda fragment: fragment["runs"][0]["a"].update(part="p5"),
        lambda fragment: fragment["routes"][0].update(run="w99"),
        lambda fragment: fragment.update(extra=1),
    ],
)
def test_a_fragment_that_does_not_hang_together_is_refused(spoil) -> None:  # type: ignore[no-untyped-def]
    fragment = json.loads(copy(small_boat(), SHEET, BOTH))
    spoil(fragment)
    with pytest.raises(EditRefused, match="not-a-fragment"):
        paste(Document(), msgspec.json.encode(fragment).decode(), SHEET)

"""Sheets added, ordered and taken away."""

import pytest

from engine.model.document import Document
from engine.model.edits.placing import place_existing
from engine.model.edits.records import EditRefused
from engine.model.edits.sheets import add_sheet, move_sheet, remove_sheet, set_sheet
from tests.model.boats import SHEET, small_boat


def test_a_new_sheet_has_the_format_of_the_last() -> None:
    boat = add_sheet(set_sheet(small_boat(), SHEET, format="A2"), "Alternating current")
    assert [(sheet.id, sheet.title, sheet.format) for sheet in boat.sheets][1] == ("s9", "Alternating current", "A2")


def test_sheets_change_places_and_names() -> None:
    boat = add_sheet(add_sheet(Document(), "B"), "C")
    assert [sheet.title for sheet in move_sheet(boat, "s3", 0).sheets] == ["C", "Direct current", "B"]
    assert move_sheet(boat, "s3", 9) == boat
    assert set_sheet(boat, "s3", title="D").sheets[2].title == "D"
    with pytest.raises(EditRefused, match="no-such-field"):
        set_sheet(boat, "s3", places=())


def test_the_last_sheet_stays() -> None:
    with pytest.raises(EditRefused, match="last-sheet"):
        remove_sheet(Document(), SHEET)


def test_parts_that_stand_elsewhere_do_not_hold_a_sheet() -> None:
    boat = place_existing(add_sheet(small_boat()), "p2", "s9", 30, 30)
    assert len(remove_sheet(boat, "s9").network.parts) == 4
    with pytest.raises(EditRefused, match="sheet-not-empty"):
        remove_sheet(boat, SHEET)
    gone = remove_sheet(boat, SHEET, with_parts=True)
    assert [part.id for part in gone.network.parts] == ["p2"]

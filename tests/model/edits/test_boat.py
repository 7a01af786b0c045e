"""Particulars, compartments, enclosures, options and conditions."""

import pytest

from engine.model.document import Document
from engine.model.edits.boat import add, remove, set_fields, set_particulars
from engine.model.edits.fields import set_part_fields, set_run_fields
from engine.model.edits.records import EditRefused
from engine.model.invariants import problems
from tests.model.boats import port_names, small_boat


def test_particulars_are_checked() -> None:
    boat = set_particulars(Document(), name="Quill 34", fuel="diesel")
    assert boat.network.particulars.name == "Quill 34"
    assert set_particulars(boat, name="Quill 34") is boat
    with pytest.raises(EditRefused, match="bad-value"):
        set_particulars(boat, fuel="coal")
    with pytest.raises(EditRefused, match="no-such-field"):
        set_particulars(boat, mast="tall")


@pytest.mark.parametrize("kind", ["compartments", "enclosures", "options", "conditions"])
def test_each_kind_is_added_named_and_removed(kind: str) -> None:
    boat = add(Document(), kind, " Locker ")  # type: ignore[arg-type]
    record = getattr(boat.network, kind)[0]
    assert (record.name, boat.next_id) == ("Locker", 3)
    for name, code in (("Locker", "name-taken"), ("", "name-empty")):
        with pytest.raises(EditRefused, match=code):
            add(boat, kind, name)  # type: ignore[arg-type]
    renamed = set_fields(boat, kind, record.id, name="Cabin")  # type: ignore[arg-type]
    assert getattr(renamed.network, kind)[0].name == "Cabin"
    assert getattr(remove(boat, kind, record.id).network, kind) == ()  # type: ignore[arg-type]
    with pytest.raises(EditRefused, match="no-such-record"):
        set_fields(boat, kind, "x9", name="Cabin")  # type: ignore[arg-type]


def test_what_is_removed_is_mentioned_no_more() -> None:
    boat = small_boat()
    boat = add(boat, "compartments", "Engine space")
    boat = add(boat, "enclosures", "Panel back", compartment="c9")
    boat = add(boat, "options", "Thruster")
    boat = add(boat, "options", "Solar", needs=("o11",))
    boat = set_part_fields(boat, "p2", compartment="c9", enclosure="e10", option="o11")
    boat = set_run_fields(boat, "w6", route=("c9",), option="o11")
    assert problems(boat, port_names) == ()
    for kind, record in (("compartments", "c9"), ("enclosures", "e10"), ("options", "o11")):
        boat = remove(boat, kind, record)  # type: ignore[arg-type]
    assert problems(boat, port_names) == ()
    assert (boat.network.parts, boat.network.runs) == (small_boat().network.parts, small_boat().network.runs)
    assert boat.network.options[0].needs == ()

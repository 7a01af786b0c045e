"""What parts and runs say of themselves."""

import pytest

from engine.model.edits.fields import (
    add_evidence,
    add_position,
    remove_position,
    rename,
    renumber_wires,
    set_evidence,
    set_part_fields,
    set_position,
    set_positions,
    set_run_fields,
    set_value,
    set_values,
)
from engine.model.edits.records import EditRefused
from engine.model.invariants import problems
from engine.model.network import Evidence, Position
from tests.model.boats import part, port_names, run, small_boat


def test_a_value_is_set_and_forgotten() -> None:
    boat = set_value(small_boat(), "p3", "rating_a", 80.0)
    assert part(boat, "p3").values["rating_a"] == 80.0
    assert set_value(boat, "p3", "rating_a", 80.0) is boat
    assert "rating_a" not in part(set_value(boat, "p3", "rating_a", None), "p3").values


def test_a_flag_is_not_the_number_one() -> None:
    boat = set_value(small_boat(), "p3", "mounted", 1.0)
    assert part(set_value(boat, "p3", "mounted", True), "p3").values["mounted"] is True


def test_several_values_are_one_edit_and_keep_the_order() -> None:
    boat = set_values(small_boat(), "p2", {"rating_a": 250.0, "studs": 8.0})
    assert next(iter(part(boat, "p2").values.items())) == ("studs", 8.0)


def test_designations_stay_unique() -> None:
    boat = small_boat()
    assert part(rename(boat, "p3", " F12 "), "p3").designation == "F12"
    with pytest.raises(EditRefused, match="designation-taken"):
        rename(boat, "p3", "W1")
    with pytest.raises(EditRefused, match="designation-empty"):
        rename(boat, "p3", "  ")
    assert rename(boat, "p3", "F1") is boat


def test_fields_of_a_wrong_type_or_name_are_refused() -> None:
    with pytest.raises(EditRefused, match="bad-value"):
        set_run_fields(small_boat(), "w6", length_m="long")
    with pytest.raises(EditRefused, match="no-such-field"):
        set_part_fields(small_boat(), "p3", kind="load_dc")
    with pytest.raises(EditRefused, match="no-such-run"):
        set_run_fields(small_boat(), "w99", size="6 AWG")


def test_other_poles_bring_their_colours_and_kept_cores_keep_theirs() -> None:
    boat = set_run_fields(small_boat(), "w8", colours=("OG", "BK"))
    more = run(set_run_fields(boat, "w8", poles=("+", "-", "BOND")), "w8")
    assert more.colours == ("OG", "BK", "GN")
    assert run(set_run_fields(boat, "w8", poles=("-",)), "w8").colours == ("BK",)
    with pytest.raises(EditRefused, match="colours-count"):
        set_run_fields(boat, "w8", colours=("RD",))
    with pytest.raises(EditRefused, match="no-poles"):
        set_run_fields(boat, "w8", poles=())


def test_a_wire_number_twice_can_be_recorded() -> None:
    assert run(set_run_fields(small_boat(), "w7", number="1"), "w7").number == "1"


def test_a_new_key_of_a_way_takes_its_run_along() -> None:
    boat = set_position(small_boat(), "p4", "1", key="A1", label="Bilge pump")
    assert run(boat, "w8").a.port == "pA1"
    assert problems(boat, port_names) == ()
    with pytest.raises(EditRefused, match="position-twice"):
        set_position(boat, "p4", "2", key="A1")
    with pytest.raises(EditRefused, match="no-such-position"):
        set_position(boat, "p4", "1", label="x")


def test_a_way_with_a_run_is_not_taken_away() -> None:
    boat = small_boat()
    with pytest.raises(EditRefused, match="position-in-use"):
        remove_position(boat, "p4", "1")
    assert len(part(remove_position(boat, "p4", "8"), "p4").positions) == 7
    with pytest.raises(EditRefused, match="position-twice"):
        set_positions(boat, "p4", (Position(key="1"), Position(key="1")))


def test_a_further_way_counts_on() -> None:
    assert part(add_position(small_boat(), "p4"), "p4").positions[-1] == Position(key="9", state="spare")


def test_evidence_is_gathered_by_field() -> None:
    read, measured = Evidence(kind="label", value="6 AWG"), Evidence(kind="measured", value=13.3)
    boat = add_evidence(add_evidence(small_boat(), "run:w6", "size", read), "run:w6", "size", measured)
    assert run(boat, "w6").evidence == {"size": (read, measured)}
    assert run(set_evidence(boat, "run:w6", "size", ()), "w6").evidence == {}
    assert part(add_evidence(boat, "part:p3", "rating_a", read), "p3").evidence == {"rating_a": (read,)}


def test_renumbering_twice_changes_nothing_the_second_time() -> None:
    boat = renumber_wires(small_boat(), ["w8"])
    assert [one.number for one in boat.network.runs] == ["2", "3", "1"]
    assert renumber_wires(boat, ["w8"]) is boat

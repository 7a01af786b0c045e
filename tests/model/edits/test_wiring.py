"""Runs: connecting, leading, splitting and joining."""

import pytest

from engine.model.edits.fields import set_run_fields
from engine.model.edits.records import EditRefused
from engine.model.edits.wiring import (
    connect,
    insert_inline,
    reconnect,
    remove_inline,
    set_route,
    shared_poles,
)
from engine.model.invariants import problems
from engine.model.network import End
from tests.model.boats import SHEET, kind, part, port_names, run, small_boat


def test_a_new_run_says_nothing_it_was_not_told() -> None:
    made = run(small_boat(), "w8")
    assert (made.number, made.poles, made.colours) == ("3", ("+", "-"), ("RD", "YE"))
    assert (made.size, made.insulation_c, made.tinned, made.cover, made.length_m) == ("", None, None, None, None)


def test_a_spare_way_that_is_connected_becomes_used() -> None:
    boat = connect(small_boat(), End(part="p4", port="p2"), End(part="p5", port="neg"), ("-",))
    assert part(boat, "p4").positions[1].state == "used"


def test_poles_come_in_one_order() -> None:
    assert shared_poles(("PE", "N", "L"), ("L", "PE", "N", "+")) == ("L", "N", "PE")
    assert shared_poles(("L1", "L2", "N", "PE"), ("L", "N", "PE")) == ("L1", "N", "PE"), "one line feeds a 120 V load"
    assert shared_poles(("L1", "L2", "N"), ("L1", "L2")) == ("L1", "L2")


@pytest.mark.parametrize(
    ("a", "b", "poles", "code"),
    [
        (End(part="p2", port="s1"), End(part="p2", port="s1"), ("+",), "same-port"),
        (End(part="p2", port="s1"), End(part="p3", port="a"), (), "no-common-pole"),
        (End(part="p99", port="s1"), End(part="p3", port="a"), ("+",), "no-such-part"),
    ],
)
def test_runs_that_cannot_be_are_refused(a: End, b: End, poles: tuple[str, ...], code: str) -> None:
    with pytest.raises(EditRefused, match=code):
        connect(small_boat(), a, b, poles)


def test_two_cables_between_the_same_ports_are_allowed() -> None:
    boat = connect(small_boat(), End(part="p2", port="s1"), End(part="p3", port="a"), ("+",))
    assert problems(boat, port_names) == ()


def test_an_end_goes_to_another_port_and_the_bends_go() -> None:
    boat = reconnect(small_boat(), "w6", "a", End(part="p2", port="s4"))
    assert run(boat, "w6").a.port == "s4"
    assert boat.sheets[0].routes == ()
    with pytest.raises(EditRefused, match="same-port"):
        reconnect(boat, "w6", "b", End(part="p2", port="s4"))


def test_a_route_is_set_and_taken_away_and_leaves_the_network_alone() -> None:
    boat = small_boat()
    led = set_route(boat, SHEET, "w7", ((120.0, 50.0),))
    assert led.network is boat.network
    assert set_route(led, SHEET, "w7", ((120.0, 50.0),)) is led
    assert set_route(led, SHEET, "w7", ()) == boat
    assert set_route(boat, SHEET, "w7", ()) is boat


def test_an_inline_device_splits_a_run_of_which_each_piece_may_be_the_whole() -> None:
    boat = set_run_fields(small_boat(), "w8", length_m=4.0, size="12 AWG")
    split = insert_inline(boat, "w8", kind("fuse_bolt"), SHEET, 250, 60)
    first, second = run(split, "w8"), run(split, "w10")
    assert (first.a.part, first.b, second.a, second.b.part) == (
        "p4",
        End(part="p9", port="a"),
        End(part="p9", port="b"),
        "p5",
    )
    assert (first.number, second.number) == ("3", "4")
    assert (first.length_m, second.length_m) == ((0.0, 4.0), (0.0, 4.0))
    assert first.poles == second.poles == ("+", "-")
    assert first.size == second.size == "12 AWG"
    assert problems(split, port_names) == ()


def test_only_an_inline_device_that_takes_a_pole_of_the_run_goes_in() -> None:
    with pytest.raises(EditRefused, match="not-inline"):
        insert_inline(small_boat(), "w8", kind("load_dc"), SHEET, 250, 60)
    earth = connect(small_boat(), End(part="p2", port="s1"), End(part="p5", port="neg"), ("-",))
    with pytest.raises(EditRefused, match="wrong-poles"):
        insert_inline(earth, "w9", kind("fuse_bolt"), SHEET, 250, 60)


def test_the_runs_of_a_removed_inline_device_are_joined() -> None:
    boat = set_run_fields(small_boat(), "w6", size="6 AWG", length_m=1.0, tinned=True)
    boat = set_run_fields(boat, "w7", size="8 AWG", length_m=(2.0, 3.0), tinned=True)
    joined = remove_inline(boat, "p3", kind("fuse_bolt").inline)
    made = run(joined, "w6")
    assert (made.a, made.b) == (End(part="p2", port="s1"), End(part="p4", port="feed"))
    assert (made.size, made.tinned, made.length_m) == ("", True, (3.0, 4.0))
    assert [one.id for one in joined.network.runs] == ["w6", "w8"]
    assert problems(joined, port_names) == ()


def test_a_device_whose_runs_come_from_one_port_cannot_be_taken_out() -> None:
    """Found by the random walk: the joined run would have had both ends on one stud."""
    boat = reconnect(small_boat(), "w7", "b", End(part="p2", port="s1"))
    with pytest.raises(EditRefused, match="cannot-join"):
        remove_inline(boat, "p3", kind("fuse_bolt").inline)


def test_a_device_without_one_run_on_each_side_cannot_be_taken_out() -> None:
    boat = connect(small_boat(), End(part="p3", port="b"), End(part="p5", port="supply"), ("+",))
    with pytest.raises(EditRefused, match="cannot-join"):
        remove_inline(boat, "p3", kind("fuse_bolt").inline)

"""The boat with its ranges at one end: which end of what, and what stays."""

from __future__ import annotations

import pytest

from engine.graph.boat import Boat
from engine.studies.corners import COOLEST_C, Bias, Toward, at_end, ranged_fields
from tests.rules.cases import boat_of

RANGED = """
G1 battery nominal_v=12..24 internal_mohm=2..6
F1 fuse_blade 10..15 A
W4 bus_negative studs=4
E1 lamp running_a=1..3
1: G1.pos - F1.a + 10 AWG 1..2 m 75..105 C
2: F1.b - E1.supply + 14 AWG 4 m
3: E1.neg - W4.s1 - 14 AWG 4 m 75 C
4: W4.s2 - G1.neg - 10 AWG 1 m 75 C
"""
EXACT = """
G1 battery nominal_v=12 internal_mohm=2
E1 lamp running_a=1
1: G1.pos - E1.supply + 14 AWG 4 m 75 C
2: E1.neg - G1.neg - 14 AWG 4 m 75 C
"""


def part(boat: Boat, designation: str) -> dict[str, object]:
    return dict(next(each for each in boat.network.parts if each.designation == designation).values)


@pytest.mark.parametrize(
    ("bias", "toward", "mohm", "rating", "load"),
    [("most", "fault", 2, 15, 3), ("least", "fault", 6, 10, 1), ("most", "voltage", 2, 15, 1), ("least", "voltage", 6, 10, 3)],
)  # fmt: skip
def test_each_end_gives_most_or_least_of_what_is_asked(
    bias: Bias, toward: Toward, mohm: float, rating: float, load: float
) -> None:
    made = at_end(boat_of(RANGED), bias, toward)
    assert part(made, "G1")["internal_mohm"] == mohm
    assert part(made, "F1")["rating_a"] == rating
    assert part(made, "E1")["running_a"] == load
    first, second = made.network.runs[:2]
    assert (first.length_m, first.insulation_c) == ((1, 75) if bias == "most" else (2, 105))
    assert second.insulation_c == (COOLEST_C if bias == "most" else None)


def test_a_nominal_voltage_is_a_name_and_stays() -> None:
    assert part(at_end(boat_of(RANGED), "most"), "G1")["nominal_v"] == (12.0, 24.0)


def test_a_boat_without_ranges_is_its_own_end() -> None:
    boat = boat_of(EXACT)
    assert at_end(boat, "most") is at_end(boat, "least", "voltage") is boat


def test_fields_that_hold_ranges_are_named() -> None:
    boat = boat_of(RANGED)
    run, fuse = boat.network.runs[0].id, boat.network.parts[1].id
    assert ranged_fields(boat, (f"run:{run}", f"part:{fuse}")) == (
        f"run:{run} length_m", f"run:{run} insulation_c", f"part:{fuse} rating_a",
    )  # fmt: skip
    assert ranged_fields(boat, [f"run:{boat.network.runs[3].id}"]) == ()

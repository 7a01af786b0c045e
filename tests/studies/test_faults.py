"""Prospective short-circuit currents of whole boats: the worked examples drawn as boats, bounds, and laws."""

from __future__ import annotations

import math

import pytest

from engine.studies.faults import fault_levels, prospective
from tests.rules.cases import boat_of
from tests.studies.test_short_circuit import EXAMPLES

BANK = """
G1 battery nominal_v=12 chemistry=flooded internal_mohm=3 capacity_ah=100
W4 bus_positive studs=6
W5 bus_negative studs=6
E1 load_dc running_a=1 nominal_v=12
E2 load_dc running_a=1 nominal_v=12
1: G1.pos - W4.s1 + 35 mm2 RD 2 m 105 C tinned
2: G1.neg - W5.s1 - 35 mm2 YE 2 m 105 C tinned
3: W4.s2 - E1.supply + 2.5 mm2 RD 5 m 105 C tinned
4: W5.s2 - E1.neg - 2.5 mm2 YE 5 m 105 C tinned
5: W4.s3 - E2.supply + 1.5 mm2 RD 20 m 105 C tinned
6: W5.s3 - E2.neg - 1.5 mm2 YE 20 m 105 C tinned
"""


def at(boat, name: str, port: str):
    part = next(part for part in boat.network.parts if part.designation == name)
    found = prospective(boat, (part.id, port, "+"))
    assert found is not None
    return found


def test_the_computed_examples_drawn_as_a_boat() -> None:
    """SC-C1, C7 and C8: full battery (12.8 V), cold conductors, out and back."""
    boat = boat_of(BANK)
    for name, port, amps, example in (
        ("G1", "pos", 4267, "SC-C1"),
        ("E1", "supply", 147, "SC-C7"),
        ("E2", "supply", 23.1, "SC-C8"),
    ):
        assert f"{amps:g}" in EXAMPLES[example]
        assert at(boat, name, port).most_a == pytest.approx(amps, abs=0.6)


def test_three_in_parallel_add_and_each_has_its_share() -> None:
    """SC-C4 at the posts; shares are of equal batteries equal and sum to the whole."""
    rows = [f"G{n} battery nominal_v=12 chemistry=flooded internal_mohm=3 capacity_ah=100" for n in (1, 2, 3)]
    rows += ["W4 bus_positive studs=6", "W5 bus_negative studs=6"]
    rows += [f"1{n}: G{n}.pos - W4.s{n} + 95 mm2 RD 0.0001 m 105 C tinned" for n in (1, 2, 3)]
    rows += [f"2{n}: G{n}.neg - W5.s{n} - 95 mm2 YE 0.0001 m 105 C tinned" for n in (1, 2, 3)]
    boat = boat_of("\n".join(rows))
    level = at(boat, "W4", "s5")
    assert "12800" in EXAMPLES["SC-C4"]
    assert level.most_a == pytest.approx(12800, rel=2e-3)
    assert sum(share.current_a for share in level.shares) == pytest.approx(level.most_a, rel=1e-9)
    assert [share.current_a for share in level.shares] == pytest.approx([level.most_a / 3] * 3, rel=1e-3)


def test_least_is_below_most_everywhere_and_falls_along_a_branch() -> None:
    boat = boat_of(BANK)
    levels = fault_levels(boat)
    assert levels
    assert all(0 < level.least_a < level.most_a for level in levels.values())
    assert at(boat, "E2", "supply").least_a < at(boat, "W4", "s1").least_a


def test_what_the_battery_does_not_say_is_a_range() -> None:
    """Chemistry and capacity alone give a range, from memory; nothing at all gives no upper bound, with the fields named."""
    known = at(boat_of(BANK.replace("internal_mohm=3 ", "")), "G1", "pos")
    assert known.most_a / known.least_a > 3
    unknown = at(boat_of(BANK.replace("internal_mohm=3 capacity_ah=100", "")), "E1", "supply")
    assert math.isinf(unknown.most_a)
    assert unknown.least_a == 0
    assert any("internal_mohm" in field for field in unknown.lacks)


def test_a_conductor_nobody_measured_gives_no_lower_bound() -> None:
    boat = boat_of(BANK.replace("2.5 mm2 RD 5 m", "2.5 mm2 RD"))
    level = at(boat, "E1", "supply")
    assert level.least_a == 0
    assert level.most_a > at(boat_of(BANK), "E1", "supply").most_a
    assert any("length_m" in field for field in level.lacks)
    assert at(boat, "E2", "supply").least_a > 0


def test_an_open_combining_relay_parts_the_batteries_for_the_smallest_only() -> None:
    relay = BANK + (
        "G2 battery nominal_v=12 chemistry=flooded internal_mohm=3 capacity_ah=100\nK1 combining_relay 100 A\n"
        "7: G2.pos - K1.a + 35 mm2 RD 1 m 105 C tinned\n8: K1.b - W4.s4 + 35 mm2 RD 1 m 105 C tinned\n"
        "9: G2.neg - W5.s4 - 35 mm2 YE 1 m 105 C tinned\n"
    )
    alone, joined = at(boat_of(BANK), "W4", "s1"), at(boat_of(relay), "W4", "s1")
    assert joined.least_a == pytest.approx(alone.least_a)
    assert joined.most_a > 1.3 * alone.most_a


def test_motors_and_chargers_feed_the_largest() -> None:
    """A running motor gives ten times its rated current at its terminals (IEEE 946-2020 annex D, secondary)."""
    ends = "7: W4.s4 - {live} + 35 mm2 RD 1 m 105 C\n8: W5.s4 - {back} - 35 mm2 YE 1 m 105 C\n"
    motor = BANK + "M1 motor running_a=50 nominal_v=12\n" + ends.format(live="M1.supply", back="M1.neg")
    alternator = "G3 alternator rated_a=100 regulated_v=14.4 self_limiting=yes\n"
    charger = BANK + alternator + ends.format(live="G3.bplus", back="G3.bminus")
    plain = at(boat_of(BANK), "W4", "s1").most_a
    assert plain + 300 < at(boat_of(motor), "W4", "s1").most_a < plain + 500
    assert plain + 30 < at(boat_of(charger), "W4", "s1").most_a < plain + 100


def test_ac_from_line_to_neutral() -> None:
    boat = boat_of(
        """
        X1 shore_inlet nominal_v=230 service_a=16
        E1 load_ac power_w=1000 nominal_v=230
        1: X1.boat - E1.supply L,N,PE 2.5 mm2 10 m tinned
        """
    )
    part = next(part for part in boat.network.parts if part.designation == "E1")
    level = prospective(boat, (part.id, "supply", "L"))
    assert level is not None
    assert 0 < level.least_a < level.most_a < 230 / (20 * 8.21e-3)


def test_a_generator_of_which_nothing_is_known_leaves_no_upper_bound_beside_shore() -> None:
    boat = boat_of("""
    X1 shore_inlet service_a=30 nominal_v=120
    G1 generator
    S1 ac_selector
    E1 load_ac running_a=5 nominal_v=120
    1: X1.boat - S1.in1 L,N,PE 10 AWG 1 m 75 C
    2: G1.ac - S1.in2 L,N,PE 10 AWG 1 m 75 C
    3: S1.out - E1.supply L,N,PE 10 AWG 1 m 75 C
    """)
    load = next(part.id for part in boat.network.parts if part.designation == "E1")
    level = fault_levels(boat)[load, "supply", "L"]
    assert level.most_a == math.inf
    assert any("G1" in boat.parts[field.partition(" ")[0].removeprefix("part:")].designation for field in level.lacks)
    assert [share.known for share in level.shares] == [True, False]

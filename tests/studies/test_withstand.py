"""What conductors stand against what devices let through: the worked example, and each of the three verdicts."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.electrics.time_current import ADIABATIC_MOST_S, band, opening, withstand, withstand_cross_linked
from engine.studies.protection import faults
from engine.studies.withstand import held, hold_of, hold_text, stands
from tests.rules.cases import boat_of
from tests.studies.test_short_circuit import EXAMPLES

BRANCH = """
G1 battery nominal_v=12 chemistry=flooded internal_mohm=3 capacity_ah=100
F1 {device}
W4 bus_positive studs=6
W5 bus_negative studs=6
E1 load_dc running_a=1 nominal_v=12
1: G1.pos - W4.s1 + 35 mm2 RD 2 m 75 C tinned
2: G1.neg - W5.s1 - 35 mm2 YE 2 m 75 C tinned
3: W4.s2 - F1.a + 2.5 mm2 RD 0.1 m 75 C tinned
4: F1.b - E1.supply + {wire} tinned
5: W5.s2 - E1.neg - 2.5 mm2 YE 5 m 75 C tinned
"""


def hold(device: str, wire: str = "2.5 mm2 RD 5 m 75 C"):
    boat = boat_of(BRANCH.format(device=device, wire=wire))
    run = next(run for run in boat.network.runs if run.number == "4")
    return hold_of(faults(boat)[run.id, "+"])


def test_the_worked_example_holds() -> None:
    """SC-C7 (computed from the published formula): 147 A behind a 20 A fuse, 2147 A²s at most against (115 × 2.5)²."""
    assert "2147 A2s against (115*2.5)^2 = 82656" in EXAMPLES["SC-C7"]
    found = held((band("blade", 20),), withstand(2.5, 70), withstand_cross_linked(2.5), 147, 147)
    assert found.verdict == "holds"
    assert found.let_through_a2s <= 2147
    assert found.stands.energy_a2s == pytest.approx(82656, rel=1e-4)


def test_a_fuse_that_suits_its_wire_holds_over_the_whole_range() -> None:
    found = hold('fuse_blade 20/30 A series="medium blade"')
    assert found.verdict == "holds"
    assert "let through is at most" in hold_text(found)


def test_a_fuse_far_too_large_lets_the_wire_burn() -> None:
    """A 100 A fuse (SF51: at 350 % not before 0.3 s) on 0.5 mm²: (143 × 0.5)²/350² = 42 ms even if cross-linked."""
    wire = "0.5 mm2 RD 1 m 75 C"
    found = hold("fuse_bolt 100/100 A series=SF51", wire)
    assert found.verdict == "burns"
    assert found.opens.least_s > found.at_best.seconds(found.at_a)
    assert "does not stand it" in hold_text(found)
    assert found.at_best.seconds(350) == pytest.approx((143 * 0.5 / 350) ** 2)


def test_a_class_that_no_table_knows_cannot_be_told() -> None:
    found = hold("fuse_bolt 30/30 A", "2.5 mm2 RD 1 m 75 C")
    assert found.verdict == "open"
    assert found.let_through_a2s == math.inf
    assert "no table says how soon" in hold_text(found)


def test_where_there_is_no_device_nothing_is_said_of_one() -> None:
    boat = boat_of(
        """
        G1 battery nominal_v=12 cca_a=900 chemistry=AGM
        M1 engine_starter cranking_a=300
        1: G1.pos - M1.pos + 50 mm2 2 m cranking
        2: G1.neg - M1.case - 50 mm2 2 m cranking
        """
    )
    told = [hold_text(hold_of(fault)) for fault in faults(boat).values()]
    assert told
    assert all(text.startswith("Nothing opens, and at ") and "device" not in text for text in told)


def test_no_size_no_answer() -> None:
    assert hold("fuse_blade 20/30 A", "RD 5 m 75 C") is None
    assert "not known" in hold_text(None)


def test_unknown_insulation_is_bounded_by_the_lowest_and_the_highest_k() -> None:
    boat = boat_of(BRANCH.format(device="fuse_blade 20/30 A", wire="2.5 mm2 RD 5 m"))
    run = next(run for run in boat.network.runs if run.number == "4")
    least, best = stands(run)
    assert least.k == pytest.approx(79.7)
    assert best.k == 143


def test_below_the_current_that_heats_it_in_5_s_nothing_is_asked() -> None:
    """IEC 60364-4-43: the adiabatic formula holds up to 5 s; below, the allowed current is the measure."""
    wire = withstand(2.5, 75)
    just_below = wire.most_a(ADIABATIC_MOST_S) * 0.99
    assert held((), wire, withstand_cross_linked(2.5), 1, just_below).verdict == "holds"
    assert held((), wire, withstand_cross_linked(2.5), 1, just_below * 1.02).verdict == "open"


@given(st.sampled_from([5, 10, 15, 20, 30, 40]), st.floats(0.3, 10), st.floats(5, 500), st.floats(1, 100))
def test_the_verdict_is_that_of_every_current_of_the_range(
    rating: float, area: float, from_a: float, wide: float
) -> None:
    """Law: what holds does so at every current between, not only where the limits turn; what burns does so at the one named."""
    limits, least, best = band("blade", rating), withstand(area, 105), withstand_cross_linked(area)
    found = held((limits,), least, best, from_a, from_a * wide)
    if found.verdict == "burns":
        assert opening(limits, found.at_a).least_s > best.seconds(found.at_a)
    if found.verdict == "holds":
        for step in range(200):
            at = from_a * wide ** (step / 199)
            if least.seconds(at) <= ADIABATIC_MOST_S:
                assert opening(limits, at).most_s <= least.seconds(at) * (1 + 1e-9)

"""The network solution on small boats whose answer can be worked out by hand."""

from __future__ import annotations

import math

import pytest

from engine.model.network import Condition
from engine.studies.network import bounds, solve
from tests.rules.cases import boat_of

SMALL = """
G1 battery "House" nominal_v=12 chemistry=AGM capacity_ah=100 internal_mohm=4
F1 fuse_bolt 100 A
Q1 battery_switch "Main" 200 A
A1 dc_panel "DC panel" bus_a=100
  1 breaker 10 A "Lights"
  2 breaker 20 A "Stereo"
E1 lamp "Lights" running_a=5 nominal_v=12
E2 load_dc "Stereo" power_w=100 nominal_v=12
W1: G1.pos - F1.a + 2 AWG RD 0.3 m 105 C
W2: F1.b - Q1.in + 2 AWG RD 1 m 105 C
W3: Q1.out - A1.feed + 2 AWG RD 3 m 105 C
W4: G1.neg - A1.neg - 2 AWG YE 4 m 105 C
W5: A1.p1 - E1.supply +- 14 AWG RD,YE 6 m 105 C
W6: A1.p2 - E2.supply +- 14 AWG RD,YE 6 m 105 C
"""


def answers(solution):
    return {answer.part.designation: answer for answer in solution.loads.values()}


def test_both_rails_add_up_to_the_emf() -> None:
    solution = solve(boat_of(SMALL))
    lights = answers(solution)["E1"]
    carried = {key: flow.current_a for key, flow in solution.flows.items()}
    main = [flow for (key, pole), flow in solution.flows.items() if abs(abs(flow.current_a) - 5) > 1e-6]
    assert lights.current_a == pytest.approx(5)
    total = sum(amps for (key, _), amps in carried.items() if key in ("run:w1",))
    assert total == pytest.approx(5 + answers(solution)["E2"].current_a)
    on_the_way = [f for (k, p), f in solution.flows.items() if k in ("run:w1", "run:w2", "run:w3", "run:w4", "run:w5")]
    devices = [f for (k, p), f in solution.flows.items() if k.startswith(("part:", "position:p4/1"))]
    lost = sum(flow.drop_v for flow in on_the_way + devices)
    assert lights.source_v - lights.volts_v == pytest.approx(lost, rel=1e-9)
    assert lights.emf_v - lights.source_v == pytest.approx(0.004 * total, rel=1e-9)
    assert main


def test_a_constant_power_load_by_the_quadratic() -> None:
    """P = V (E - V) / R: the upper root is the one that a supply comes to."""
    boat = boat_of(
        """
        G1 battery nominal_v=12 chemistry=AGM internal_mohm=4 capacity_ah=100
        E1 load_dc power_w=200 nominal_v=12
        W1: G1.pos - E1.supply + 4 mm2 RD 10 m 105 C
        W2: G1.neg - E1.neg - 4 mm2 YE 10 m 105 C
        """
    )
    solution = solve(boat)
    load = answers(solution)["E1"]
    emf = load.emf_v
    ohm = 0.004 + sum(flow.ohm.real for flow in solution.flows.values())
    assert load.volts_v == pytest.approx(emf / 2 + math.sqrt(emf**2 / 4 - 200 * ohm), rel=1e-10)
    assert load.power_w == pytest.approx(200, rel=1e-10)


def test_what_is_open_lies_between_the_bounds() -> None:
    worst, best = bounds(boat_of(SMALL.replace("6 m", "5..7 m").replace("internal_mohm=4", "")))
    middle = solve(boat_of(SMALL.replace("6 m", "5..7 m").replace("internal_mohm=4", "")))
    for name in ("E1", "E2"):
        low, mid, high = (answers(each)[name].volts_v for each in (worst, middle, best))
        assert low < mid < high


def test_a_collapse_is_a_result() -> None:
    solution = solve(boat_of(SMALL.replace("power_w=100", "power_w=9000")))
    assert answers(solution)["E2"].state == "collapsed"
    gap = next(gap for gap in solution.gaps if gap.code == "collapsed")
    assert "E2 Stereo" in gap.text
    assert solution.volts_at(next(iter(solution.loads.values())).a) is None


def test_missing_data_is_named_and_makes_values_bounds() -> None:
    boat = boat_of(
        SMALL.replace("running_a=5", "running_a=?").replace(
            "W4: G1.neg - A1.neg - 2 AWG YE 4 m", "W4: G1.neg - A1.neg - YE"
        )
    )
    solution = solve(boat)
    lacks = [field for gap in solution.gaps if gap.code == "missing" for field in gap.lacks]
    assert {"run:w4 size", "run:w4 length_m"} <= set(lacks)
    assert any(field.endswith("running_a") for field in lacks)
    assert answers(solution)["E1"].state == "not-known"


def test_a_switch_that_is_off_leaves_its_loads_without_a_source() -> None:
    from engine.model.network import Condition

    boat = boat_of(SMALL)
    ids = {part.designation: part.id for part in boat.network.parts}
    said = Condition(id="c", name="Left", switches={ids["Q1"]: "off"}, duty={ids["E1"]: 1.0})
    solution = solve(boat, said)
    assert {answer.state for answer in solution.loads.values()} == {"dead"}
    assert any(gap.code == "no-source" and "E1 Lights" in gap.text for gap in solution.gaps)


def test_what_stays_the_same_when_the_voltage_falls() -> None:
    """One load of 12 V and 10 A or 120 W said in each way."""
    rows = """
        G1 battery nominal_v=12 chemistry=AGM internal_mohm=50 capacity_ah=100 charge_pct=50
        E1 load_dc nominal_v=12 {what}
        W1: G1.pos - E1.supply + 4 mm2 RD 10 m 105 C
        W2: G1.neg - E1.neg - 4 mm2 YE 10 m 105 C
    """
    found = {}
    for what in (
        "running_a=10",
        "running_a=10 draws=power",
        "running_a=10 draws=resistance",
        "power_w=120",
        "power_w=120 draws=current",
    ):
        found[what] = answers(solve(boat_of(rows.format(what=what))))["E1"]
    assert found["running_a=10"].current_a == pytest.approx(10)
    assert found["power_w=120 draws=current"].current_a == pytest.approx(10)
    assert found["power_w=120"].power_w == pytest.approx(120)
    assert found["running_a=10 draws=power"].power_w == pytest.approx(120)
    resistive = found["running_a=10 draws=resistance"]
    assert resistive.current_a == pytest.approx(resistive.volts_v / 1.2)
    assert {round(answer.emf_v, 2) for answer in found.values()} == {12.3}


UNKNOWN = {
    "a battery without a voltage": ("G1 battery", "G1.pos", "G1.neg", "nominal_v"),
    "an alternator without a rating": ("G1 alternator", "G1.bplus", "G1.bminus", ""),
}


@pytest.mark.parametrize("name", UNKNOWN)
def test_a_source_of_which_too_little_is_known_leaves_nothing_dead(name: str) -> None:
    """What it feeds has no answer; that it is dead would be an answer, and a wrong one."""
    source, pole, back, field = UNKNOWN[name]
    boat = boat_of(
        f"{source}\nE1 lamp running_a=1 nominal_v=12\n1: {pole} - E1.supply + 14 AWG 2 m\n2: E1.neg - {back} - 14 AWG 2 m\n"
    )
    solution = solve(boat, boat_case(boat))
    (load,) = solution.loads.values()
    assert load.state == "source-unknown"
    (gap,) = (each for each in solution.gaps if each.code == "source-unknown")
    assert "No source" not in gap.text
    assert any(field in each for each in gap.lacks)


def boat_case(boat):
    """Every source at work."""
    return Condition(id="c1", name="Everything", duty={part.id: 1.0 for part in boat.network.parts})

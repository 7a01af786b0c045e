"""What banks give and take, against published worked examples (tests/references/energy_examples.csv; each names its source)."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.studies import banks
from engine.studies.estimate import Estimate, exactly, over, times, value_of

REFERENCES = Path(__file__).parent.parent / "references"
ROWS = {
    row["id"]: row
    for row in csv.DictReader((REFERENCES / "energy_examples.csv").read_text(encoding="utf-8").splitlines())
}


def pairs(text: str) -> dict[str, str]:
    return dict(pair.split("=", 1) for pair in text.split(";"))


def of_kind(kind: str) -> list[str]:
    return [name for name, row in ROWS.items() if row["kind"] == kind]


def check(name: str, **found: float) -> None:
    """Found values against the row's expected ones, all of them."""
    expected, tolerance = pairs(ROWS[name]["expected"]), float(ROWS[name]["tolerance"])
    assert set(expected) == set(found)
    for key, value in found.items():
        assert value == pytest.approx(float(expected[key]), abs=tolerance + 1e-9), (name, ROWS[name]["source"])


def given_of(name: str) -> dict[str, float]:
    return {key: float(value) for key, value in pairs(ROWS[name]["inputs"]).items()}


def amps(watts: float, volts: float) -> Estimate:
    return over(exactly(watts, "W"), exactly(volts, "V"), "A")


def test_every_example_is_used() -> None:
    used = {
        "energy_item", "load_current", "duty_cycle", "solar_current", "charge_acceptance", "recharge_time",
        "energy_budget", "autonomy", "charger_limit", "peukert", "bank_from_load", "alternator_hot", "amp_hours",
        "charge_time", "inverter_dc_current", "ac_load_sum", "battery_bank_sizing", "budget_ah",
    }  # fmt: skip
    assert {row["kind"] for row in ROWS.values()} == used


@pytest.mark.parametrize("name", of_kind("energy_item"))
def test_watts_for_hours(name: str) -> None:
    told = given_of(name)
    if "P_W" in told:
        current = amps(told["P_W"], told["U_V"])
        check(name, I_A=current.middle, Ah=banks.daily_ah(current, told["h"]).middle)
    else:
        power = times(exactly(told["I_A"], "A"), exactly(told["U_V"], "V"), "W")
        check(name, P_W=power.middle, Wh=power.middle * told["h"])


@pytest.mark.parametrize("name", of_kind("load_current"))
def test_watts_over_volts(name: str) -> None:
    told = given_of(name)
    check(name, I_A=amps(told["P_W"], told["U_V"]).middle)


def test_duty_lowers_the_mean_current() -> None:
    told = given_of("INT-027")
    check("INT-027", I_avg_A=banks.daily_ah(exactly(told["I_A"], "A"), 1.0, told["duty"]).middle)


@pytest.mark.parametrize("name", of_kind("amp_hours"))
def test_amps_for_hours(name: str) -> None:
    told = given_of(name)
    check(name, Ah=banks.daily_ah(exactly(told["I_A"], "A"), told["h"]).middle)


@pytest.mark.parametrize("name", of_kind("budget_ah"))
def test_a_budget_is_the_sum_of_its_lines(name: str) -> None:
    lines = [line.split("*") for line in pairs(ROWS[name]["inputs"])["lines"].split("|")]
    items = [banks.daily_ah(exactly(float(a), "A"), float(h)) for a, h in lines]
    check(name, Ah=banks.total(items, "Ah").middle)


def test_a_budget_in_watt_hours() -> None:
    lines = [line.split("*") for line in pairs(ROWS["INT-039"]["inputs"]).values()]
    check("INT-039", Wh=banks.total([exactly(float(w) * float(h), "Wh") for w, h in lines], "Wh").middle)


def test_solar_current_at_peak() -> None:
    told = given_of("INT-032")
    check("INT-032", I_A=amps(told["P_W"], told["Vmp_V"]).middle)


@pytest.mark.parametrize("name", of_kind("charge_acceptance"))
def test_what_a_bank_accepts(name: str) -> None:
    told = pairs(ROWS[name]["inputs"])
    check(name, I_A=banks.acceptance(exactly(float(told["C_Ah"]), "Ah"), told["chemistry"]).most)


def test_hours_at_one_current() -> None:
    told = given_of("INT-037")
    check("INT-037", t_h=banks.simple_recharge_hours(told["C_Ah"] * told["DoD"], told["I_A"]))
    told = given_of("US-WE-17")
    check("US-WE-17", t_h=banks.simple_recharge_hours(told["C_Ah"] * told["missing"], told["I_A"], told["factor"]))


def test_days_on_a_bank() -> None:
    told = given_of("INT-040")
    daily = over(exactly(told["use_Wh_per_day"], "Wh"), exactly(told["U_V"], "V"), "Ah")
    check("INT-040", days=banks.days_on(exactly(told["C_Ah"], "Ah"), daily).middle)


def test_an_eighth_of_the_capacity() -> None:
    told = given_of("INT-042")
    check("INT-042", I_A=told["C_Ah"] / told["part"])
    span = banks.charger_span(exactly(told["C_Ah"], "Ah"), "flooded")
    assert span.least < told["C_Ah"] / told["part"] < span.most


def test_peukert_with_the_twenty_hour_rating() -> None:
    told = given_of("INT-043")
    hours = banks.peukert_hours(told["C20_Ah"], told["I_A"], told["n"])
    check("INT-043", t_h=hours, Ah=banks.peukert_capacity(told["C20_Ah"], told["I_A"], told["n"]))


def test_a_bank_twice_the_need() -> None:
    told = pairs(ROWS["INT-054"]["inputs"])
    need = exactly(float(told["Ah_between_charges"]), "Ah")
    check("INT-054", C_min_Ah=banks.bank_needed(need, 1.0, told["chemistry"]).middle)


def test_banks_of_lead_and_lithium() -> None:
    told = given_of("US-WE-41")
    daily = over(exactly(told["Wh"], "Wh"), exactly(told["U_V"], "V"), "Ah")
    lead, lithium = (banks.bank_needed(daily, 1.0, each).middle for each in ("AGM", "LiFePO4"))
    check("US-WE-41", Ah=daily.middle, lead_Ah=lead, lithium_Ah=lithium)


def test_a_hot_alternator_gives_less() -> None:
    rated = exactly(given_of("INT-055")["rated_A"], "A")
    check("INT-055", A=banks.alternator_current(rated, None, "AGM").middle)
    assert banks.alternator_current(rated, exactly(70.0, "A"), "AGM").middle == 70.0
    assert banks.alternator_current(rated, exactly(70.0, "A"), "LiFePO4").middle == 50.0


@pytest.mark.parametrize("name", of_kind("inverter_dc_current"))
def test_the_current_into_an_inverter(name: str) -> None:
    told = given_of(name)
    efficiency = exactly(1 / told["loss"], "")
    check(name, I_A=banks.inverter_input(exactly(told["P_W"], "W"), efficiency, told["U_V"]).middle)


def test_everything_on_shore_power() -> None:
    told = pairs(ROWS["US-WE-30"]["inputs"])
    sum_a = banks.total([exactly(float(each), "A") for each in told["amps"].split("|")], "A").middle
    check("US-WE-30", total_A=sum_a, limit_A=banks.shore_limit(exactly(float(told["inlet_A"]), "A")).middle)


def test_gentle_use_is_no_gain() -> None:
    assert banks.peukert_capacity(100.0, 1.0, 1.3) == 100.0
    assert banks.peukert_capacity(100.0, 0.0, 1.3) == 100.0
    assert banks.peukert_hours(100.0, 0.0, 1.3) == math.inf


@given(st.floats(10, 1000), st.floats(1.0, 1.6))
def test_at_the_rated_current_the_rated_hours(capacity_ah: float, exponent: float) -> None:
    assert banks.peukert_hours(capacity_ah, capacity_ah / 20, exponent) == pytest.approx(20.0)


@given(st.floats(5.5, 200), st.floats(1.01, 1.6))
def test_two_tests_give_the_exponent_back(current_a: float, exponent: float) -> None:
    tests = [(i, banks.peukert_hours(100.0, i, exponent)) for i in (5.0, current_a)]
    assert banks.peukert_exponent(tests[0], tests[1]) == pytest.approx(exponent, rel=1e-6)


@given(st.floats(5, 100), st.floats(5, 100), st.floats(0.05, 0.9))
def test_more_current_never_takes_longer(a: float, b: float, missing: float) -> None:
    hours = [banks.recharge_hours(200, 200 * missing, each, 50.0, 0.8, 1.1) for each in sorted((a, b))]
    assert hours[0] >= hours[1] - 1e-9


def test_without_taper_recharge_is_plain() -> None:
    found = banks.recharge_hours(400, 200, 20.0, 100.0, 1.0, 1.1, full=1.0)
    assert found == pytest.approx(banks.simple_recharge_hours(200, 20.0, 1.1))


def test_nothing_charges_for_ever() -> None:
    assert banks.recharge_hours(400, 200, 0.0, 100.0, 0.8, 1.1) == math.inf
    assert banks.recharge_hours(400, 0, 0.0, 100.0, 0.8, 1.1) == 0.0


def test_an_unknown_chemistry_has_the_widest_bounds() -> None:
    found = value_of("peukert", None)
    assert (found.least, found.most) == (1.03, 1.6)
    assert {source.status for source in found.sources} == {"secondary", "memory"}

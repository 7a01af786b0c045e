"""The day of each bank: published budgets through the whole study, which bank bears what, losses, bounds, what is not known."""

from __future__ import annotations

import csv
import math
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.files.opening import open_boat
from engine.graph.boat import Boat
from engine.library.device import load_library
from engine.studies.energy import BankDay, anchor_conditions, energy
from tests.rules.cases import boat_of

ROOT = Path(__file__).parent.parent
EXAMPLES = {
    row["id"]: row
    for row in csv.DictReader((ROOT / "references" / "energy_examples.csv").read_text(encoding="utf-8").splitlines())
}
FEW = settings(derandomize=True, max_examples=25, deadline=None, database=None)
HOUSE = """
boat "Anchored" rules=iso fuel=diesel engine=inboard
G1 battery "House" chemistry={chemistry} nominal_v={volts} capacity_ah={ah} battery_number=1
1: G1.pos - W1.s1 + 50 mm2 1 m
2: G1.neg - W2.s1 - 50 mm2 1 m
W1 bus_positive "Positive bus" studs=12
W2 bus_negative "Negative bus" studs=12
"""
SUN = """
G2 solar_array "Solar" power_w={watts} voc_v=22 isc_a=10
T1 charge_controller "Regulator" output_a=30
20: G2.pv - T1.pv +- 6 mm2 2 m
21: T1.batt - W1.s9 + 6 mm2 2 m
22: T1.neg - W2.s9 - 6 mm2 2 m
"""


@cache
def sample(name: str) -> Boat:
    library = load_library()
    return Boat(open_boat(ROOT.parent / "sample_boats" / f"{name}.boat", library).network, library)


def boat(
    *loads: tuple[str, float], more: str = "", duties: str = "", ah: str = "200", chemistry: str = "flooded",
    volts: str = "12",
) -> Boat:  # fmt: skip
    """A bank, a positive and a negative bus, loads as (values, duty) at them, and what else is said."""
    lines = [HOUSE.format(ah=ah, chemistry=chemistry, volts=volts)]
    for number, (values, _) in enumerate(loads):
        lines += [
            f'E{number} load_dc "Load {number}" {values}',
            f"{100 + number}: W1.s{2 + number} - E{number}.supply + 2.5 mm2 1 m",
            f"{200 + number}: E{number}.neg - W2.s{2 + number} - 2.5 mm2 1 m",
        ]
    named = " ".join(f"E{number}={duty}" for number, (_, duty) in enumerate(loads))
    return boat_of("\n".join([*lines, more, f'condition anchor "At anchor" {named} {duties}']))


def day(of: Boat, condition: int = 0) -> BankDay:
    (found,) = energy(of, of.network.conditions[condition])
    return found


@pytest.mark.parametrize("name", ["EB1", "EB2", "EB4"])
def test_published_budgets(name: str) -> None:
    """A club's page with its sum corrected, a vendor's course with our hours, a textbook table recalled: each line A and h."""
    lines = [line.split("*") for line in EXAMPLES[name]["inputs"].removeprefix("lines=").split("|")]
    made = boat(*((f"running_a={amps}", float(hours) / 24) for amps, hours in lines))
    expected, tolerance = float(EXAMPLES[name]["expected"].removeprefix("Ah=")), float(EXAMPLES[name]["tolerance"])
    found = day(made)
    assert found.out.middle == pytest.approx(expected, abs=tolerance + 1e-9)
    assert found.out.exact
    assert len(found.uses) == len(lines)


def test_days_of_a_published_bank() -> None:
    """A club's page (INT-040) divides 100 Ah of 12 V by 342 Wh a day: 3.5 days; of which we count the usable half."""
    found = day(boat(("power_w=14.25 nominal_v=12", 1.0), ah="100", chemistry="AGM"))
    assert found.out.middle == pytest.approx(342 / 12)
    assert found.days.middle == pytest.approx(3.5 / 2, abs=0.025)


def test_a_bank_twice_the_need_lasts_a_day() -> None:
    """A boat electrics article (INT-054): lead-acid of at least twice the need between charges."""
    assert day(boat(("running_a=4.1666667", 1.0), ah="200")).days.middle == pytest.approx(1.0, abs=0.001)


def test_heavy_use_leaves_less() -> None:
    """20 A is twice the 20-hour rate of 200 Ah: by Peukert's law with n = 1.25, 200 × 0.5^0.25 = 168 Ah; from there half."""
    found = day(boat(("running_a=20", 1.0)))
    assert found.at_use.middle == pytest.approx(200 * 0.5**0.25, rel=1e-6)
    assert found.days.middle == pytest.approx(200 * 0.5**0.25 / 2 / 480, rel=1e-6)
    assert found.days.least < found.days.middle < found.days.most


def test_what_is_not_named_stands_by() -> None:
    made = boat(("running_a=5 standby_a=0.5", 0.0), ("running_a=7", 0.0))
    assert day(made).out.middle == pytest.approx(12.0)


def test_sun_gives_the_published_yield() -> None:
    """A sailing magazine: 0.25 to 0.333 Ah a day at 12 V for each watt."""
    found = day(boat(("running_a=2", 1.0), more=SUN.format(watts=200), duties="G2=1"))
    assert (found.into.least, found.into.most) == (pytest.approx(50.0), pytest.approx(66.6))
    assert found.days.most == math.inf
    assert 200 / 2 / 48 < found.days.least < math.inf


def test_an_array_that_is_not_named_is_said() -> None:
    found = day(boat(("running_a=2", 1.0), more=SUN.format(watts=200)))
    assert found.into.most == 0
    assert any("Solar is not counted" in each for each in found.cautions)


def test_a_duty_below_the_yield_counts() -> None:
    found = day(boat(("running_a=2", 1.0), more=SUN.format(watts=240), duties="G2=0.01"))
    assert found.into.middle == pytest.approx(240 * 24 * 0.01 / 12)


ENGINE = """
G3 alternator "Alternator" rated_a=100 hot_a=80 regulated_v=14.4
30: G3.bplus - W1.s10 + 35 mm2 1 m
31: G3.bminus - W2.s10 - 35 mm2 1 m
"""


def test_the_alternator_gives_its_hot_current_for_its_hours() -> None:
    found = day(boat(("running_a=2", 1.0), more=ENGINE, duties="G3=0.1"))
    assert found.into.middle == pytest.approx(80 * 2.4)
    into_lithium = day(boat(("running_a=2", 1.0), more=ENGINE, duties="G3=0.1", chemistry="LiFePO4"))
    assert into_lithium.into.middle == pytest.approx(50 * 2.4)


def test_hours_to_charge_again_keep_to_what_the_bank_takes() -> None:
    """80 A on 200 flooded Ah, of which it takes 10 to 25 %: 50 A at most, so no faster than 100 × 1.05 / 50."""
    (found,) = day(boat(("running_a=2", 1.0), more=ENGINE)).recharge
    assert found.current.middle == 80
    assert found.hours.least > 100 * 1.05 / 50
    assert found.hours.most > 100 * 1.2 / 20


INVERTED = """
T2 inverter "Inverter" continuous_w=1000 output_v=230 efficiency_pct=80 nominal_v=12
40: W1.s11 - T2.dc + 50 mm2 1 m
41: T2.neg - W2.s11 - 50 mm2 1 m
E50 load_ac "Kettle" power_w=960 nominal_v=230
42: T2.ac - E50.supply L,N,PE 2.5 mm2 3 m
"""


def test_an_inverter_takes_what_it_gives_over_its_efficiency() -> None:
    found = day(boat(more=INVERTED, duties="T2=inverting E50=0.05"))
    kettle, idle = sorted(found.uses, key=lambda line: -line.amount.middle)
    assert kettle.amount.middle == pytest.approx(960 / 0.8 / 12 * 24 * 0.05)
    assert idle.amount.middle == pytest.approx(1000 * 0.01 / 12 * 24)


def test_behind_an_inverter_a_heater_is_taken_for_a_resistance() -> None:
    """Its amperes were taken with a power factor of 0.8 to 1, as if it had a motor."""
    heated = INVERTED.replace('load_ac "Kettle" power_w=960', 'water_heater "Boiler" running_a=4')
    found = day(boat(more=heated, duties="T2=inverting E50=0.05"))
    boiler = max(found.uses, key=lambda line: line.amount.middle).amount
    assert (boiler.least, boiler.most) == pytest.approx((4 * 230 / 0.8 / 12 * 24 * 0.05,) * 2)
    turned = INVERTED.replace("power_w=960", "running_a=4")
    motor = max(day(boat(more=turned, duties="T2=inverting E50=0.05")).uses, key=lambda line: line.amount.middle).amount
    assert motor.least < motor.most == pytest.approx(boiler.most)


def test_switched_off_it_takes_nothing() -> None:
    assert day(boat(more=INVERTED, duties="T2=off E50=0.05")).out.most == 0


STEPPED = """
G9 battery "Second" chemistry=flooded nominal_v=12 capacity_ah=100 battery_number=2
T3 dc_dc_charger "Dropper" output_a={limit} input_v=24 output_v=12
50: W1.s11 - T3.in + 10 mm2 1 m
51: T3.out - G9.pos + 10 mm2 1 m
52: T3.neg - W2.s11 - 10 mm2 1 m
53: G9.neg - W2.s12 - 10 mm2 1 m
E60 lamp "Lamp" running_a=2
54: G9.pos - E60.supply + 2.5 mm2 1 m
55: E60.neg - W2.s8 - 2.5 mm2 1 m
"""


def test_one_bank_leans_on_another() -> None:
    """48 Ah a day at 12 V come through a converter of 85 to 95 % out of 24 V."""
    made = boat(more=STEPPED.format(limit=10), duties="E60=1 T3=1", volts="24")
    house, second = energy(made, made.network.conditions[0])
    assert second.into.middle == pytest.approx(second.out.middle) == pytest.approx(48.0)
    assert second.days.least == math.inf
    assert house.out.middle == pytest.approx(48 * 12 / 24 / 0.9)
    assert (house.out.least, house.out.most) == (pytest.approx(24 / 0.95), pytest.approx(24 / 0.85))
    assert not house.cautions


def test_a_small_converter_gives_no_more_than_it_can() -> None:
    made = boat(more=STEPPED.format(limit=1), duties="E60=1 T3=1", volts="24")
    house, second = energy(made, made.network.conditions[0])
    assert second.into.middle == pytest.approx(24.0)
    assert second.days.middle == pytest.approx(50 / 24)
    assert house.out.middle == pytest.approx(24 * 12 / 24 / 0.9)


def test_a_charger_between_banks_may_stop_with_the_engine() -> None:
    """Where nothing charges the bank it takes from, and the condition does not say, it counts from nothing to all."""
    made = boat(more=STEPPED.format(limit=10), duties="E60=1", volts="24")
    house, second = energy(made, made.network.conditions[0])
    assert (second.into.least, second.into.middle, second.into.most) == (0.0, 0.0, pytest.approx(48.0))
    assert second.days.least == pytest.approx(50 / 48)
    assert second.days.most == math.inf
    assert (house.out.least, house.out.most) == (0.0, pytest.approx(24 / 0.85))
    assert any("T3 Dropper works" in each for each in (*house.cautions,))
    running = boat(more=STEPPED.format(limit=10) + ENGINE, duties="E60=1 G3=1", volts="24")
    house, second = energy(running, running.network.conditions[0])
    assert second.into.least == pytest.approx(48.0)
    assert not house.cautions


COMBINED = """
T2 inverter_charger "Combined" continuous_w=5000 output_a=21.7 charge_a=120 nominal_v=12
X1 shore_inlet "Inlet" service_a=32 nominal_v=230
70: X1.boat - T2.acin L,N,PE 6 mm2 3 m
71: W1.s11 - T2.dc + 50 mm2 1 m
72: T2.neg - W2.s11 - 50 mm2 1 m
"""


def test_an_inverter_charger_charges_with_its_charging_current() -> None:
    """Its output current is that of the AC side. Passing the shore through without a duty of its own, it charges nothing."""
    alongside = day(boat(more=COMBINED, duties="T2=passing X1=1", ah="1000"))
    assert alongside.into.most == 0
    (found,) = alongside.recharge
    assert found.current.middle == 120


def test_what_is_not_known_is_named_and_never_a_pass() -> None:
    found = day(boat(("running_a=?", 0.5), ("running_a=1", 1.0)))
    assert found.lacks == ("part:p4 running_a",)
    assert found.out.least == 24
    assert (found.days.least, found.days.most) == (0.0, pytest.approx(100 / 24))
    empty = day(boat(("running_a=1", 1.0), ah="?"))
    assert (empty.days.least, empty.days.most) == (0.0, math.inf)
    assert "part:p1 capacity_ah" in empty.days.lacks
    assert empty.trace("middle") == ()


def test_batteries_of_one_number_are_one_bank() -> None:
    second = """
G5 battery "House too" chemistry=flooded nominal_v=12 capacity_ah=100 battery_number=1
60: G5.neg - W2.s12 - 50 mm2 1 m
"""
    found = day(boat(("running_a=1", 1.0), more=second))
    assert [part.designation for part in found.batteries] == ["G1", "G5"]
    assert found.capacity.middle == 300


def test_joined_banks_empty_together() -> None:
    alongside, anchor = (next(each for each in sample("quill_34").network.conditions if each.name == name)
                         for name in ("Motoring by day", "At anchor"))  # fmt: skip
    (joined,) = energy(sample("quill_34"), alongside)
    assert joined.capacity.middle == 280
    assert any("joined in this condition" in each for each in joined.cautions)
    assert [len(bank.batteries) for bank in energy(sample("quill_34"), anchor)] == [1, 1]


def test_the_anchor_is_asked_first() -> None:
    assert [each.name for each in anchor_conditions(sample("quill_34"))] == ["At anchor"]


LOAD = st.tuples(st.floats(0.05, 20), st.floats(0.01, 1))


@FEW
@given(st.lists(LOAD, min_size=1, max_size=4), st.tuples(st.integers(0, 600), st.integers(0, 600)))
def test_more_solar_never_shortens_the_days(loads: list[tuple[float, float]], watts: tuple[int, int]) -> None:
    named = [(f"running_a={amps}", duty) for amps, duty in loads]
    less, more = (
        day(boat(*named, more=SUN.format(watts=each), duties="G2=1")).days for each in sorted(watts)
    )  # fmt: skip
    assert more.least >= less.least - 1e-9
    assert more.middle >= less.middle - 1e-9
    assert more.most >= less.most - 1e-9


@FEW
@given(st.lists(LOAD, min_size=1, max_size=4), st.integers(0, 600), st.floats(0.25, 4))
def test_twice_of_everything_lasts_as_long(loads: list[tuple[float, float]], watts: int, times: float) -> None:
    found = []
    for factor in (1.0, times):
        named = [(f"running_a={amps * factor}", duty) for amps, duty in loads]
        sun = SUN.format(watts=watts * factor)
        found.append(day(boat(*named, more=sun, duties="G2=1", ah=str(200 * factor))))
    assert found[1].days.middle == pytest.approx(found[0].days.middle, rel=1e-6)
    assert found[1].out.middle == pytest.approx(times * found[0].out.middle)


@FEW
@given(st.lists(LOAD, min_size=1, max_size=4), st.integers(0, 600))
def test_energy_balances_over_the_trace(loads: list[tuple[float, float]], watts: int) -> None:
    named = [(f"running_a={amps}", duty) for amps, duty in loads]
    found = day(boat(*named, more=SUN.format(watts=watts), duties="G2=1"))
    for end in ("least", "middle", "most"):
        trace = found.trace(end)
        taken, used, lost = (sum(getattr(each, name) for each in trace) for name in ("taken_ah", "used_ah", "lost_ah"))
        change = (trace[-1].charge - 1) * found.stores[end].capacity_ah
        assert taken - used - lost == pytest.approx(change, abs=1e-6)
        assert used + sum(each.short_ah for each in trace) == pytest.approx(3 * sum(found.days_of[end].used_ah))


@pytest.mark.parametrize("name", ["quill_34", "quill_26_launch", "marguerite_as_built"])
def test_every_figure_of_the_samples_has_a_formula(name: str) -> None:
    of = sample(name)
    for condition in of.network.conditions:
        for bank in energy(of, condition):
            for line in (*bank.uses, *bank.gains):
                assert line.amount.formula
                assert line.amount.sources or line.amount.lacks
            assert bank.days.formula
            assert bank.days.least <= bank.days.middle <= bank.days.most
            assert all(each.hours.least <= each.hours.middle <= each.hours.most for each in bank.recharge)


def test_a_boat_without_a_bank_has_no_day() -> None:
    bare = boat_of('boat "Bare"\nE1 lamp "Lamp" running_a=1\ncondition anchor "At anchor" E1=1')
    assert energy(bare, bare.network.conditions[0]) == ()

"""The energy balance: every bank in every condition, the sentence, the tables that add up, what was assumed."""

from __future__ import annotations

from engine.papers.energy_balance import days_of, energy_balance
from engine.studies.energy_words import amount_text, lasts
from tests.papers.boats import SMALL, sample, sketched
from tests.papers.page_checks import words_on

SUNNY = """
boat "Sunny" rules=iso fuel=diesel engine=inboard
G1 battery "House" chemistry=LiFePO4 nominal_v=12.8 capacity_ah=200
G2 solar_array "Solar" power_w=200..240 voc_v=22 isc_a=12
T1 charge_controller "Regulator" output_a=20
E1 refrigerator "Fridge" running_a=4..4.6
E2 lamp "Lamp" running_a=?
1: G1.pos - E1.supply + 2.5 mm2 1 m
2: G1.neg - E1.neg - 2.5 mm2 1 m
3: G2.pv - T1.pv +- 4 mm2 1 m
4: T1.batt - G1.pos + 4 mm2 1 m
5: T1.neg - G1.neg - 4 mm2 1 m
6: G1.pos - E2.supply + 2.5 mm2 1 m
condition one "At anchor" E1=0.45 G2=1
condition two "By night" E1=0.45 E2=1
"""


def words(name: str) -> str:
    return " ".join(words_on(energy_balance(sample(name))).split())


def test_the_anchor_comes_first_and_nothing_is_left_out() -> None:
    boat = sample("quill_34").boat
    days = days_of(boat)
    assert [day.condition for day in days[:3]] == ["At anchor", "At anchor", "Alongside"]
    assert {day.condition for day in days} == {each.name for each in boat.network.conditions}
    printed = words("quill_34")
    for day in days:
        assert day.out.most <= 0 or lasts(day) in printed
        assert amount_text(day.out) in printed


def test_every_load_that_draws_has_its_line() -> None:
    boat = sample("quill_26_launch").boat
    printed = words("quill_26_launch")
    for day in days_of(boat):
        for line in day.uses:
            assert boat.name(line.part) in printed
            assert line.amount.formula in printed


def test_the_reader_is_told_what_was_assumed_and_what_is_unconfirmed() -> None:
    printed = words("quill_34")
    assert "The condition lasts all day" in printed
    assert "unconfirmed, from memory" in printed
    assert "CAUTION" in printed


def test_bounds_and_what_is_not_known_are_printed() -> None:
    printed = " ".join(words_on(energy_balance(sketched(SUNNY))).split())
    assert "43.2 to 49.7 Ah" in printed
    assert "Not known: E2 Lamp running current." in printed
    assert (
        "cannot be told"
        not in printed.partition("By night: G1 House")[0].partition("Lasts from full")[2].partition("By night")[0]
    )


def test_a_boat_without_conditions_is_told_what_to_say() -> None:
    assert "Say what works" in " ".join(words_on(energy_balance(sketched(SMALL))).split())

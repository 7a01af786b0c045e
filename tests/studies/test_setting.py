"""A setting: a base, what is set by hand, and a condition made from it that says the same."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from engine.files.opening import open_boat
from engine.graph.boat import Boat
from engine.model.network import Condition
from engine.studies.conditions import case_of, duty_of
from engine.studies.network import solve_case
from engine.studies.setting import (
    Setting,
    as_condition,
    case_for,
    live_in,
    motors,
    state_of,
    stoppable,
    stopped,
    switches_of,
)
from tests.rules.cases import boat_of, library

SAMPLES = Path(__file__).parents[2] / "sample_boats"

BOAT = """
boat
G1 battery nominal_v=12
Q1 battery_switch
A1 dc_panel
  1 breaker 10 A "Cabin"
E1 lamp running_a=1
M2 windlass running_a=80 starting_a=300
X1 shore_inlet nominal_v=120
T1 shore_charger output_a=20
1: G1.pos - Q1.in + 10 AWG 1 m
2: Q1.out - A1.feed + 10 AWG 1 m
3: A1.1 - E1.supply + 14 AWG 1 m
4: X1.boat - T1.ac L,N,PE 10 AWG 1 m
5: T1.out1 - G1.pos + 10 AWG 1 m
condition night "By night" Q1=on E1=0.5
"""


def boat_and_ids() -> tuple[Boat, dict[str, str]]:
    boat = boat_of(BOAT)
    return boat, {part.designation: part.id for part in boat.network.parts}


def test_as_drawn_switches_stand_in_their_first_position_and_every_source_works() -> None:
    boat, ids = boat_and_ids()
    case = case_for(boat, Setting())
    assert [part.designation for part in switches_of(boat)] == ["Q1"]
    assert state_of(boat, case, boat.parts[ids["Q1"]]) == "off"
    assert stopped(boat, case) == frozenset()
    assert live_in(boat, case).feeds(boat.parts[ids["G1"]]) == {ids["G1"], ids["T1"]}


def test_all_on_is_what_the_network_takes_for_the_worst() -> None:
    boat, ids = boat_and_ids()
    case = case_for(boat, Setting("all"))
    assert case == case_of(boat)
    assert stopped(boat, case) == {ids["T1"]}


def test_what_is_set_by_hand_goes_before_the_condition() -> None:
    boat, ids = boat_and_ids()
    setting = Setting("night", {ids["Q1"]: "off"}, {ids["T1"]: True}, ids["M2"])
    case = case_for(boat, setting)
    assert setting.by_hand
    assert state_of(boat, case, boat.parts[ids["Q1"]]) == "off"
    assert stopped(boat, case) == frozenset()
    assert case.duty[ids["E1"]] == 0.5
    assert case.starting == {ids["M2"]}


def test_an_unplugged_shore_feeds_no_charger() -> None:
    boat, ids = boat_and_ids()
    case = case_for(boat, Setting(sources={ids["X1"]: False}))
    assert live_in(boat, case).feeds(boat.parts[ids["G1"]]) == {ids["G1"]}


def test_a_way_of_a_panel_can_be_switched_off() -> None:
    boat, ids = boat_and_ids()
    on = case_for(boat, Setting("all"))
    off = case_for(boat, Setting("all", {f"{ids['A1']}/1": "off"}))
    assert live_in(boat, on).feeds(boat.parts[ids["E1"]])
    assert not live_in(boat, off).feeds(boat.parts[ids["E1"]])


def test_a_condition_made_from_a_setting_says_the_same() -> None:
    boat, ids = boat_and_ids()
    for setting in (Setting(), Setting("all"), Setting("night", {}, {ids["X1"]: False})):
        case = case_for(boat, setting)
        switches, duty = as_condition(boat, case)
        again = case_of(boat, Condition(id="k9", name="As set", switches=switches, duty=duty))
        assert again.rests
        assert stopped(boat, again) == stopped(boat, case)
        loads = boat.with_role("load_dc", "load_ac")
        assert [duty_of(boat, part, again) for part in loads] == [duty_of(boat, part, case) for part in loads]
        assert live_in(boat, again) == live_in(boat, case)


def test_motors_are_those_whose_start_is_known() -> None:
    boat, _ = boat_and_ids()
    assert [part.designation for part in motors(boat)] == ["M2"]
    assert [part.designation for part in stoppable(boat)] == ["X1", "T1"]


def any_setting(boat: Boat, chance: random.Random) -> Setting:
    """Any base, with some of the switches, ways and sources put anywhere."""
    ways = {f"{part.id}/{way.key}": ("on", "off") for part in boat.network.parts for way in part.positions}
    states = {part.id: boat.kind(part).states for part in switches_of(boat)} | ways
    moved = chance.choice((0.1, 0.5, 0.9))
    return Setting(
        chance.choice(["drawn", "all", *(each.id for each in boat.network.conditions)]),
        {key: chance.choice(known) for key, known in states.items() if chance.random() < moved},
        {part.id: chance.random() < 0.5 for part in stoppable(boat) if chance.random() < moved},
    )


@pytest.mark.parametrize(
    ("name", "times"), [("quill_26_launch", 40), ("quill_34", 40), ("marguerite_as_built", 40), ("quill_52", 12)]
)
def test_however_the_switches_stand_the_network_is_solved_and_feeds_only_what_is_live(name: str, times: int) -> None:
    """The two ask the drawing in different ways: one solves its equations, one walks its graph."""
    boat = Boat(open_boat(SAMPLES / f"{name}.boat", library()).network, library())
    chance = random.Random(name)
    for _ in range(times):
        case = case_for(boat, any_setting(boat, chance))
        solution, alive = solve_case(boat, case), live_in(boat, case)
        assert solution.residual_a < 1e-6
        fed = [boat.parts[part] for part, answer in solution.loads.items() if answer.state == "fed"]
        assert [boat.name(part) for part in fed if not alive.feeds(part)] == []

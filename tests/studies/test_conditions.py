"""What a condition leaves unsaid: its loads and chargers rest, its supplies, converters, meters and coils work."""

from __future__ import annotations

import pytest

from engine.graph.boat import Boat
from engine.model.network import Condition
from engine.studies.conditions import case_of, duty_of
from engine.studies.network import solve
from tests.rules.cases import boat_of
from tests.samples.boats import NAMES, document, library

BOAT = """
G1 battery nominal_v=12 chemistry=AGM capacity_ah=100 internal_mohm=4
G2 alternator regulated_v=14.4 rated_a=60 hot_a=50
M1 engine_starter cranking_a=150 nominal_v=12
X1 shore_inlet nominal_v=120
T1 shore_charger output_a=30
U1 dc_dc_charger output_a=20
P1 battery_monitor draw_a=0.1
K1 combining_relay draw_a=0.2
E1 radio running_a=6 standby_a=0.5 nominal_v=12
E2 lamp running_a=3 nominal_v=12
E3 water_heater power_w=1500 nominal_v=120
X2 ac_outlet running_a=10 nominal_v=120
1: G1.pos - E1.supply + 6 mm2 RD 1 m 105 C
2: G1.neg - E1.neg - 6 mm2 YE 1 m 105 C
3: G1.pos - E2.supply + 6 mm2 RD 1 m 105 C
4: G1.neg - E2.neg - 6 mm2 YE 1 m 105 C
"""


@pytest.fixture(scope="module")
def boat() -> Boat:
    return boat_of(BOAT)


def _duties(boat: Boat, condition: Condition | None) -> dict[str, float]:
    case = case_of(boat, condition)
    return {part.designation: duty_of(boat, part, case) for part in boat.network.parts if part.designation != "G1"}


def test_everything_on_is_the_worst_case(boat: Boat) -> None:
    off = {name for name, duty in _duties(boat, None).items() if duty == 0}
    assert off == {"G2", "M1", "T1"}


def test_what_a_condition_does_not_name_rests(boat: Boat) -> None:
    off = {name for name, duty in _duties(boat, Condition(id="k", name="Quiet")).items() if duty == 0}
    assert off == {"G2", "M1", "T1", "E1", "E2", "E3", "X2"}


def test_what_it_names_works_as_it_says(boat: Boat) -> None:
    ids = {part.designation: part.id for part in boat.network.parts}
    said = Condition(id="k", name="Underway", duty={ids["E2"]: 0.3, ids["G2"]: 1.0, ids["X1"]: 0.0})
    duties = _duties(boat, said)
    assert (duties["E2"], duties["G2"], duties["X1"], duties["E1"]) == (0.3, 1.0, 0.0, 0.0)


def test_a_load_not_named_draws_its_stand_by_current(boat: Boat) -> None:
    ids = {part.designation: part.id for part in boat.network.parts}
    quiet = solve(boat, Condition(id="k", name="Quiet"))
    assert quiet.loads[ids["E1"]].current_a == pytest.approx(0.5)
    assert quiet.loads[ids["E2"]].state == "at-rest"
    assert solve(boat).loads[ids["E1"]].current_a == pytest.approx(6.0)


WANTED = {
    "quill_34": (
        "Alongside", "At anchor", "Motoring by day", "Motoring by night", "Sailing by night", "Manoeuvring",
    ),
    "quill_26_launch": ("At the dock", "At anchor", "Under way by day", "Under way by night", "Manoeuvring"),
    "quill_52": ("Alongside", "At anchor", "Motoring by day", "Motoring by night", "Manoeuvring"),
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_the_conditions_of_the_samples(name: str) -> None:
    """Shares between 0 and 1; every one has a solution in which what it names is fed."""
    boat = Boat(document(name).network, library())
    assert tuple(each.name for each in boat.network.conditions) == WANTED.get(name, ())
    for condition in boat.network.conditions:
        solution = solve(boat, condition)
        assert all(0 <= duty <= 1 for duty in condition.duty.values())
        for part, duty in condition.duty.items():
            if duty and part in solution.loads:
                assert solution.loads[part].state == "fed", (condition.name, boat.name(boat.parts[part]))

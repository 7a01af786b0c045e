"""Each value can be traced: the numbers of its formula give it, and every number has a source."""

from __future__ import annotations

import math

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.studies.estimate import Estimate, text_of
from engine.studies.network import solve
from engine.studies.trace import lost_v, trace
from engine.studies.ways import way_between
from tests.rules.cases import boat_of
from tests.samples.boats import document, library, with_part
from tests.studies.test_network import SMALL

RING = """
G1 battery nominal_v=12 chemistry=AGM capacity_ah=100 internal_mohm=4
W1 bus_positive studs=4
W2 bus_positive studs=4
W3 bus_negative studs=4
E1 load_dc running_a=20 nominal_v=12
1: G1.pos - W1.s1 + 16 mm2 RD 1 m 105 C
2: W1.s2 - W2.s1 + 6 mm2 RD 5 m 105 C
3: W2.s2 - W1.s3 + 10 mm2 RD 3 m 105 C
4: W2.s3 - E1.supply + 6 mm2 RD 2 m 105 C
5: G1.neg - W3.s1 - 16 mm2 YE 1 m 105 C
6: W3.s2 - E1.neg - 6 mm2 YE 2 m 105 C
"""


@pytest.mark.parametrize("sketch", [SMALL, RING])
def test_the_losses_on_the_way_are_the_drop(sketch: str) -> None:
    boat = boat_of(sketch)
    solution = solve(boat)
    for load in solution.loads.values():
        source = solution.supplies[load.source][0]
        way = (*way_between(solution, source.b, load.a), *way_between(solution, load.b, source.a))
        assert len(way) >= 4
        assert sum(lost_v(flow, sense) for flow, sense in way) == pytest.approx(load.drop_v, abs=1e-9)


def test_every_step_of_a_load_says_what_it_rests_on() -> None:
    boat = boat_of(SMALL)
    solution = solve(boat)
    part = next(part for part in boat.network.parts if part.designation == "E1")
    steps = {step.what: step for step in trace(boat, solution, f"part:{part.id}")}
    assert steps["Current"].value == "5 A"
    assert "E1 Lights, running current" in steps["Current"].sources[0].table
    assert steps["Voltage at its terminals"].value == f"{round(solution.loads[part.id].volts_v, 3):g} V"
    lost = [step for what, step in steps.items() if what.startswith("Lost in")]
    assert lost
    assert all(step.sources and step.formula for step in lost)
    assert any(what.startswith("Largest short circuit") for what in steps)


def test_a_wire_has_current_resistance_heat_and_loading() -> None:
    boat = boat_of(SMALL)
    run = next(run for run in boat.network.runs if run.number == "W5")
    steps = {step.what: step for step in trace(boat, solve(boat), f"run:{run.id}")}
    assert {"Current, +", "Resistance, +", "Heat in it, -", "Allowed current", "Loading"} <= set(steps)
    assert steps["Loading"].value.endswith("%")


def test_what_is_not_fed_says_why() -> None:
    boat = boat_of(SMALL.replace("running_a=5", "running_a=?"))
    part = next(part for part in boat.network.parts if part.designation == "E1")
    first = trace(boat, solve(boat), f"part:{part.id}")[0]
    assert first.value == "its current is not known"
    assert first.lacks == (f"part:{part.id} running_a",)
    assert trace(boat, solve(boat), "part:nobody") == ()


def test_a_power_factor_that_cannot_be_is_not_counted_with() -> None:
    """With 0 in the file the heater drew without bound, and telling of it crashed."""
    network = document("quill_34").network
    heater = next(part for part in network.parts if part.kind == "water_heater")
    values = {**heater.values, "power_w": (750.0, 3000.0), "running_a": None}
    boats = (
        Boat(with_part(network, msgspec.structs.replace(heater, values={**values, "power_factor": factor})), library())
        for factor in (0.0, None)
    )
    none, unknown = (
        [(step.what, step.value) for step in trace(boat, solve(boat), f"part:{heater.id}")] for boat in boats
    )
    assert none == unknown
    assert not any("inf" in value for _, value in none)


def test_what_nothing_bounds_is_a_question() -> None:
    without = Estimate(math.inf, math.inf, math.inf, "A", "1 W / 0 V", ())
    assert text_of(without) == "?"

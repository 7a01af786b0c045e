"""Many conditions at once are each what one alone is."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from engine.files.opening import open_boat
from engine.graph.boat import Boat
from engine.studies.batch import solve_cases
from engine.studies.conditions import case_of
from engine.studies.network import solve_case
from engine.studies.reduced import solve_many
from engine.studies.solver import Solver
from tests.rules.cases import boat_of, library
from tests.studies.random_networks import two_rails
from tests.studies.test_cross_check import SAMPLES
from tests.studies.test_network import SMALL


@pytest.mark.parametrize("ac", [False, True], ids=["dc", "ac"])
def test_columns_equal_single_solutions(ac: bool) -> None:
    for number in (2, 5, 43):
        network = two_rails(number, ac=ac)
        share = np.linspace(0.0, 1.0, 7)
        many = solve_many(
            Solver(network), network.loads.current_a[:, None] * share, network.loads.power_w[:, None] * share
        )
        for column, part in enumerate(share):
            alone = Solver(network).solve(network.loads.current_a * part, network.loads.power_w * part)
            assert many.solved[column] == (alone.outcome == "solved")
            if many.solved[column]:
                np.testing.assert_allclose(many.volts[:, column], alone.volts, atol=1e-9)


def test_a_column_that_collapses_leaves_the_others() -> None:
    network = two_rails(43)
    share = np.array([0.5, 500.0, 1.0])
    many = solve_many(Solver(network), network.loads.current_a[:, None] * share, network.loads.power_w[:, None] * share)
    assert list(many.solved) == [True, False, True]
    assert np.isnan(many.volts[:, 1]).all()


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_conditions_of_the_samples(path) -> None:
    boat = Boat(open_boat(path, library()).network, library())
    cases = [case_of(boat, condition) for condition in (None, *boat.network.conditions)]
    off = [part.id for part in boat.with_role("load_dc")[:5]]
    cases += [msgspec.structs.replace(case, duty={**case.duty, part: 0.0}) for case in cases for part in off]
    batch = solve_cases(boat, cases)
    for number, case in enumerate(cases):
        for load in solve_case(boat, case).loads.values():
            if load.state == "fed":
                assert batch.between(load.a, load.b)[number] == pytest.approx(load.volts_v, abs=1e-8)


def test_a_motor_that_starts_is_in_a_group_of_its_own() -> None:
    boat = boat_of(SMALL.replace("E2 load_dc", "E2 motor starting_a=60"))
    motor = next(part for part in boat.network.parts if part.designation == "E2")
    batch = solve_cases(boat, [case_of(boat), case_of(boat, starting=[motor.id]), case_of(boat)])
    over = batch.between((motor.id, "supply", "+"), (motor.id, "supply", "-"))
    assert over[0] == over[2]
    assert over[1] < over[0] - 1
    assert batch.solution(1).loads[motor.id].volts_v == pytest.approx(over[1], abs=1e-9)
    assert batch.solved.all()

"""The network solver against programs that share nothing with it: a full-matrix Newton solver, power-grid-model, ngspice.

All 1,000 random networks of 10 to 500 runs are solved here and held against power-grid-model where it is installed, and
against Kirchhoff's law worked out apart; samples against the other two. tests/bench/cross_check.py holds all of them
against ngspice.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from engine.files.opening import open_boat
from engine.graph.boat import Boat
from engine.studies.circuit import circuit
from engine.studies.conditions import case_of
from engine.studies.elements import elements_of
from engine.studies.network import settle
from engine.studies.solver import Solver
from tests.rules.cases import library
from tests.studies import power_flow, spice
from tests.studies.dense import dense_volts
from tests.studies.random_networks import one_rail, two_rails

NETWORKS = 1000
MOST_COLLAPSED = 0.03
SAMPLES = sorted((Path(__file__).parents[2] / "sample_boats").glob("*.boat"))


def apart(got: Any, wanted: Any) -> float:
    """The largest difference as a share of the largest voltage."""
    return float(np.abs(np.asarray(got) - np.asarray(wanted)).max() / np.abs(wanted).max())


@pytest.mark.parametrize("ac", [False, True], ids=["dc", "ac"])
def test_kirchhoff_on_a_thousand_networks(ac: bool) -> None:
    """Currents into each node sum to nought within a part in 1e9 of the largest, for every network that has a solution."""
    collapsed = 0
    for number in range(NETWORKS // 2):
        network = two_rails(number, ac=ac)
        state = Solver(network).solve()
        collapsed += state.outcome == "collapsed"
        if state.outcome == "solved":
            missed, largest = _kirchhoff(network, state.volts)
            assert missed < 1e-9 * largest, number
    assert collapsed < MOST_COLLAPSED * NETWORKS / 2


def _kirchhoff(network: Any, volts: Any) -> tuple[float, float]:
    total = np.zeros(network.size + 1, complex)
    flows = []
    branches, feeds, loads = network.branches, network.feeds, network.loads
    flows.append((branches.a, branches.b, branches.y_s * (volts[branches.a] - volts[branches.b])))
    flows.append((feeds.a, feeds.b, feeds.y_s * (feeds.emf_v + volts[feeds.a] - volts[feeds.b])))
    over = volts[loads.a] - volts[loads.b]
    flows.append((loads.a, loads.b, loads.current_a * over / np.abs(over) + np.conj(loads.power_w / over)))
    for a, b, amps in flows:
        np.subtract.at(total, a, amps)
        np.add.at(total, b, amps)
    return float(np.abs(total[:-1]).max()), float(np.abs(flows[1][2]).max())


@pytest.mark.skipif(not power_flow.available(), reason="power-grid-model (a test extra) is not installed")
def test_a_thousand_networks_against_power_grid_model() -> None:
    """Loads of constant power, current and impedance. Seen: 2e-13 (median), 5e-11 near collapse; required 1e-9."""
    collapsed = 0
    for number in range(NETWORKS):
        network = one_rail(number)
        state = Solver(network).solve()
        if state.outcome == "collapsed":
            collapsed += 1
        else:
            assert apart(state.volts[:-1], power_flow.power_flow_volts(network)) < 1e-9, number
    assert collapsed < MOST_COLLAPSED * NETWORKS


@pytest.mark.parametrize("ac", [False, True], ids=["dc", "ac"])
def test_against_a_full_matrix(ac: bool) -> None:
    small = [k for k in range(NETWORKS) if two_rails(k, ac=ac).size < 150][:12]
    for number in small:
        network = two_rails(number, ac=ac)
        state = Solver(network).solve()
        if state.outcome == "solved":
            assert apart(state.volts[:-1], dense_volts(network)) < 1e-10, number


@pytest.mark.parametrize("name", list(spice.recorded_cases()))
def test_against_the_recorded_answers_of_ngspice(name: str) -> None:
    """The kept netlists are those that would be written now, and their answers are ours. Written again by
    `python -m tests.studies.spice`."""
    network = spice.recorded_cases()[name]
    text, answers = spice.recorded(name)
    assert text == spice.netlist(network, name)
    assert apart(Solver(network).solve().volts[:-1], spice.volts_of(network, answers)) < 1e-9


@pytest.mark.skipif(not spice.installed(), reason="ngspice is not installed; its recorded answers are compared instead")
@pytest.mark.parametrize("number", [2, 10, 77])
@pytest.mark.parametrize("ac", [False, True], ids=["dc", "ac"])
def test_random_networks_against_ngspice(number: int, ac: bool) -> None:
    network = two_rails(number, ac=ac)
    assert apart(Solver(network).solve().volts[:-1], spice.volts_of(network, spice.run(spice.netlist(network)))) < 1e-9


@pytest.mark.skipif(not spice.installed(), reason="ngspice is not installed; its recorded answers are compared instead")
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_samples_against_ngspice(path: Path) -> None:
    """Every condition of every sample boat. Its valves (alternators, chargers, diodes) stand in ngspice as they do here,
    and each stands as its own voltage asks."""
    boat = Boat(open_boat(path, library()).network, library())
    for condition in (None, *boat.network.conditions):
        system, states, failed = settle(elements_of(boat, case_of(boat, condition), "middle"))
        assert not failed
        for half, state, (current_a, power_w) in zip(system.halves, states, system.asked, strict=True):
            if half.circuit.size:
                network = _with_loads(half.circuit, current_a, power_w)
                answers = spice.run(spice.netlist(network, modes=state.modes))
                assert apart(state.volts[:-1], spice.volts_of(network, answers)) < 1e-6
                assert all(_stands_right(network.valves, state.volts, k, mode) for k, mode in enumerate(state.modes))


def _stands_right(valves: Any, volts: Any, k: int, mode: int) -> bool:
    """Shut where nothing would flow on, at its limit where more would flow, open in between."""
    free = valves.y_s[k] * (valves.emf_v[k] - volts[valves.b[k]] + volts[valves.a[k]])
    if mode == 0:
        return bool(free <= 1e-6)
    return bool(free >= valves.limit_a[k] - 1e-6 if mode == 2 else -1e-6 <= free <= valves.limit_a[k] + 1e-6)


def _with_loads(network: Any, current_a: Any, power_w: Any) -> Any:
    import msgspec

    loads = msgspec.structs.replace(network.loads, current_a=current_a, power_w=power_w)
    return msgspec.structs.replace(network, loads=loads)


@pytest.mark.skipif(not spice.installed(), reason="ngspice is not installed")
def test_limits_and_diodes_against_ngspice() -> None:
    """A regulated source at its limit and one that holds its voltage, diodes that pass and that block."""
    network = circuit(
        4,
        branches=[(0, 1, 20.0), (1, 2, 10.0), (2, -1, 0.5)],
        feeds=[(-1, 0, 200.0, 12.5), (-1, 3, 100.0, 12.0)],
        valves=[(-1, 1, 500.0, 14.4, 30.0), (1, 3, 500.0, -0.6, np.inf), (3, 2, 500.0, -0.6, np.inf)],
        loads=[(2, -1, 5.0, 60.0)],
    )
    assert apart(Solver(network).solve().volts[:-1], spice.volts_of(network, spice.run(spice.netlist(network)))) < 1e-6

"""Laws that hold for every network: power balance, scaling, reciprocity of faults, losses that never rise."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.studies.circuit import Branches, Circuit, Feeds, Loads, across, circuit, feed_current, load_current
from engine.studies.faults import impedances
from engine.studies.solver import Factors, Solver
from tests.studies.random_networks import two_rails

NUMBERS = [number for number in range(400) if two_rails(number).size < 200]
EVERY = settings(derandomize=True, max_examples=40, deadline=None, database=None)


def solved(network: Circuit):
    state = Solver(network).solve()
    assert state.outcome == "solved"
    return state.volts


def losses(network: Circuit, volts) -> float:
    branches, feeds = network.branches, network.feeds
    over = np.abs(across(volts, branches.a, branches.b)) ** 2 * branches.y_s.real
    inner = np.abs(feed_current(feeds, volts)) ** 2 * (1 / feeds.y_s).real
    return float(over.sum() + inner.sum())


@EVERY
@given(st.sampled_from(NUMBERS), st.booleans())
def test_power_in_is_power_out_and_losses(number: int, ac: bool) -> None:
    network = two_rails(number, ac=ac)
    state = Solver(network).solve()
    if state.outcome != "solved":
        return
    feeds, loads, volts = network.feeds, network.loads, state.volts
    given_w = (feeds.emf_v * np.conj(feed_current(feeds, volts))).real.sum()
    over = across(volts, loads.a, loads.b)
    taken_w = (over * np.conj(load_current(loads, volts, loads.current_a, loads.power_w))).real.sum()
    assert given_w == pytest.approx(taken_w + losses(network, volts), rel=1e-9)


def only_currents(network: Circuit) -> Circuit:
    """One source, no resistive loads (branches across the rails), every load of constant current."""
    branches = network.branches
    along = (branches.a % 2 == branches.b % 2) | (branches.b < 0)
    kept = Branches(branches.a[along], branches.b[along], branches.y_s[along])
    feeds = Feeds(*(getattr(network.feeds, name)[:1] for name in ("a", "b", "y_s", "emf_v")))
    loads = network.loads
    return Circuit(
        network.size,
        kept,
        feeds,
        network.valves,
        Loads(loads.a, loads.b, loads.current_a + loads.power_w / 12, 0 * loads.power_w),
    )


@EVERY
@given(st.sampled_from(NUMBERS), st.floats(0.1, 8.0))
def test_every_resistance_times_k_is_every_drop_times_k(number: int, factor: float) -> None:
    network = only_currents(two_rails(number))
    wider = msgspec.structs.replace(
        network,
        branches=Branches(network.branches.a, network.branches.b, network.branches.y_s / factor),
        feeds=msgspec.structs.replace(network.feeds, y_s=network.feeds.y_s / factor),
    )
    loads, emf = network.loads, network.feeds.emf_v[0]
    drops = [emf - across(solved(each), loads.a, loads.b) for each in (network, wider)]
    np.testing.assert_allclose(drops[1], factor * drops[0], rtol=1e-9, atol=1e-9 * emf)


@EVERY
@given(st.sampled_from(NUMBERS), st.integers(0, 10_000), st.floats(1e-4, 10.0))
def test_one_more_run_never_adds_to_the_losses(number: int, places: int, ohm: float) -> None:
    network = only_currents(two_rails(number))
    count = network.size // 2
    one, other = places % count, (places // count) % count
    if one == other:
        return
    more = np.array([2 * one, 2 * one - 1]), np.array([2 * other, 2 * other - 1])
    branches = network.branches
    joined = Branches(
        np.concatenate((branches.a, more[0])),
        np.concatenate((branches.b, more[1])),
        np.concatenate((branches.y_s, [1 / ohm] * 2)),
    )
    with_it = msgspec.structs.replace(network, branches=joined)
    assert losses(with_it, solved(with_it)) <= losses(network, solved(network)) * (1 + 1e-9)


@EVERY
@given(st.sampled_from(NUMBERS))
def test_a_fault_seen_from_here_or_there_is_the_same(number: int) -> None:
    """Reciprocity: the transfer impedance between two places is the same both ways, and none exceeds its own two."""
    network = two_rails(number)
    live = np.arange(0, network.size, 2)
    ohm, volts = impedances(Factors(network), live, live - 1)
    transfer = volts[live] - volts[live - 1]
    np.testing.assert_allclose(transfer, transfer.T, rtol=1e-7, atol=1e-12)
    assert (ohm > 0).all()
    assert (np.abs(transfer) <= np.sqrt(np.outer(ohm, ohm)) * (1 + 1e-9)).all()


def test_the_upper_solution_is_the_one_found_right_up_to_the_last() -> None:
    """The most that 12 V behind 0.1 Ω delivers is E² / 4R = 360 W at half the voltage; beyond there is nothing."""
    for watts, outcome in ((359.99, "solved"), (360.01, "collapsed")):
        network = circuit(1, feeds=[(-1, 0, 10.0, 12.0)], loads=[(0, -1, 0.0, watts)])
        state = Solver(network).solve()
        assert state.outcome == outcome
        if outcome == "solved":
            assert state.volts[0] == pytest.approx(6 + np.sqrt(36 - 0.1 * watts), rel=1e-9)

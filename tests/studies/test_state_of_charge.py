"""How full a bank is from hour to hour: what goes in and out balances, more charge never makes it emptier."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.studies.banks import recharge_hours
from engine.studies.state_of_charge import (
    Day,
    Store,
    added,
    by_sun,
    days_until_used,
    even,
    hour,
    hours,
    in_one_block,
)  # fmt: skip

STORES = st.builds(
    Store,
    capacity_ah=st.floats(20, 2000), acceptance_a=st.floats(1, 500), tapers_at=st.floats(0.75, 0.98),
    factor=st.floats(1.0, 1.2), usable=st.floats(0.2, 0.9),
)  # fmt: skip
AMPS = st.floats(0, 300)
CHARGE = st.floats(0, 1)


@given(STORES, CHARGE, AMPS, AMPS)
def test_what_is_taken_is_used_lost_or_stored(store: Store, charge: float, used: float, given_ah: float) -> None:
    made = hour(store, charge, used, given_ah)
    grown = (made.charge - charge) * store.capacity_ah
    assert made.taken_ah == pytest.approx(made.used_ah + made.lost_ah + grown, abs=1e-6)
    assert made.used_ah + made.short_ah == pytest.approx(used, abs=1e-9)
    assert made.taken_ah <= given_ah + 1e-9
    assert 0 <= made.charge <= 1 + 1e-12


@given(STORES, CHARGE, AMPS, st.tuples(AMPS, AMPS))
def test_more_charge_never_makes_it_emptier(store: Store, charge: float, used: float, two: tuple[float, float]) -> None:
    less, more = (hour(store, charge, used, each).charge for each in sorted(two))
    assert more >= less - 1e-12


@given(STORES, st.tuples(CHARGE, CHARGE), AMPS, AMPS)
def test_the_fuller_bank_stays_the_fuller(store: Store, two: tuple[float, float], used: float, given_ah: float) -> None:
    less, more = (hour(store, each, used, given_ah).charge for each in sorted(two))
    assert more >= less - 1e-9


@given(STORES, CHARGE, AMPS, AMPS)
def test_an_hour_is_two_halves(store: Store, charge: float, used: float, given_ah: float) -> None:
    """Twice the bank at the same currents goes half as far in an hour; two such hours are one."""
    twice = Store(store.capacity_ah * 2, store.acceptance_a, store.tapers_at, store.factor, store.usable)
    halfway = hour(twice, charge, used, given_ah).charge
    assert hour(twice, halfway, used, given_ah).charge == pytest.approx(
        hour(store, charge, used, given_ah).charge, abs=1e-9
    )


def test_charging_agrees_with_the_hours_counted_in_steps() -> None:
    """The closed form here against the small steps of banks.recharge_hours."""
    store = Store(200.0, 80.0, 0.85, 1.08, 0.5)
    counted = recharge_hours(200.0, 100.0, 50.0, 80.0, 0.85, 1.08)
    charge, passed = 0.5, 0.0
    while hour(store, charge, 0.0, 50.0).charge < 0.99:
        charge, passed = hour(store, charge, 0.0, 50.0).charge, passed + 1
    assert passed < counted <= passed + 1


def test_a_steady_draw_lasts_as_long_as_it_divides() -> None:
    """A vendor's budget of 33.5 Ah a day (tests/references/energy_examples.csv, EB2) on 100 Ah at 50 %."""
    store = Store(100.0, 25.0, 0.8, 1.1, 0.5)
    assert days_until_used(store, Day(even(33.5), even(0.0))) == pytest.approx(50 / 33.5)


def test_within_the_first_hour_too() -> None:
    store = Store(100.0, 25.0, 0.8, 1.1, 0.5)
    assert days_until_used(store, Day(even(24 * 200.0), even(0.0))) == pytest.approx(0.25 / 24)


def test_what_is_given_back_each_day_lasts_for_ever() -> None:
    store = Store(100.0, 25.0, 0.8, 1.1, 0.5)
    assert days_until_used(store, Day(even(30.0), by_sun(60.0))) == math.inf
    assert days_until_used(store, Day(even(0.0), even(0.0))) == math.inf


def test_the_night_can_be_too_long_though_the_day_would_do() -> None:
    """More comes in over the day than goes out, and still the bank is out before the sun rises."""
    store = Store(20.0, 20.0, 0.8, 1.0, 0.5)
    assert days_until_used(store, Day(even(48.0), by_sun(96.0))) == pytest.approx(5 / 24)


@given(STORES, st.floats(1, 2000), st.tuples(st.floats(0, 2000), st.floats(0, 2000)))
def test_more_sun_never_shortens_the_days(store: Store, used: float, two: tuple[float, float]) -> None:
    less, more = (days_until_used(store, Day(even(used), by_sun(each))) for each in sorted(two))
    assert more >= less - 1e-9


@given(st.floats(0, 1000))
def test_the_hours_of_the_sun_add_up(daily: float) -> None:
    found = by_sun(daily)
    assert sum(found) == pytest.approx(daily)
    assert found[3] == found[20] == 0.0
    assert max(found, default=0.0) == found[11] or daily == 0


def test_a_block_runs_from_nine() -> None:
    found = in_one_block(50.0, 2.5)
    assert found[9:13] == (50.0, 50.0, 25.0, 0.0)
    assert in_one_block(10.0, 24.0) == (10.0,) * 24


def test_nothing_is_added() -> None:
    assert added([]) == (0.0,) * 24
    assert added([even(24.0), even(48.0)]) == (3.0,) * 24


def test_a_trace_begins_in_the_evening() -> None:
    store = Store(100.0, 25.0, 0.8, 1.0, 0.5)
    trace = hours(store, Day(even(12.0), by_sun(20.0)), 72)
    assert len(trace) == 72
    assert all(later.charge < before.charge for before, later in pairwise(trace[:12]))
    assert trace[20].charge > trace[13].charge

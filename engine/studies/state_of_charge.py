"""How full a bank is from hour to hour, and when it is down to what may be used: plain numbers in, plain numbers out.

Within an hour what is given and used is even, and the charge a bank takes follows its curve exactly (constant up to where it
tapers, from there an exponential), so that energy balances and more charge never shortens the days. Knows no boat.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import msgspec

HOURS = 24
STARTS_AT = 18
"""A trace begins full, in the evening: the night comes first."""
MOST_DAYS = 60
STEADY = 1e-9


class Store(msgspec.Struct, frozen=True):
    """A bank in numbers: Ah at the rate it is used at, the A it takes while bulk charging, the charge (0 to 1) from where it
    takes less, the Ah to give for each Ah stored, and the share of its capacity that is used."""

    capacity_ah: float
    acceptance_a: float
    tapers_at: float
    factor: float
    usable: float


class Day(msgspec.Struct, frozen=True):
    """What is used and what could be given in each hour of the day, Ah; hour 0 begins at midnight."""

    used_ah: Sequence[float]
    given_ah: Sequence[float]


class Hour(msgspec.Struct, frozen=True):
    """One hour: the charge at its end (0 to 1) and where the Ah went. taken = used + lost + what the charge grew by;
    `short` is what was wanted of an empty bank."""

    charge: float
    used_ah: float
    taken_ah: float
    lost_ah: float
    short_ah: float = 0.0


def accepted(store: Store, charge: float) -> float:
    """The A it takes at a state of charge."""
    if charge <= store.tapers_at:
        return store.acceptance_a
    return store.acceptance_a * max(0.0, 1 - charge) / (1 - store.tapers_at)


def hour(store: Store, charge: float, used_ah: float, given_ah: float) -> Hour:
    """The bank an hour later. What it is given beyond what it takes is not used."""
    surplus = given_ah - used_ah
    if surplus <= 0:
        left = charge + surplus / store.capacity_ah
        short = max(0.0, -left) * store.capacity_ah
        return Hour(max(0.0, left), used_ah - short, given_ah, 0.0, short)
    risen = _charged(store, charge, surplus)
    into = (risen - charge) * store.capacity_ah * store.factor
    return Hour(risen, used_ah, used_ah + into, into * (1 - 1 / store.factor))


def _charged(store: Store, charge: float, surplus_a: float) -> float:
    """The charge after an hour of this surplus: at a constant current as far as the bank takes it, then as it tapers."""
    bulk_a = min(surplus_a, store.acceptance_a)
    if bulk_a <= 0:
        return charge
    bends_at = max(store.tapers_at, 1 - (1 - store.tapers_at) * bulk_a / store.acceptance_a)
    size = store.capacity_ah * store.factor
    straight_h = max(0.0, bends_at - charge) * size / bulk_a
    if straight_h >= 1:
        return charge + bulk_a / size
    rate = store.acceptance_a / ((1 - store.tapers_at) * size)
    return 1 - (1 - max(charge, bends_at)) * math.exp(-rate * (1 - straight_h))


def hours(store: Store, day: Day, count: int) -> tuple[Hour, ...]:
    """So many hours from full in the evening."""
    walk = _walk(store, day)
    return tuple(next(walk) for _ in range(count))


def _walk(store: Store, day: Day) -> Iterator[Hour]:
    charge, at = 1.0, STARTS_AT
    while True:
        made = hour(store, charge, day.used_ah[at % HOURS], day.given_ah[at % HOURS])
        yield made
        charge, at = made.charge, at + 1


def days_until_used(store: Store, day: Day) -> float:
    """Days from full in the evening until what is usable is out; infinite where it lasts for MOST_DAYS or for ever."""
    floor, before, evening = 1 - store.usable, 1.0, 2.0
    for number, made in enumerate(_walk(store, day)):
        if made.charge < floor - STEADY or made.short_ah > 0:
            part = (
                (before - floor) / (before - made.charge) if made.short_ah == 0 else _part(before, floor, made, store)
            )
            return (number + max(0.0, part)) / HOURS
        if number % HOURS == HOURS - 1:
            if abs(made.charge - evening) < STEADY or number + 1 >= MOST_DAYS * HOURS:
                break
            evening = made.charge
        before = made.charge
    return math.inf


def _part(before: float, floor: float, made: Hour, store: Store) -> float:
    """The part of an hour until the floor, where the bank ran empty within it."""
    fall = before - made.charge + made.short_ah / store.capacity_ah
    return (before - floor) / fall if fall > 0 else 0.0


def even(daily_ah: float) -> tuple[float, ...]:
    """The same in every hour."""
    return (daily_ah / HOURS,) * HOURS


def by_sun(daily_ah: float) -> tuple[float, ...]:
    """Nothing by night; by day half a sine wave from 6 to 18 o'clock (assumed)."""
    edges = [math.cos(math.pi * min(max(at - 6, 0), 12) / 12) for at in range(HOURS + 1)]
    return tuple(daily_ah * (first - second) / 2 for first, second in pairwise(edges))


def in_one_block(current_a: float, run_h: float, starts_at: int = 9) -> tuple[float, ...]:
    """So many hours at one current from the morning on (assumed)."""
    found = [0.0] * HOURS
    for number in range(HOURS):
        found[(starts_at + number) % HOURS] = current_a * min(1.0, max(0.0, run_h - number))
    return tuple(found)


def added(rows: Sequence[Sequence[float]]) -> tuple[float, ...]:
    """Hour by hour."""
    return tuple(map(sum, zip(*rows, strict=True))) if rows else (0.0,) * HOURS

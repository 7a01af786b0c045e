"""Random networks of 10 to 500 runs, the same for the same number: trees with rings, several sources, loads of all laws."""

from __future__ import annotations

import random

from engine.studies.circuit import Circuit, circuit

HARDNESS = 0.8
"""Scales the loads so that the far ends lose a tenth to a third of the voltage, as long thin cables do."""


def two_rails(number: int, *, ac: bool = False) -> Circuit:
    """Both rails: each run is a core out and a core back. Row 2k is the live side of place k, 2k+1 its return, place 0
    has its return at the reference."""
    dice = random.Random(number)
    runs = dice.randint(10, 500)
    places = max(2, int(runs * dice.uniform(0.85, 1.0)))
    volts = dice.choice((12.8, 25.6)) if not ac else dice.choice((120.0, 230.0))
    live, back = (lambda k: 2 * k), (lambda k: 2 * k - 1)
    branches, loads = [], []
    for k in range(1, places):
        ohm = _ohm(dice, ac)
        above = max(0, k - 1 - int(dice.expovariate(0.08)))
        branches += [(live(above), live(k), 1 / ohm), (back(above), back(k), 1 / ohm)]
    for _ in range(runs - places + 1):
        one, other = dice.sample(range(places), 2)
        ohm = _ohm(dice, ac)
        branches += [(live(one), live(other), 1 / ohm), (back(one), back(other), 1 / ohm)]
    feeds = [(-1, 0, 1 / _inner(dice, ac), volts)]
    for _ in range(dice.randint(0, 2)):
        place = dice.randrange(places)
        feeds.append((back(place), live(place), 1 / _inner(dice, ac), volts * dice.uniform(0.99, 1.01)))
    scale = HARDNESS * volts / 0.05 / runs
    for k in range(1, places):
        if dice.random() < 0.5:
            amps = scale * dice.uniform(0.1, 1.0)
            factor = complex(dice.uniform(0.7, 1.0), dice.uniform(0.0, 0.7)) if ac else 1.0
            law = dice.choice(("current", "power", "resistance"))
            if law == "resistance":
                branches.append((live(k), back(k), amps * (factor.conjugate() if ac else 1.0) / volts))
            else:
                amount = amps * (factor.conjugate() if ac else 1.0) if law == "current" else 0.0
                loads.append((live(k), back(k), amount, amps * volts * factor if law == "power" else 0.0))
    return circuit(2 * places - 1, ac=ac, branches=branches, feeds=feeds, loads=loads)


PANEL = 50
"""Places of a panel of boat_like: what hangs on one feeder of the main bus."""


def boat_like(runs: int, number: int = 5) -> Circuit:
    """A boat of any size: panels of fifty places on one main bus, both rails, a ring in every twenty-fifth run and within
    its panel; a battery that grows with it. The same depth whatever the size."""
    dice = random.Random(number)
    places = runs - runs // 25
    live, back = (lambda k: 2 * k), (lambda k: 2 * k - 1)
    branches, loads = [], []
    for k in range(1, places):
        above = 0 if k % PANEL == 1 else max(k - 1 - (k - 1) % PANEL + (k > PANEL), k - 1 - int(dice.expovariate(0.1)))
        ohm = 10 ** dice.uniform(-3.3, -1.8)
        branches += [(live(above), live(k), 1 / ohm), (back(above), back(k), 1 / ohm)]
        if dice.random() < 0.4:
            amps = dice.uniform(0.2, 3.0)
            power = dice.random() < 0.5
            loads.append((live(k), back(k), 0.0 if power else amps, 12.0 * amps if power else 0.0))
    for _ in range(runs - places + 1):
        one = dice.randrange(1, places - 3)
        other = one + dice.randint(1, 3)
        ohm = 10 ** dice.uniform(-3.3, -1.8)
        branches += [(live(one), live(other), 1 / ohm), (back(one), back(other), 1 / ohm)]
    return circuit(2 * places - 1, branches=branches, feeds=[(-1, 0, 400.0 * runs / 500, 12.8)], loads=loads)


def one_rail(number: int) -> Circuit:
    """One rail against the reference, AC, one source: what a power-flow program takes."""
    dice = random.Random(number)
    runs = dice.randint(10, 500)
    volts = 230.0
    branches, loads = [], []
    for k in range(1, runs + 1):
        branches.append((max(0, k - 1 - int(dice.expovariate(0.08))), k, 1 / _ohm(dice, True)))
    for _ in range(runs // 20):
        one, other = dice.sample(range(runs + 1), 2)
        branches.append((one, other, 1 / _ohm(dice, True)))
    scale = 2 * HARDNESS * volts / 0.05 / runs
    for k in range(1, runs + 1):
        if dice.random() < 0.5:
            amps = scale * dice.uniform(0.1, 1.0)
            factor = complex(dice.uniform(0.7, 1.0), dice.uniform(0.0, 0.7))
            law = dice.choice(("current", "power", "resistance"))
            current, power = amps * factor.conjugate(), amps * volts * factor
            if law == "resistance":
                branches.append((k, -1, current / volts))
            else:
                loads.append((k, -1, current if law == "current" else 0.0, power if law == "power" else 0.0))
    return circuit(runs + 1, ac=True, branches=branches, feeds=[(-1, 0, 1e3, volts)], loads=loads)


def _ohm(dice: random.Random, ac: bool) -> complex:
    ohm = 10 ** dice.uniform(-3.3, -1.3)
    return complex(ohm, ohm * dice.uniform(0.01, 0.3)) if ac else ohm


def _inner(dice: random.Random, ac: bool) -> complex:
    ohm = dice.uniform(0.001, 0.01)
    return complex(ohm, ohm * dice.uniform(0.0, 1.0)) if ac else ohm

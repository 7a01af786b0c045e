"""Knowing more never makes a check know less: a narrower range leaves every decided answer decided, and the same.

Each case of each rule, and the refit boat, with some of their numbers widened to ranges, against the same boat with those
ranges narrowed at one end, at both, or to the number itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from random import Random

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engine.graph.boat import Boat
from engine.library.device import load_library
from engine.model.network import Network, Part, Position, Run
from engine.model.quantity import Quantity, high, low
from engine.rules.api import Rule
from engine.rules.runner import load_rules
from tests.rules.cases import boat_of, books_of_case, cases_of
from tests.samples.boats import document

LIBRARY = load_library()
RUN_FIELDS = ("length_m", "insulation_c", "bundled")
WAY_FIELDS = ("rating_a", "holder_largest_a", "residual_ma", "interrupting_a")
CASES = tuple((rule, case) for rule in load_rules() for case in cases_of(rule.id).case)
OF_THE_RECORD = frozenset({"contradicting-statements", "sums-that-differ", "slipped-unit"})
"""These ask what is written, not what is: two ranges overlap or do not."""
COUNTS = frozenset({"studs", "main_poles", "battery_number", "nominal_v", "output_v", "input_v"})
"""Not widened: what says which ports a part has, and nominal voltages, the names of systems; a range there is what a part
is made for, both ends of it."""
ADDED = frozenset({"sum-drop", "above-allowed-current"})
"""Answers that are given beside another one, and only where they are sure."""
Answers = dict[tuple[str, str, str], frozenset[str]]
Turn = Callable[[Quantity], Quantity]


def turned(network: Network, turn: Turn) -> Network:
    """Every number of parts, ways and runs turned by the function, in a fixed order."""
    return msgspec.structs.replace(
        network,
        parts=tuple(_part(part, turn) for part in network.parts),
        runs=tuple(_run(run, turn) for run in network.runs),
    )


def _part(part: Part, turn: Turn) -> Part:
    values = {name: turn(v) if _is_number(v) and name not in COUNTS else v for name, v in part.values.items()}
    return msgspec.structs.replace(part, values=values, positions=tuple(_way(way, turn) for way in part.positions))


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float, tuple)) and not isinstance(value, bool)


def _way(way: Position, turn: Turn) -> Position:
    return msgspec.structs.replace(way, **{name: turn(getattr(way, name)) for name in WAY_FIELDS})


def _run(run: Run, turn: Turn) -> Run:
    return msgspec.structs.replace(run, **{name: turn(getattr(run, name)) for name in RUN_FIELDS})


def widening(random: Random) -> Turn:
    """About a third of the numbers become ranges that hold them."""

    def widen(value: Quantity) -> Quantity:
        chance, below, above = random.random(), random.uniform(0.5, 1.0), random.uniform(1.0, 1.6)
        if value is None or isinstance(value, tuple) or chance > 0.35:
            return value
        return value * below, value * above

    return widen


def narrowing(random: Random) -> Turn:
    """Every range becomes one within it, down to a single number."""

    def narrow(value: Quantity) -> Quantity:
        a, b = sorted((random.random(), random.random()))
        point = random.random() < 0.3
        if not isinstance(value, tuple):
            return value
        span = high(value) - low(value)
        return low(value) + a * span if point else (low(value) + a * span, low(value) + b * span)

    return narrow


def answers(rules: list[tuple[Rule, tuple[str, ...]]], network: Network) -> Answers:
    """(rule, rulebook, subject) -> the verdicts on it."""
    boat, found = Boat(network, LIBRARY), dict[tuple[str, str, str], set[str]]()
    for rule, books in rules:
        for book in books:
            for outcome in rule.check(boat, book):  # type: ignore[arg-type]
                key = (rule.id, book, outcome.subjects[0] if outcome.subjects else "")
                if outcome.code not in ADDED:
                    found.setdefault(key, set()).add(outcome.verdict)
    return {key: frozenset(verdicts) for key, verdicts in found.items()}


def lost(wide: Answers, narrow: Answers) -> Iterator[str]:
    """What was decided and is so no more, or otherwise."""
    for key, verdicts in wide.items():
        if "cannot-tell" not in verdicts and key in narrow and narrow[key] != verdicts:
            yield f"{key}: {sorted(verdicts)} became {sorted(narrow[key])}"


def check(rules: list[tuple[Rule, tuple[str, ...]]], network: Network, seed: int) -> list[str]:
    """The answers that narrowing loses."""
    random = Random(seed)
    wide = turned(network, widening(random))
    narrow = turned(wide, narrowing(random))
    return list(lost(answers(rules, wide), answers(rules, narrow)))


@settings(max_examples=400, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(at=st.integers(0, len(CASES) - 1), seed=st.integers(0, 2**20))
def test_in_the_cases_of_the_rules(at: int, seed: int) -> None:
    rule, case = CASES[at]
    if rule.id not in OF_THE_RECORD:
        network = boat_of(case.boat, case.strange).network
        assert check([(rule, books_of_case(case, rule))], network, seed) == []


@cache
def _rules() -> list[tuple[Rule, tuple[str, ...]]]:
    return [(rule, rule.books) for rule in load_rules() if rule.id not in OF_THE_RECORD]


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("boat", ["marguerite_as_built", "quill_34"])
def test_on_the_sample_boats(boat: str, seed: int) -> None:
    assert check(_rules(), document(boat).network, seed) == []


@pytest.mark.parametrize("seed", [5080, 20016, 20187])
def test_where_it_was_lost_once(seed: int) -> None:
    """A source that gives less than the device before it; ranges of devices between two batteries."""
    assert check(_rules(), document("quill_34").network, seed) == []


def test_it_would_be_seen() -> None:
    wide = {("a", "any", "run:w1"): frozenset({"meets"}), ("b", "any", "run:w1"): frozenset({"cannot-tell"})}
    narrow = {("a", "any", "run:w1"): frozenset({"cannot-tell"}), ("b", "any", "run:w1"): frozenset({"breaks"})}
    assert list(lost(wide, narrow)) == ["('a', 'any', 'run:w1'): ['meets'] became ['cannot-tell']"]

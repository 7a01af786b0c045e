"""Every fault put into a clean sample is found by a rule that is about it, and nothing else is found that it does not explain."""

from __future__ import annotations

from functools import cache

import pytest

from tests.sabotage.fault import Fault
from tests.sabotage.kinds import HARMLESS, KINDS
from tests.sabotage.sample import CLEAN, Sample
from tests.sabotage.verdict import caught, findings, unexplained

LEAST = 1500
"""Distinct faults over the samples."""


@cache
def sample(name: str) -> Sample:
    return Sample(name)


@cache
def faults(name: str, kind: str) -> tuple[Fault, ...]:
    return tuple(KINDS[kind](sample(name)))


@pytest.mark.parametrize("name", CLEAN)
def test_the_clean_sample_is_silent(name: str) -> None:
    clean = Fault("nothing", sample(name).network, frozenset(), frozenset())
    assert findings(sample(name), clean) == ()


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", CLEAN)
def test_each_is_caught_and_explains_all_that_is_found(name: str, kind: str) -> None:
    got_away, strange = [], []
    for fault in faults(name, kind):
        found = findings(sample(name), fault)
        if not caught(fault, found) and (name, fault.name) not in HARMLESS:
            got_away.append(fault.name)
        strange += [
            (fault.name, each.rule.id, each.outcome.subjects) for each in unexplained(sample(name), fault, found)
        ]
    assert got_away == []
    assert strange == []


def test_there_are_enough_of_them_and_they_differ() -> None:
    tried = [(name, kind, fault.name) for name in CLEAN for kind in KINDS for fault in faults(name, kind)]
    assert len(set(tried)) == len(tried)
    assert len(tried) >= LEAST


@pytest.mark.parametrize(("name", "fault"), HARMLESS, ids=lambda each: str(each))
def test_what_is_called_harmless_was_tried_and_got_away(name: str, fault: str) -> None:
    (made,) = (each for kind in KINDS for each in faults(name, kind) if each.name == fault)
    assert not caught(made, findings(sample(name), made))


def test_a_fault_that_nothing_touches_gets_away() -> None:
    """The measure can fail: an unhurt boat is not taken for a caught fault."""
    unhurt = Fault("nothing done", sample("quill_34").network, frozenset({"run:w1"}), frozenset({"untinned-conductor"}))
    assert not caught(unhurt, findings(sample("quill_34"), unhurt))

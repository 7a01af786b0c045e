"""The shares of the rules: together they are all of them, and their reports are the report of the whole."""

from __future__ import annotations

import msgspec
import pytest

from engine.library.device import load_library
from engine.pipeline import analyse
from engine.rules.runner import load_rules
from engine.rules.shares import SECOND, SHARES, joined, share
from tests.samples.boats import document


@pytest.mark.parametrize("slow", [False, True])
def test_every_rule_is_in_one_share(slow: bool) -> None:
    rules = [rule for rule in load_rules() if slow or not rule.slow]
    parts = [share(number, SHARES, slow=slow) for number in range(SHARES)]
    assert sorted(rule.id for part in parts for rule in part) == sorted(rule.id for rule in rules)
    assert all(parts)
    assert list(share(0, 1, slow=slow)) == rules


def test_the_families_of_the_second_share_are_there() -> None:
    assert {name for rule in load_rules() for name in (rule.family, rule.id)} > SECOND


@pytest.mark.parametrize("boat", ["marguerite_as_built", "quill_34", "quill_26_launch"])
def test_their_reports_together_are_the_report_of_the_whole(boat: str) -> None:
    network, library = document(boat).network, load_library()
    whole = analyse(network, library, slow=True).report
    parts = [analyse(network, library, rules=share(number, SHARES, slow=True)).report for number in range(SHARES)]
    together = joined(parts)
    assert together.findings == whole.findings
    assert together.tallies == whole.tallies
    assert together.met == whole.met
    assert msgspec.structs.astuple(together)[2:] == msgspec.structs.astuple(whole)[2:]

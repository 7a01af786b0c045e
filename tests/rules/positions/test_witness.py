"""Each proof over the positions of the switches has a boat that breaks it, and its witness is drawn on the sheet."""

from __future__ import annotations

import pytest

from engine.rules.runner import load_rules
from tests.rules.ac import test_witness as ac
from tests.rules.ac.test_witness import broken

PROOFS = [rule.id for rule in load_rules() if rule.family == "positions"]


def test_there_are_proofs() -> None:
    assert len(PROOFS) >= 6


@pytest.mark.parametrize("rule_id", PROOFS)
def test_a_boat_breaks_it_and_the_witness_is_on_the_sheet(rule_id: str) -> None:
    ac.test_a_boat_breaks_it_and_the_witness_is_on_the_sheet(rule_id)


@pytest.mark.parametrize("rule_id", PROOFS)
def test_every_breaking_boat_shows_a_way(rule_id: str) -> None:
    assert all(outcome.path for _, outcome in broken(rule_id))


@pytest.mark.parametrize("rule_id", ["alternator-behind-switch", "banks-meet-in-use"])
def test_the_position_is_said(rule_id: str) -> None:
    assert all(" in position " in str(outcome.values["position"]) for _, outcome in broken(rule_id))

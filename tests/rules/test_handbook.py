"""The committed handbook is what the rules generate."""

from __future__ import annotations

from engine.rules.handbook import FILE, handbook
from engine.rules.runner import load_rules


def test_the_committed_handbook_is_up_to_date() -> None:
    assert FILE.read_text(encoding="utf-8") == handbook(), "run python -m engine.rules.handbook"


def test_every_rule_has_its_chapter() -> None:
    text = handbook()
    assert all(f"(`{rule.id}`)" in text for rule in load_rules())

"""The rules in two shares that take about as long, so that two processes can ask them side by side.

A share holds families, nearly always whole: those that use the same derived tables are together, as what both shares need is
worked out twice. How long each takes after an edit is printed by `python -m tests.bench.check`.
"""

from __future__ import annotations

from collections.abc import Sequence

from engine.rules.api import Rule
from engine.rules.runner import Report, load_rules, order

SHARES = 2
SECOND = frozenset({"ac", "conductors", "faults", "dead-wire", "mixed-voltages", "thin-return"})
"""Families and single rules of the second share."""


def share(number: int, of: int, *, slow: bool = False) -> tuple[Rule, ...]:
    """Share `number` (from 0) of 1 or 2, the rules that take long only where `slow`."""
    asked = (each for each in load_rules() if slow or not each.slow)
    return tuple(each for each in asked if of == 1 or _is_second(each) == (number == 1))


def _is_second(each: Rule) -> bool:
    return each.family in SECOND or each.id in SECOND


def joined(reports: Sequence[Report]) -> Report:
    """The reports of all shares on one boat as the one report of the whole."""
    place = {rule.id: at for at, rule in enumerate(load_rules())}
    tallies = sorted((each for report in reports for each in report.tallies), key=lambda tally: place[tally.rule_id])
    return Report(
        findings=tuple(sorted((each for report in reports for each in report.findings), key=order)),
        tallies=tuple(tallies),
        books=reports[0].books,
        met=tuple(sorted((each for report in reports for each in report.met), key=lambda met: place[met[0]])),
        idle=tuple(each for report in reports for each in report.idle),
    )

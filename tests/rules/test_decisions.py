"""House severities and deviations in a check: what they change, and that no danger becomes less than one."""

from __future__ import annotations

import pytest

from engine.graph.boat import Boat
from engine.rules.api import Finding
from engine.rules.runner import Report, run_rules
from tests.rules.cases import boat_of

SKETCH = """
boat rules=us fuel=diesel engine=inboard
G1 battery nominal_v=12 cca_a=700
E1 lamp running_a=1
W1: G1.pos - E1.supply + 14 AWG RD 2 m bare
W2: E1.neg - G1.neg - 14 AWG YE 2 m bare
{decided}
"""
BARE = ("untinned-conductor", "bare")


def report(decided: str = "") -> tuple[Boat, Report]:
    boat = boat_of(SKETCH.format(decided=decided))
    return boat, run_rules(boat)


def found(report: Report, finding: tuple[str, str], about: str) -> Finding:
    return next(each for each in report.findings if (each.rule.id, each.outcome.code) == finding
                and each.outcome.subjects[0] == about)  # fmt: skip


def run(boat: Boat, number: str) -> str:
    return next(f"run:{each.id}" for each in boat.network.runs if each.number == number)


def test_a_deviation_settles_its_finding_and_no_other() -> None:
    _, before = report()
    boat, after = report('deviation untinned-conductor W1: code=bare reason="dry" by="R. Thorne" date=2026-05-01')
    settled = found(after, BARE, run(boat, "W1"))
    assert settled.settled
    assert settled.deviation is not None
    assert settled.deviation.by == "R. Thorne"
    assert after.settled == (settled,)
    assert after.findings[-1] == settled
    assert not found(after, BARE, run(boat, "W2")).settled
    assert after.count("breaks") == before.count("breaks") - 1
    assert len(after.findings) == len(before.findings)
    assert not after.idle


def test_a_danger_with_a_deviation_counts_as_before() -> None:
    _, before = report()
    grave = next(each for each in before.findings if each.severity == "danger")
    number = next(each.number for each in boat_of(SKETCH.format(decided="")).network.runs
                  if f"run:{each.id}" == grave.outcome.subjects[0])  # fmt: skip
    line = f"deviation {grave.rule.id} {number}: code={grave.outcome.code} reason=why by=me date=today"
    _, after = report(line)
    told = next(each for each in after.findings if each.deviation is not None)
    assert told.severity == "danger"
    assert not told.settled
    assert not after.settled
    assert after.count("breaks") == before.count("breaks")
    assert after.findings.index(told) == before.findings.index(grave)


def test_a_deviation_that_settles_nothing_is_idle() -> None:
    _, after = report("deviation untinned-conductor W1: code=other reason=why by=me date=today")
    assert [each.code for each in after.idle] == ["other"]
    _, silent = report("deviation no-such-rule W1: code=other reason=why by=me date=today")
    assert not silent.idle, "a rule that was not asked says nothing"


@pytest.mark.parametrize("severity", ["danger", "requirement"])
def test_the_yard_may_take_a_finding_graver(severity: str) -> None:
    boat, after = report(f'house "Q"\nhouse-severity untinned-conductor.bare {severity} reason="our boats lie in salt"')
    graver = found(after, BARE, run(boat, "W1"))
    assert (graver.severity, graver.graded) == (severity, "our boats lie in salt")


def test_the_yard_never_makes_a_danger_less() -> None:
    _, before = report()
    grave = next(each for each in before.findings if each.severity == "danger")
    _, after = report(f'house "Q"\nhouse-severity {grave.rule.id}.{grave.outcome.code} advice reason=why')
    same = next(each for each in after.findings if each.rule == grave.rule and each.outcome.code == grave.outcome.code)
    assert (same.severity, same.graded) == ("danger", "")
    assert any(each.outcome.code == "lowers-danger" for each in after.findings)

"""What people have decided about findings: how grave the yard takes them, and what is left as it is. A danger stays one."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from engine.model.house import Deviation, HouseSeverity
from engine.model.network import Network
from engine.rules.api import Book, Finding, Outcome, Rule, Severity


class Decisions:
    """The house rules and deviations of one boat, by what they are about."""

    def __init__(self, network: Network) -> None:
        self._grades = {(each.rule, each.code): each for each in network.house.severities}
        self._deviations = {(each.rule, each.code, each.subject): each for each in network.deviations}

    def finding(self, rule: Rule, book: Book, outcome: Outcome) -> Finding:
        """An outcome as a person sees it."""
        severity, graded = self._graded(rule, outcome.code)
        deviation = None
        if outcome.verdict == "breaks" and outcome.subjects and self._deviations:
            deviation = self._deviations.get((rule.id, outcome.code, outcome.subjects[0]))
        return Finding(rule=rule, book=book, severity=severity, outcome=outcome, graded=graded, deviation=deviation)

    def _graded(self, rule: Rule, code: str) -> tuple[Severity, str]:
        """How grave, and why where the yard says otherwise than the rule."""
        wording = rule.wordings.get(code)
        own: Severity = wording.severity if wording else "requirement"
        grade = self._grades.get((rule.id, code))
        if grade is None or grade.severity == own or is_forbidden(grade, own):
            return own, ""
        return grade.severity, grade.reason

    def idle(self, findings: Iterable[Finding], asked: Collection[str]) -> tuple[Deviation, ...]:
        """The deviations from rules that were asked and find nothing there."""
        used = {id(finding.deviation) for finding in findings if finding.deviation is not None}
        return tuple(each for each in self._deviations.values() if each.rule in asked and id(each) not in used)


def is_forbidden(grade: HouseSeverity, own: Severity) -> bool:
    """Whether the yard would call a danger something less."""
    return own == "danger" and grade.severity != "danger"

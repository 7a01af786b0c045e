"""What to find out next: the fields that keep questions open, those first that settle most and gravest. Knows no rule by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from engine.rules.api import Finding, Severity
from engine.rules.runner import SEVERITY_ORDER, Report, failed

WEIGHTS: Mapping[Severity, float] = {"danger": 9.0, "requirement": 3.0, "advice": 1.0}
"""How much a settled question counts (common practice, no source: the graver, three times the more)."""


class Ask(msgspec.Struct, frozen=True):
    """One unknown field and what knowing it would do."""

    key: str
    """What it is of: "run:w3", "part:p1", "position:p1/2", "space:engine" or "boat"."""
    field: str
    settles: int
    """Verdicts that wait for it, alone or with other fields."""
    alone: int
    """Those that wait for nothing else."""
    worst: Severity
    """The gravest of those verdicts, should it break."""
    rules: tuple[str, ...]

    @property
    def lack(self) -> str:
        """The field as outcomes name it: "run:w3 length_m"."""
        return f"{self.key} {self.field}".strip()


def what_next(report: Report) -> tuple[Ask, ...]:
    """Every unknown field that a verdict waits for. A verdict that waits for several fields counts for each by its share."""
    waiting: dict[str, list[Finding]] = {}
    for finding in _open(report):
        for lack in dict.fromkeys(finding.outcome.lacks):
            waiting.setdefault(lack, []).append(finding)
    ranked = sorted(waiting.items(), key=lambda item: (-_score(item[1]), item[0]))
    return tuple(_ask(lack, findings) for lack, findings in ranked)


def _open(report: Report) -> Iterator[Finding]:
    """The questions without a verdict; a check that crashed waits for no field."""
    return (each for each in report.findings if each.outcome.verdict == "cannot-tell" and not failed(each))


def _score(findings: list[Finding]) -> float:
    return sum(WEIGHTS[each.severity] / len(set(each.outcome.lacks)) for each in findings)


def _ask(lack: str, findings: list[Finding]) -> Ask:
    key, _, field = lack.partition(" ")
    return Ask(
        key=key,
        field=field,
        settles=len(findings),
        alone=sum(len(set(each.outcome.lacks)) == 1 for each in findings),
        worst=min((each.severity for each in findings), key=SEVERITY_ORDER.index),
        rules=tuple(dict.fromkeys(each.rule.id for each in findings)),
    )

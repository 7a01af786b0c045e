"""The check report as one JSON object: what was asked, what was met, every finding with its basis and status."""

from __future__ import annotations

import json
import math
from typing import Any

import msgspec

from engine.graph.boat import Boat
from engine.papers.report import FROM_MEMORY, verdict_text
from engine.papers.safety_words import DEFERRAL
from engine.papers.subject import Subject
from engine.rules.api import BOOK_TITLES, Basis, Finding
from engine.rules.inspection.questions import Question, inspection_list, needs_inspection
from engine.rules.missing import what_next
from engine.rules.runner import Tally, load_rules
from engine.rules.standing import EDITIONS, standing
from engine.rules.wording import formula, key_text, remedy, sentence


def report_json(subject: Subject) -> str:
    """The whole report as text."""
    return json.dumps(report_data(subject), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def report_data(subject: Subject) -> dict[str, Any]:
    """The report as plain data."""
    report, boat = subject.analysis.report, subject.boat
    about = subject.particulars
    return {
        "boat": about.name,
        "drawing_number": about.drawing_number,
        "revision": about.revision,
        "date": about.date,
        "rulebooks": [{"id": book, "title": BOOK_TITLES[book]} for book in report.books],
        "summary": verdict_text(report),
        "checks": report.checks,
        "met": report.meets,
        "breaks": report.count("breaks"),
        "cannot_tell": report.count("cannot-tell"),
        "rules": [_tally(tally) for tally in report.tallies],
        "findings": [_finding(number, finding, boat) for number, finding in enumerate(report.findings, 1)],
        "meets": [
            {"rule": rule_id, "book": book, "subjects": [key_text(key, boat) for key in outcome.subjects]}
            for rule_id, book, outcome in report.met
        ],
        "left_by_deviation": len(report.settled),
        "idle_deviations": [msgspec.to_builtins(each) for each in report.idle],
        "house": msgspec.to_builtins(boat.network.house),
        "ask_next": [msgspec.to_builtins(ask) for ask in what_next(report)],
        "needs_inspection": [_question(each, boat) for each in needs_inspection(boat, report.books)],
        "inspected": [
            {**_question(each, boat), "answer": each.answer.answer, "by": each.answer.by, "date": each.answer.date}
            for each in inspection_list(boat, report.books)
            if each.answer is not None
        ],
        "editions": {book: EDITIONS[book] for book in report.books},
        "documents": sorted({basis.document for rule in load_rules() for basis in rule.basis}),
        "on_numbers": FROM_MEMORY,
        "caution": DEFERRAL.text,
    }


def _question(question: Question, boat: Boat) -> dict[str, Any]:
    item = question.item
    return {
        "question": item.id,
        "subject": question.subject,
        "name": key_text(question.subject, boat),
        "text": item.question,
        "how": item.how,
        "unit": item.unit,
        "severity": item.severity,
    }


def _tally(tally: Tally) -> dict[str, Any]:
    return {
        "rule": tally.rule_id,
        "book": tally.book,
        "applicable": tally.checks > 0,
        "met": tally.meets,
        "broken": tally.breaks,
        "cannot_tell": tally.cannot_tell,
    }


def _finding(number: int, finding: Finding, boat: Boat) -> dict[str, Any]:
    outcome = finding.outcome
    return {
        "number": number,
        "rule": finding.rule.id,
        "code": outcome.code,
        "book": finding.book,
        "standing": standing(finding.book, boat.network.particulars),
        "outcome": outcome.verdict,
        "severity": finding.severity,
        "subjects": [key_text(key, boat) for key in outcome.subjects],
        "keys": list(outcome.subjects),
        "values": {name: _plain(value) for name, value in outcome.values.items()},
        "lacks": list(outcome.lacks),
        "basis": [_basis(basis) for basis in finding.basis],
        "numbers_from": list(outcome.sources),
        "weakest_number": outcome.status,
        "sentence": sentence(finding, boat),
        "formula": formula(finding),
        "remedy": remedy(finding, boat),
        "graded": finding.graded,
        "deviation": msgspec.to_builtins(finding.deviation),
    }


def _plain(value: float | str) -> float | str:
    """JSON has no infinity."""
    return "unlimited" if isinstance(value, float) and math.isinf(value) else value


def _basis(basis: Basis) -> dict[str, str]:
    return {"book": basis.book, "document": basis.document, "clause": basis.clause, "status": basis.status}

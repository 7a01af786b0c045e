"""The check report never says more than was found out."""

from __future__ import annotations

import json

from engine.papers.report import report_paper, verdict_text
from engine.papers.report_json import report_json
from engine.rules.runner import Report
from tests.papers.boats import SMALL, sample, sketched
from tests.papers.page_checks import keys_on, words_on


def test_every_finding_is_printed_with_its_number_and_remedy() -> None:
    subject = sample("marguerite_as_built")
    keys = [key for page in report_paper(subject) for key in keys_on(page.items) if key.startswith("finding:")]
    assert keys == [f"finding:{number}" for number in range(1, len(subject.analysis.findings) + 1)]
    words = words_on(report_paper(subject))
    assert words.count("→ ") >= len(keys)
    assert "quoted second hand" in words


def test_open_questions_are_not_called_a_clean_boat() -> None:
    subject = sketched('boat "Open" rules=us,iso\nG1 battery\nF1 fuse_bolt\nE1 lamp "Lamp"\n'
                       "1: G1.pos - F1.a + \n2: F1.b - E1.supply +\n3: E1.neg - G1.neg -")  # fmt: skip
    words = words_on(report_paper(subject)).lower()
    assert "no findings" not in words
    assert "what to find out first" in words
    assert str(subject.analysis.report.count("cannot-tell")) in verdict_text(subject.analysis.report)


def test_nothing_asked_says_nothing() -> None:
    report = Report(findings=(), tallies=(), books=(), met=())
    assert "this says nothing about the boat" in verdict_text(report)


def test_a_boat_that_meets_everything_is_told_how_much_was_asked() -> None:
    report = sample("quill_34").analysis.report
    text = verdict_text(report)
    assert str(report.checks) in text
    assert str(len(report.not_applicable)) in text
    words = words_on(report_paper(sample("quill_34")))
    assert "not applicable" in words
    assert "from memory, unconfirmed" in words
    assert "What meets its rule" in words


def test_the_json_has_everything_and_no_infinity() -> None:
    subject = sample("marguerite_as_built")
    data = json.loads(report_json(subject), parse_constant=lambda name: (_ for _ in ()).throw(ValueError(name)))
    assert data["boat"] == "Marguerite"
    assert len(data["findings"]) == len(subject.analysis.findings)
    assert data["breaks"] + data["cannot_tell"] == len(data["findings"])
    first = data["findings"][0]
    assert {"rule", "outcome", "severity", "subjects", "values", "basis", "sentence", "remedy", "formula"} <= set(first)
    assert first["basis"][0]["status"] in ("published", "secondary", "memory", "computed", "practice")
    assert any(not rule["applicable"] for rule in data["rules"])


def test_the_json_of_a_boat_with_unknowns_is_json() -> None:
    assert json.loads(report_json(sketched(SMALL)))["cannot_tell"] > 0

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


DECIDED = """boat "Decided" rules=us fuel=diesel engine=inboard
G1 battery nominal_v=12 cca_a=700
E1 lamp "Lamp" running_a=1
1: G1.pos - E1.supply + 14 AWG RD 2 m bare
2: E1.neg - G1.neg - 14 AWG YE 2 m tinned
deviation untinned-conductor 1: code=bare reason="a dry saloon" by="R. Thorne" date=2026-05-01
deviation untinned-conductor 2: code=bare reason="was bare once" by="R. Thorne" date=2026-05-01
deviation {danger} reason="nobody goes there" by="R. Thorne" date=2026-05-01
house "Quillan Bay"
house-limit battery-drop-percent 5 reason="from the battery"
"""


def test_deviations_and_house_rules_are_printed_with_their_reasons_and_hide_no_danger() -> None:
    plain = sketched(DECIDED.replace("deviation {danger}", "#"))
    grave = next(each for each in plain.analysis.findings if each.severity == "danger")
    number = plain.boat.runs[grave.outcome.subjects[0].removeprefix("run:")].number
    subject = sketched(DECIDED.format(danger=f"{grave.rule.id} {number}: code={grave.outcome.code}"))
    words = words_on(report_paper(subject))
    for told in ("a dry saloon", "R. Thorne, 2026-05-01", "leaves it as it is", "nothing found: withdraw it",
                 "a danger: it stays open", "House rules of Quillan Bay", "from the battery", "Left by deviation",
                 "no deviation takes it off this list"):  # fmt: skip
        assert told in words, told
    data = json.loads(report_json(subject))
    assert data["left_by_deviation"] == 1
    assert data["breaks"] == plain.analysis.report.count("breaks")
    assert data["house"]["name"] == "Quillan Bay"
    assert [each["reason"] for each in data["idle_deviations"]] == ["was bare once"]

"""The inspection list holds every question once, by place; an answer that was given is printed; the report counts the rest."""

from __future__ import annotations

import json

from engine.papers.inspection_list import by_place, inspection_paper
from engine.papers.report import report_paper
from engine.papers.report_json import report_json
from engine.papers.subject import Subject
from engine.rules.inspection.questions import inspection_list
from tests.papers.boats import sample, sketched
from tests.papers.page_checks import words_on

ANSWERED = """
boat "Open" rules=us fuel=petrol engine=inboard
space locker "Battery locker" kind=battery
G1 battery "House" @locker
G2 battery "Start"
E1 lamp "Lamp"
1: G1.pos - E1.supply + 14 AWG 3 m
answer battery-hold-down G1 yes by="R. Thorne" date=2026-05-01
answer support @class:battery 0.6 by="R. Thorne"
answer support-battery @class:battery 0.6 by="R. Thorne"
answer compass @boat no
"""


def asked(subject: Subject) -> list[tuple[str, str]]:
    return sorted((each.item.id, each.subject) for each in inspection_list(subject.boat, subject.books))


def test_every_question_stands_under_one_place() -> None:
    subject = sample("quill_34")
    places = by_place(subject)
    listed = sorted((each.item.id, each.subject) for questions in places.values() for each in questions)
    assert listed == asked(subject)
    assert next(iter(places)) == "The whole boat"
    assert {each.item.id for each in places["Bilge"]} == {"bilge-pump-test"}


def test_a_part_without_a_place_is_said_to_have_none() -> None:
    places = by_place(sketched(ANSWERED))
    assert "Battery locker" in places
    assert {each.subject for each in places["Place not stated on the drawing"]} == {"part:p2"}


def test_the_paper_prints_questions_requirements_and_answers() -> None:
    words = " ".join(words_on(inspection_paper(sketched(ANSWERED))).split())
    assert "Is it held so that it hardly" in words
    assert "183.420(a)" in words
    assert "0.6 m" in words
    assert "R. Thorne" in words


def test_the_report_counts_what_was_not_looked_at() -> None:
    subject = sketched(ANSWERED)
    words = " ".join(words_on(report_paper(subject)).split())
    count = len(asked(subject))
    assert f"{count} questions are for eyes and meters aboard; {count - 3} of them" in words
    assert "What needs inspection" in words


def test_the_report_tells_law_from_standard() -> None:
    words = " ".join(words_on(report_paper(sketched(ANSWERED))).split())
    assert "Law: it binds this boat" in words
    assert "Voluntary standard" in words
    assert "no edition was read" in words


def test_the_json_lists_both_and_the_failed_ones_are_findings() -> None:
    data = json.loads(report_json(sketched(ANSWERED)))
    assert {each["question"] for each in data["inspected"]} == {"battery-hold-down", "support-battery", "compass"}
    failed = [each for each in data["findings"] if each["rule"] == "failed-inspection"]
    assert {each["code"] for each in failed} == {"over-limit", "not-as-advised"}
    assert len(data["needs_inspection"]) + len(data["inspected"]) == len(asked(sketched(ANSWERED)))

"""Every case of every rule gives the answers it lists, and their sentences can be written."""

from __future__ import annotations

import pytest

from engine.rules import wording
from engine.rules.api import Book, Finding, Outcome, Rule
from engine.rules.runner import load_rules
from tests.rules.cases import Case, answers, boat_of, books_of_case, cases_of, lack_of, name_of


def all_cases() -> list[object]:
    """(rule, case, book) for every case file that is there; test_rules.py insists that each rule has one."""
    found: list[object] = []
    for rule in load_rules():
        try:
            listed = cases_of(rule.id).case
        except FileNotFoundError:
            continue
        for case in listed:
            for book in books_of_case(case, rule):
                found.append(pytest.param(rule, case, book, id=f"{rule.id}-{book}-{case.name}".replace(" ", "_")))
    return found


def about(outcome: Outcome, case: Case) -> str:
    return name_of(outcome.subjects[0], boat_of(case.boat, case.strange)) if outcome.subjects else ""


@pytest.mark.parametrize(("rule", "case", "book"), all_cases())
def test_case(rule: Rule, case: Case, book: Book) -> None:
    given = answers(case, rule, book)
    broken = sorted((about(outcome, case), outcome.code) for outcome in given if outcome.verdict == "breaks")
    untold = sorted(about(outcome, case) for outcome in given if outcome.verdict == "cannot-tell")
    assert broken == sorted((each.about, each.code) for each in case.breaks)
    assert untold == sorted(each.about for each in case.cannot_tell)
    if not case.breaks and not case.cannot_tell:
        assert any(outcome.verdict == "meets" for outcome in given), "nothing was checked"


@pytest.mark.parametrize(("rule", "case", "book"), all_cases())
def test_fields_and_sentences(rule: Rule, case: Case, book: Book) -> None:
    boat = boat_of(case.boat, case.strange)
    lacking = {each.about: each.lacks for each in case.cannot_tell if each.lacks is not None}
    for outcome in answers(case, rule, book):
        if outcome.verdict == "meets":
            continue
        finding = Finding(rule=rule, book=book, severity="advice", outcome=outcome)
        texts = (wording.sentence(finding, boat), wording.remedy(finding, boat), wording.formula(finding))
        assert all("{" not in text and "None" not in text and " inf " not in text for text in texts), texts
        if outcome.verdict == "cannot-tell":
            assert outcome.lacks
            if about(outcome, case) in lacking:
                assert {lack_of(lack, boat) for lack in outcome.lacks} == set(lacking[about(outcome, case)] or ())

"""What every rule must have: a reason, a basis, parameters with source, cases for all it can say; and what a crash does."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from engine.graph.boat import Boat
from engine.rules.api import BOOK_TITLES, Book, Outcome, Rule, Wording
from engine.rules.runner import failed, load_rules, run_rules
from tests.rules.cases import FOLDER, answers, boat_of, books_of_case, cases_of, library

RULES = [pytest.param(rule, id=rule.id) for rule in load_rules()]


@pytest.mark.parametrize("rule", RULES)
def test_the_id_is_the_file_name(rule: Rule) -> None:
    assert rule.check.__module__ == f"engine.rules.{rule.family}.{rule.id.replace('-', '_')}"


@pytest.mark.parametrize("rule", RULES)
def test_it_says_why(rule: Rule) -> None:
    assert len(rule.why) > 60
    assert rule.title
    assert not rule.title.endswith(".")


@pytest.mark.parametrize("rule", RULES)
def test_every_rulebook_has_a_basis(rule: Rule) -> None:
    known = {basis.book for basis in rule.basis}
    assert set(rule.books) <= set(BOOK_TITLES)
    assert all(book in known or "any" in known for book in rule.books)
    assert all(basis.document and basis.clause for basis in rule.basis)


@pytest.mark.parametrize("rule", RULES)
def test_parameters_have_unit_and_source(rule: Rule) -> None:
    assert all(parameter.unit and parameter.source for parameter in rule.parameters)


@pytest.mark.parametrize("rule", RULES)
def test_every_code_has_a_boat_that_breaks_it(rule: Rule) -> None:
    covered = {expected.code for case in cases_of(rule.id).case for expected in case.breaks}
    assert covered == set(rule.wordings)


@pytest.mark.parametrize("rule", RULES)
def test_one_boat_meets_it(rule: Rule) -> None:
    assert any(not case.breaks and not case.cannot_tell for case in cases_of(rule.id).case)


@pytest.mark.parametrize("rule", RULES)
def test_one_boat_leaves_it_untold_or_that_cannot_be(rule: Rule) -> None:
    listed = cases_of(rule.id)
    assert listed.never_cannot_tell or any(case.cannot_tell for case in listed.case)
    assert not (listed.never_cannot_tell and any(case.cannot_tell for case in listed.case))


@pytest.mark.parametrize("rule", RULES)
def test_subjects_exist_on_the_boat(rule: Rule) -> None:
    for case in cases_of(rule.id).case:
        boat = boat_of(case.boat, case.strange)
        for book in books_of_case(case, rule):
            for outcome in answers(case, rule, book):
                assert all(_exists(key, boat) for key in (*outcome.subjects, *outcome.path)), outcome


def _exists(key: str, boat: Boat) -> bool:
    sort, _, rest = key.partition(":")
    part_id, _, position = rest.partition("/")
    if sort in ("boat", "class"):
        return True
    if sort == "space":
        return rest in boat.compartments
    if sort == "run":
        return rest in boat.runs
    if sort == "box":
        return rest in boat.enclosures
    if part_id not in boat.parts:
        return False
    return not position or boat.position(boat.parts[part_id], position) is not None


def test_every_case_file_belongs_to_a_rule() -> None:
    assert {file.stem for file in FOLDER.glob("*.toml")} == {rule.id for rule in load_rules()}


def test_ids_are_unique() -> None:
    ids = [rule.id for rule in load_rules()]
    assert len(ids) == len(set(ids))


def test_a_rule_that_crashes_becomes_a_finding() -> None:
    def crash(boat: Boat, book: Book) -> Iterator[Outcome]:
        raise ZeroDivisionError("no such number")
        yield  # a generator, as rules are

    first = load_rules()[0]
    broken = Rule(
        id="broken", family="test", title="Broken", why="", books=("any",), basis=first.basis,
        wordings={"x": Wording("advice", "", "")}, parameters=(), needs="", check=crash,
    )  # fmt: skip
    report = run_rules(boat_of('boat "Empty"'), rules=[broken, first])
    assert [failed(finding) for finding in report.findings if finding.rule.id == "broken"] == [True]
    assert "ZeroDivisionError" in str(report.findings[0].outcome.values["error"])
    assert library()

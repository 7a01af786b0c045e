"""Every requirement that was collected ends as a rule that names it, a question of the inspection list, or a stated reason."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from engine.cli import main
from engine.rules.api import Rule
from engine.rules.coverage import FILE, Row, books_of_item, coverage, rows, rows_of
from engine.rules.inspection.items import items
from engine.rules.runner import load_rules

RULES = {rule.id: rule for rule in load_rules()}
COUNTS = {"183": 45, "E11": 116, "ISO": 85, "S-": 67}
"""How many requirements were collected from the law, from E-11, from ISO and from surveyors."""
PLAIN = frozenset({
    "and", "any", "are", "can", "case", "each", "for", "from", "has", "have", "its", "may", "must", "not", "one", "over", "than",
    "that", "the", "their", "them", "then", "they", "this", "under", "with", "without", "within", "least", "most", "more", "only",
    "other", "into", "found",
})  # fmt: skip

BY_RULE = [pytest.param(row, name, id=f"{row.id} {name}") for row in rows() if row.ends_as == "rule" for name in row.by]


def test_there_are_313_each_once() -> None:
    ids = [row.id for row in rows()]
    assert len(ids) == len(set(ids)) == 313
    found = Counter(next(start for start in COUNTS if each.startswith(start)) for each in ids)
    assert dict(found) == COUNTS


def test_each_ends_in_exactly_one_way() -> None:
    for row in rows():
        assert bool(row.by) == (row.ends_as != "scope"), row.id
        assert bool(row.reason) == (row.ends_as == "scope"), row.id
        assert "planned" not in row.reason.lower()


def test_every_question_exists_and_rests_on_something() -> None:
    known = {item.id for item in items()}
    named = {name for row in rows() if row.ends_as == "item" for name in row.by}
    assert named <= known
    assert known - named == {"bilge-pump-test"}, "a question that no requirement asks"


@pytest.mark.parametrize(("row", "name"), BY_RULE)
def test_the_rule_is_asked_under_the_rows_rulebook(row: Row, name: str) -> None:
    rule = RULES[name]
    assert not row.books or "any" in rule.books or set(row.books) & set(rule.books)


@pytest.mark.parametrize(("row", "name"), [case for case in BY_RULE if str(case.id).startswith("183.")])
def test_a_clause_of_the_law_is_in_the_basis_of_its_rule(row: Row, name: str) -> None:
    section, paragraph = re.match(r"(183\.\d+)(\([a-z]\))?", row.id).groups()  # type: ignore[union-attr]
    documents = " ".join(basis.document for basis in RULES[name].basis if basis.book == "33cfr183")
    assert section in documents, documents
    assert not paragraph or paragraph in documents or f"{section}," in documents, documents


@pytest.mark.parametrize(("row", "name"), BY_RULE)
def test_rule_and_row_speak_of_the_same(row: Row, name: str) -> None:
    """Each rule shares a telling word with the requirement, and the rules named for it share two or more."""
    said = words(f"{row.topic} {row.requirement}")
    assert said & words(text_of(RULES[name]))
    assert len(said & words(" ".join(text_of(RULES[each]) for each in row.by))) >= 2


def words(text: str) -> set[str]:
    """The words that say something, without their endings."""
    found = re.findall(r"[a-z]{3,}", text.lower())
    return {re.sub(r"(ings?|ed|es|s)$", "", word)[:7] for word in found if word not in PLAIN}


def text_of(rule: Rule) -> str:
    sentences = [f"{wording.sentence} {wording.remedy}" for wording in rule.wordings.values()]
    return " ".join(
        [rule.id.replace("-", " "), rule.title, rule.why, rule.needs, *(b.clause for b in rule.basis), *sentences]
    )


def test_the_committed_table_is_what_the_data_say() -> None:
    assert FILE.read_text(encoding="utf-8") == coverage(), "run python -m engine.rules.coverage"


def test_a_question_knows_its_rulebooks() -> None:
    assert books_of_item("battery-hold-down") == {"33cfr183", "e11", "iso13297"}
    assert books_of_item("petrol-bulkhead") == {"33cfr183"}
    assert books_of_item("compass") == {"e11"}
    assert [row.id for row in rows_of("compass")] == ["E11-107"]


def test_the_command_prints_counts_and_every_row(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rules", "coverage"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("313 requirements: ")
    assert all(f"\n{row.id} " in text for row in rows())

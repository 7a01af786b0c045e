"""Each proof about the AC sources has a boat that breaks it, and its witness: the position in words, the way on the sheet."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from engine.drawing.annotate import Annotation
from engine.drawing.display import Group, Item
from engine.drawing.layout import lay_out
from engine.drawing.sheet import draw_sheet
from engine.library.symbol import load_symbols
from engine.model.document import Document
from engine.rules.api import Outcome
from engine.rules.runner import load_rules
from tests.rules.cases import answers, boat_of, books_of_case, cases_of, library

PROOFS = ("ac-sources-meet", "neutral-earthed-aboard", "neutral-not-earthed-once", "shared-neutral", "switched-earth")
RULES = {rule.id: rule for rule in load_rules()}


def broken(rule_id: str) -> Iterator[tuple[str, Outcome]]:
    """The boats that break a proof, with the answers that say so and show a way."""
    rule = RULES[rule_id]
    for case in cases_of(rule_id).case:
        for outcome in answers(case, rule, books_of_case(case, rule)[0]):
            if outcome.verdict == "breaks":
                yield case.boat, outcome


def groups(items: tuple[Item, ...], key: str) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            if item.key == key:
                yield item
            yield from groups(item.items, key)


@pytest.mark.parametrize("rule_id", PROOFS)
def test_a_boat_breaks_it_and_the_witness_is_on_the_sheet(rule_id: str) -> None:
    shown = []
    for sketch, outcome in broken(rule_id):
        way = tuple(key for key in (*outcome.path, *outcome.subjects) if key.startswith(("run:", "part:", "position:")))
        document = lay_out(Document(network=boat_of(sketch).network, next_id=100_000), library(), load_symbols())
        for sheet in document.sheets:
            plain = draw_sheet(document, sheet.id, library(), load_symbols())
            drawn = draw_sheet(document, sheet.id, library(), load_symbols(), annotation=Annotation(paths=(way,)))
            assert not list(groups(plain.page.items, "shown"))
            shown += list(groups(drawn.page.items, "shown"))
    assert shown
    assert all(group.items for group in shown)


@pytest.mark.parametrize("rule_id", ["ac-sources-meet", "shared-neutral", "neutral-earthed-aboard"])
def test_the_position_is_said(rule_id: str) -> None:
    told = [
        outcome for _, outcome in broken(rule_id) if outcome.code != "makes-first"
    ]  # a selector's build, no position
    assert told
    assert all(str(outcome.values.get("position", "")) for outcome in told)

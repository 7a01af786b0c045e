"""Rules whose answers are carried from boat to boat: nothing that the skeleton leaves out may change what meets them."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec
import pytest

from engine.graph import skeleton
from engine.graph.boat import Boat
from engine.model.network import Network, Part
from engine.rules.api import Book, Outcome, Rule
from engine.rules.runner import load_rules, run_rules
from engine.rules.wording import sentence
from tests.graph.skeletons import fresh, variants
from tests.rules.cases import boat_of, cases_of
from tests.samples.boats import NAMES, document, library

CARRIED = tuple(each for each in load_rules() if each.from_skeleton)


def met(rule: Rule, network: Network, book: Book) -> list[tuple[str, tuple[str, ...]]] | None:
    """What meets the rule, where all does; None where there is a finding."""
    given: list[Outcome] = list(rule.check(fresh(network), book))
    return [(each.code, each.subjects) for each in given] if all(each.verdict == "meets" for each in given) else None


def networks(rule: Rule) -> Iterator[Network]:
    """The samples, and every boat in the cases of the rule."""
    yield from (document(name).network for name in NAMES)
    yield from (boat_of(case.boat, case.strange).network for case in cases_of(rule.id).case)


@pytest.mark.parametrize("rule", CARRIED, ids=lambda rule: rule.id)
def test_what_the_skeleton_leaves_out_changes_nothing_that_is_met(rule: Rule) -> None:
    for network in networks(rule):
        for book in rule.books:
            told = met(rule, network, book)
            assert [met(rule, other, book) for other in variants(network)] == [told, told]


def test_what_is_met_is_not_asked_again_and_a_finding_is() -> None:
    network = document("quill_34").network
    dead = next(rule for rule in CARRIED if rule.id == "unfed-load")
    asked = []

    def check(boat: Boat, book: Book) -> Iterator[Outcome]:
        asked.append(boat)
        yield from dead.check(boat, book)

    rule = msgspec.structs.replace(dead, check=check)
    loose = Part(id="p900", kind="lamp", designation="E90", label="Reading light")
    for boats, times in (((network, *variants(network)), 1), ((plus(network, loose),) * 2, 2)):
        asked.clear()
        skeleton.tables_of(Network(), library())
        reports = [run_rules(Boat(boat, library()), rules=(rule,)) for boat in boats]
        assert len(asked) == times
        assert len({(report.meets, len(report.findings)) for report in reports}) == 1
    renamed = Boat(plus(network, msgspec.structs.replace(loose, label="Chart light")), library())
    (found,) = run_rules(renamed, rules=(rule,)).findings
    assert "Chart light" in sentence(found, renamed)


def plus(network: Network, part: Part) -> Network:
    """The network with one part more."""
    return msgspec.structs.replace(network, parts=(*network.parts, part))

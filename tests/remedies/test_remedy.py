"""Every remedy that is offered takes its finding away, whatever boat it is asked of; and it is shown before it is taken."""

from __future__ import annotations

import pytest

from engine.graph.boat import Boat
from engine.library.device import load_library
from engine.model.document import Document
from engine.model.invariants import problems
from engine.pipeline import Analysis, analyse
from engine.remedies.remedy import cures, preview, remedies
from engine.remedies.stock import Stock, ratings_below, sizes_from
from engine.rules.runner import load_rules, run_rules
from tests.rules.cases import boat_of, books_of_case, cases_of
from tests.samples.boats import analysis, document

LIBRARY = load_library()
CASES = [
    pytest.param(rule, case, id=f"{rule.id}: {case.name}")
    for rule in load_rules()
    for case in cases_of(rule.id).case
    if case.breaks
]


@pytest.mark.parametrize(("rule", "case"), CASES)
def test_what_is_offered_takes_the_finding_away(rule, case) -> None:  # type: ignore[no-untyped-def]
    network = boat_of(case.boat, case.strange).network
    given = Document(network=network, next_id=100_000)
    for book in books_of_case(case, rule):
        report = run_rules(Boat(network, LIBRARY), (book,), [rule])
        for finding in report.findings:
            if finding.outcome.verdict == "breaks":
                found = remedies(Analysis(Boat(network, LIBRARY), report), finding, given, LIBRARY, Stock())
                for remedy in found:
                    made = remedy.edit(given)
                    assert cures(made, finding, LIBRARY)
                    assert problems(made) == ()
                    assert remedy.title


def test_marguerite_is_offered_what_a_yard_would_do() -> None:
    got, given = analysis("marguerite_as_built"), document("marguerite_as_built")
    offered = {}
    for finding in got.findings:
        if finding.outcome.verdict == "breaks":
            about = finding.outcome.subjects[0]
            offered[finding.rule.id, about] = [each.title for each in remedies(got, finding, given, LIBRARY, Stock())]
    titles = [title for listed in offered.values() for title in listed]
    assert "F3 Refrigerator: 20 A" in titles
    assert any("screw a guard" in title for title in titles)
    assert any("replace wire 204 by stranded" in title for title in titles)
    assert all(not listed for (rule, _), listed in offered.items() if rule in ("unlabelled-circuit", "joined-banks"))


def test_a_preview_names_what_goes_and_what_comes() -> None:
    got, given = analysis("marguerite_as_built"), document("marguerite_as_built")
    finding = next(each for each in got.findings if each.rule.id == "solid-conductor")
    remedy = remedies(got, finding, given, LIBRARY, Stock())[0]
    shown = preview(got, given, remedy, LIBRARY)
    assert [each.rule.id for each in shown.removed] == ["solid-conductor"]
    assert shown.added == ()
    assert analyse(given.network, LIBRARY, got.report.books).findings == got.findings


def test_sizes_rise_and_ratings_fall_one_by_one() -> None:
    assert list(sizes_from("2 AWG", Stock()))[:3] == ["1 AWG", "1/0 AWG", "2/0 AWG"]
    assert list(sizes_from("10 mm2", Stock()))[:2] == ["16 mm²", "25 mm²"]
    assert list(sizes_from("14 AWG", Stock(("16 AWG", "10 AWG", "12 AWG")))) == ["12 AWG", "10 AWG"]
    assert next(ratings_below(30.0, "blade")) == 25.0

"""Every remedy that is offered takes its finding away, whatever boat it is asked of; and it is shown before it is taken."""

from __future__ import annotations

import pytest

from engine.drawing.sheet import Draughtsman
from engine.graph.boat import Boat
from engine.library.device import load_library
from engine.library.symbol import load_symbols
from engine.model.document import Document
from engine.model.invariants import problems
from engine.model.quantity import low
from engine.pipeline import Analysis, analyse
from engine.remedies.devices import NEAR_M
from engine.remedies.remedy import cures, preview, remedies
from engine.remedies.stock import Stock, ratings_below, sizes_from
from engine.rules.runner import load_rules, run_rules
from engine.sketch import read_sketch
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
    assert "put a class T fuse of 200 A into wire 5 at G2 House bank" in titles
    assert "put a breaker, AC, two poles of 30 A into wire 201 at X10 Shore inlet" in titles
    assert "take wire 210 out" in offered["neutral-earthed-aboard", "part:p37"]
    assert "write \u201cReading lights\u201d on way 7" in titles
    assert not any("To be identified" in title for title in titles), (
        "three circuits are called so: it names none of them"
    )
    assert all(not listed for (rule, _), listed in offered.items() if rule == "joined-banks")


def test_a_device_stands_on_its_run_and_near_the_source() -> None:
    got, given = analysis("marguerite_as_built"), document("marguerite_as_built")
    finding = next(
        each for each in got.findings if each.rule.id == "unprotected-conductor" and "run:w8" in each.outcome.subjects
    )
    made = remedies(got, finding, given, LIBRARY, Stock())[0].edit(given)
    fuse, rest = made.network.parts[-1], made.network.runs[-1]
    first = next(run for run in made.network.runs if run.id == "w8")
    was = next(run for run in given.network.runs if run.id == "w8")
    assert fuse.kind == "fuse_class_t"
    assert first.length_m == NEAR_M
    assert low(first.length_m) + low(rest.length_m) == pytest.approx(low(was.length_m))
    assert {end.part for end in (first.a, first.b)} == {"p2", fuse.id}
    drawn = Draughtsman(LIBRARY, load_symbols()).draw(made, "s1")
    others = [box for key, box in drawn.boxes.items() if key.startswith("part:") and key != f"part:{fuse.id}"]
    own = drawn.boxes[f"part:{fuse.id}"]
    assert not any(own[0] < b[2] and b[0] < own[2] and own[1] < b[3] and b[1] < own[3] for b in others)


def test_of_larger_fuses_the_smallest_that_carries_the_load_is_offered() -> None:
    network = read_sketch(TOO_SMALL, LIBRARY).network
    given, got = Document(network=network, next_id=1000), analyse(network, LIBRARY, ("e11",))
    finding = next(each for each in got.findings if each.rule.id == "device-below-load")
    assert [each.title for each in remedies(got, finding, given, LIBRARY, Stock())] == ["F1: 15 A"]


TOO_SMALL = """
boat engine=none
G1 battery nominal_v=12
F1 fuse_blade 10 A
E1 lamp running_a=12
W1: G1.pos - F1.a + 14 AWG 0.1 m 105 C open bundled=1
W2: F1.b - E1.supply + 14 AWG 2 m 105 C open bundled=1
"""


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

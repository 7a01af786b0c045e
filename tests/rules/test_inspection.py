"""The inspection list: what it asks of a boat, what settles it, and that nothing unanswered passes."""

from __future__ import annotations

import msgspec

from engine.graph.boat import Boat
from engine.model.network import Answer
from engine.rules.inspection.items import items
from engine.rules.inspection.questions import SUBJECTS, inspection_list, needs_inspection, run_class
from engine.rules.runner import run_rules
from tests.rules.cases import boat_of, library

SKETCH = """
boat "Launch" fuel=petrol engine=inboard
G1 battery chemistry=AGM
G2 battery chemistry=LiFePO4
Q1 battery_switch
A1 dc_panel
M1 bilge_pump
1: G1.pos - Q1.in + 1/0 AWG 1 m
2: Q1.out - A1.feed + 6 AWG 2 m
3: A1.neg - M1.supply +- 18 AWG 2 m sheath
"""


def asked(boat: Boat, *books: str) -> set[tuple[str, str]]:
    return {(each.item.id, each.subject) for each in inspection_list(boat, books)}  # type: ignore[arg-type]


def test_every_item_is_asked_of_something_known_and_reads_as_a_question() -> None:
    for item in items():
        assert item.subject in SUBJECTS
        assert item.question.endswith("?")
        assert item.how.endswith(".")
        assert not item.most or item.unit
    assert len({item.id for item in items()}) == len(items())


def test_it_asks_what_the_boat_has() -> None:
    found = asked(boat_of(SKETCH), "33cfr183", "e11")
    assert ("battery-hold-down", "part:p1") in found
    assert ("battery-hold-down", "part:p2") in found
    assert ("lithium-proof", "part:p2") in found
    assert ("lithium-proof", "part:p1") not in found
    assert ("bilge-pump-test", "part:p5") in found
    assert ("petrol-isolation", "boat") in found
    assert ("sheath-exit", "run:w3") in found
    assert not any(item == "shore-cord" for item, _ in found)


def test_it_asks_only_what_the_rulebooks_ask() -> None:
    assert not any(item == "petrol-isolation" for item, _ in asked(boat_of(SKETCH), "e11"))
    assert ("battery-electrolyte", "part:p1") in asked(boat_of(SKETCH), "iso13297")
    assert ("battery-electrolyte", "part:p1") not in asked(boat_of(SKETCH), "e11")


def test_classes_of_runs() -> None:
    boat = boat_of(SKETCH)
    assert [run_class(boat, run) for run in boat.network.runs] == ["class:battery", "class:dc", "class:dc"]


def test_an_answer_settles_its_question_and_no_other() -> None:
    boat = boat_of(SKETCH)
    before = needs_inspection(boat, ("e11",))
    answer = Answer(item="battery-hold-down", subject="part:p1", answer=True)
    after = needs_inspection(answered(boat, answer), ("e11",))
    gone = {(each.item.id, each.subject) for each in before} - {(each.item.id, each.subject) for each in after}
    assert gone == {("battery-hold-down", "part:p1")}


def test_nothing_unanswered_is_counted_as_met() -> None:
    report = run_rules(boat_of(SKETCH), ("33cfr183", "e11"))
    assert not any(rule == "failed-inspection" for rule, _, _ in report.met)


def test_a_no_is_a_finding_under_each_rulebook_that_asks() -> None:
    boat = answered(boat_of(SKETCH), Answer(item="battery-hold-down", subject="part:p1", answer=False))
    report = run_rules(boat, ("33cfr183", "e11"))
    found = [finding.book for finding in report.findings if finding.rule.id == "failed-inspection"]
    assert sorted(found) == ["33cfr183", "e11"]


def answered(boat: Boat, *answers: Answer) -> Boat:
    return Boat(msgspec.structs.replace(boat.network, answers=answers), library())

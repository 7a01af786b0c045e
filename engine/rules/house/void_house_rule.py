"""Rule void-house-rule."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.colours import is_colour
from engine.electrics.sizes import parse_size
from engine.electrics.sources import ElectricsError
from engine.graph.boat import Boat
from engine.model.house import HouseSeverity
from engine.rules.api import Book, Outcome, Rule, Wording, breaks, meets, rule
from engine.rules.decisions import is_forbidden
from engine.rules.house.basis import OWN
from engine.rules.runner import load_rules


@rule(
    "void-house-rule",
    title="House rule that does nothing",
    books=("any",),
    basis=OWN,
    wordings={
        "no-such-finding": Wording(
            "advice",
            "The house rules grade {finding}, which no check finds.",
            "Look the finding up in the handbook of the rules, and write rule-id.code.",
        ),
        "lowers-danger": Wording(
            "requirement",
            "The house rules call {finding} {severity}; it is a danger and stays one.",
            "Take that line out of the house rules.",
        ),
        "no-such-colour": Wording("advice", "The house rules ask for the colour {colour}, which there is not.",
                                  "Write RD, BK, GNYE …"),
        "no-such-size": Wording("advice", "The house rules list the size {size}, which there is not.", "Write 10 AWG or 6 mm²."),
    },
    needs="House rules.",
)  # fmt: skip
def void_house_rule(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A yard that believes its rule is asked, and it is not, is worse off than without. And no house rule makes a danger
    less than one."""
    house = boat.network.house
    rules = {each.id: each for each in load_rules()} if house.severities else {}
    for grade in house.severities:
        yield _grade(grade, rules.get(grade.rule))
    for colour in house.colours:
        known = is_colour(colour.colour)
        yield meets("no-such-colour", "boat") if known else breaks("no-such-colour", "boat", colour=colour.colour)
    for size in house.sizes:
        yield meets("no-such-size", "boat") if _is_size(size) else breaks("no-such-size", "boat", size=size)


def _grade(grade: HouseSeverity, graded: Rule | None) -> Outcome:
    finding = f"{grade.rule}.{grade.code}"
    wording = graded.wordings.get(grade.code) if graded else None
    if wording is None:
        return breaks("no-such-finding", "boat", finding=finding)
    if is_forbidden(grade, wording.severity):
        return breaks("lowers-danger", "boat", finding=finding, severity=grade.severity)
    return meets("no-such-finding", "boat")


def _is_size(size: str) -> bool:
    try:
        parse_size(size)
    except ElectricsError:
        return False
    return True

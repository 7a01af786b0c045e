"""What to measure next: the fields in the order of what they settle, and how each rulebook stands to the boat."""

from __future__ import annotations

import json

import pytest

from engine.cli import main
from engine.model.network import Particulars
from engine.rules.missing import Ask, what_next
from engine.rules.runner import run_rules
from engine.rules.standing import EDITIONS, standing
from tests.rules.cases import boat_of
from tests.samples.boats import analysis, boat_file

SKETCH = """
boat "Sloop" fuel=diesel engine=inboard
G1 battery nominal_v=12 chemistry=AGM cca_a=600 post_guards=yes
F1 fuse_post ? A
E1 lamp running_a=2 nominal_v=12
1: G1.pos - F1.a + 14 AWG RD 0.05 m 105 C tinned sheath bundled=1
2: F1.b - E1.supply +- 14 AWG RD,YE 3 m 105 C sheath bundled=2
3: E1.neg - G1.neg - YE 3 m 105 C sheath bundled=2
"""


def asks(sketch: str) -> list[Ask]:
    return list(what_next(run_rules(boat_of(sketch), ("e11",))))


def test_what_settles_most_and_gravest_comes_first() -> None:
    found = asks(SKETCH)
    assert found[0].worst == "danger"
    assert "part:p2 rating_a" in {ask.lack for ask in found}
    tinned = [ask for ask in found if ask.field == "tinned"]
    assert tinned
    assert all(found.index(ask) > 0 and ask.worst == "advice" for ask in tinned)


def test_counts_are_those_of_the_report() -> None:
    report = run_rules(boat_of(SKETCH), ("e11",))
    for ask in what_next(report):
        waiting = [each for each in report.findings if ask.lack in each.outcome.lacks]
        assert ask.settles == len(waiting)
        assert ask.alone == sum(set(each.outcome.lacks) == {ask.lack} for each in waiting)


def test_knowing_the_field_settles_what_it_says() -> None:
    """What waits for one field alone has a verdict as soon as the field is known."""
    before = {ask.lack: ask for ask in asks(SKETCH)}
    after = {ask.lack for ask in asks(SKETCH.replace("fuse_post ? A", "fuse_post 15 A"))}
    assert "part:p2 rating_a" in before
    assert "part:p2 rating_a" not in after


def test_a_boat_that_says_everything_is_asked_nothing() -> None:
    assert what_next(analysis("quill_34").report) == ()


def test_the_command_prints_them(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "--ask", str(boat_file("marguerite_as_built"))])
    text = capsys.readouterr().out
    count = len(what_next(analysis("marguerite_as_built").report))
    assert f"To measure or look up: {count} fields." in text
    assert "Is it held so that it hardly moves?" in text


def test_the_json_says_what_needs_inspection(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--json", str(boat_file("quill_34"))]) == 0
    boat = json.loads(capsys.readouterr().out)["boats"][0]
    assert boat["ask_next"] == []
    assert {"question": "compass", "subject": "boat"}.items() <= next(
        each for each in boat["needs_inspection"] if each["question"] == "compass"
    ).items()
    assert set(boat["editions"]) == {"e11", "iso13297"}


@pytest.mark.parametrize(
    ("fuel", "engine", "words"),
    [
        ("petrol", "inboard", "it binds this boat"),
        ("diesel", "inboard", "does not bind this boat"),
        ("petrol", "outboard", "does not bind this boat"),
        (None, "inboard", "the drawing does not say"),
        ("petrol", None, "the drawing does not say"),
    ],
)
def test_the_law_is_told_from_the_standards(fuel: str | None, engine: str | None, words: str) -> None:
    boat = Particulars(fuel=fuel, engine=engine)  # type: ignore[arg-type]
    assert words in standing("33cfr183", boat)
    assert standing("e11", boat).startswith("Voluntary standard")
    assert "2015 edition" in EDITIONS["33cfr183"]

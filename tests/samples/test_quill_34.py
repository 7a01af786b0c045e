"""The Quill 34 breaks nothing in either rulebook, and nothing about it is left unknown."""

from __future__ import annotations

import pytest

from engine.cli import main
from engine.pipeline import analyse
from engine.rules.api import Book
from tests.samples.boats import analysis, boat_file, document, library

NAME = "quill_34"
BOOKS: tuple[Book, ...] = ("33cfr183", "e11", "iso13297")


def test_it_declares_both_rulebooks() -> None:
    assert document(NAME).network.particulars.rulebooks == ("us", "iso")


def test_nothing_breaks_and_nothing_is_left_open() -> None:
    assert [(finding.rule.id, finding.outcome.subjects) for finding in analysis(NAME).findings] == []


def test_nor_under_the_law_that_does_not_bind_a_diesel() -> None:
    assert analyse(document(NAME).network, library(), BOOKS).findings == ()


def test_enough_is_asked_to_make_that_worth_something() -> None:
    report = analysis(NAME).report
    assert report.checks > 2000
    silent = {tally.rule_id for tally in report.not_applicable}
    asked = {tally.rule_id for tally in report.tallies} - silent
    assert len(asked) > 40


def test_the_command_exits_0_and_prints_the_counts(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(boat_file(NAME))]) == 0
    printed = capsys.readouterr().out
    report = analysis(NAME).report
    assert f"{report.checks} checks" in printed
    assert f"{len(report.not_applicable)} rules not applicable" in printed

"""The Quill 26 Launch has a petrol inboard, so the law binds her; nothing breaks in law or standard, nothing is left open."""

from __future__ import annotations

import pytest

from engine.cli import main
from tests.samples.boats import analysis, boat_file

NAME = "quill_26_launch"


def test_the_law_is_asked_beside_the_standard() -> None:
    assert analysis(NAME).report.books == ("33cfr183", "e11")


def test_nothing_breaks_and_nothing_is_left_open() -> None:
    assert [(finding.rule.id, finding.outcome.subjects) for finding in analysis(NAME).findings] == []
    assert analysis(NAME).report.checks > 700


def test_the_command_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(boat_file(NAME))]) == 0
    assert "33 CFR 183" in capsys.readouterr().out

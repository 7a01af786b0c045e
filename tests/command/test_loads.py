"""loomwright loads prints the load list, all conditions or one, and says what it does not know."""

from __future__ import annotations

import pytest

from engine.cli import main
from tests.samples.boats import boat_file

QUILL = str(boat_file("quill_34"))


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["loads", *words]) == 0
    return capsys.readouterr().out


def row(text: str, begins: str) -> str:
    return next(line for line in text.splitlines() if line.startswith(begins))


def test_every_condition(capsys: pytest.CaptureFixture[str]) -> None:
    said = printed(capsys, QUILL)
    assert row(said, "A1.7").split()[-6:] == ["0.5", "0.5", "0.6", "0.6", "0.6", "1.8"]
    assert row(said, "22 +").endswith("Motoring by day")
    assert row(said, "5 +").endswith("Manoeuvring")
    assert row(said, "20 +").endswith("all alike")
    assert "unconfirmed (from memory)" in said
    assert "60.3 A = A: 50.3 A + B: 10 A" in said
    assert "This checks a drawing, not the boat" in said


def test_one_condition_with_its_duties(capsys: pytest.CaptureFixture[str]) -> None:
    said = printed(capsys, QUILL, "--condition", "at ANCHOR")
    assert "Manoeuvring" in row(said, "5 +")
    assert row(said, "A1.15").split()[-2:] == ["0.4", "2.4"]
    assert row(said, "A1.19").split()[-2:] == ["0", "–"]
    assert "Motoring by night" not in said


def test_what_is_not_known_stays_open(capsys: pytest.CaptureFixture[str]) -> None:
    said = printed(capsys, str(boat_file("marguerite_as_built")))
    assert "≥ 25.4" in row(said, "1 +")
    assert "at least 19.4 A" in said


def test_a_condition_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["loads", QUILL, "--condition", "Racing"]) == 2
    assert "At anchor" in capsys.readouterr().err
    assert main(["loads", "nowhere.boat"]) == 2

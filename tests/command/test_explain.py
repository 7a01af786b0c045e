"""loomwright explain: what it prints and what it exits with."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli import main
from tests.studies.test_network import SMALL


@pytest.fixture
def sketch(tmp_path: Path) -> str:
    path = tmp_path / "boat.txt"
    path.write_text(SMALL + '\ncondition off "Switched off" Q1=off E1=1.0\n', encoding="utf-8")
    return str(path)


def test_a_load_with_its_formula_and_sources(sketch: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", sketch, "E2"]) == 0
    said = capsys.readouterr().out
    assert "power_w 100 W = 100 W" in said
    assert "EMF of G1 House" in said
    assert "unconfirmed, from memory" in said
    assert "This checks a drawing, not the boat" in said


@pytest.mark.parametrize("name", ["W5", "A1.1", "g1", "Q1"])
def test_wires_ways_and_devices(sketch: str, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", sketch, name]) == 0
    assert " A\n" in capsys.readouterr().out


def test_a_condition_in_which_it_is_dead(sketch: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", sketch, "E1", "--condition", "switched OFF", "--worst"]) == 0
    said = capsys.readouterr().out
    assert "without a source" in said
    assert "No source reaches E1 Lights" in said


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["E9"], "There is no part, way or wire"),
        (["E1", "--condition", "Asleep"], "there are: Switched off"),
        (["E1", "--starting", "M7"], "M7"),
    ],
)
def test_what_is_not_there(sketch: str, words: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", sketch, *words]) == 2
    assert told in capsys.readouterr().err


def test_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "nowhere.boat", "E1"]) == 2
    assert "no such file" in capsys.readouterr().err

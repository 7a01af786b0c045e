"""loomwright explain: what it prints and what it exits with."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli import main
from tests.studies.test_network import SMALL
from tests.studies.test_withstand import BRANCH


@pytest.fixture
def sketch(tmp_path: Path) -> str:
    path = tmp_path / "boat.txt"
    path.write_text(SMALL + '\ncondition off "Switched off" Q1=off E1=1.0\n', encoding="utf-8")
    return str(path)


def test_a_load_with_its_formula_and_sources(sketch: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", sketch, "E2"]) == 0
    said = capsys.readouterr().out
    assert "power 100 W = 100 W" in said
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


@pytest.mark.parametrize("name", ["4", "F1"])
def test_a_wire_and_its_fuse_tell_what_a_short_circuit_does(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "boat.txt"
    wire = "2.5 mm2 RD 5 m 75 C"
    path.write_text(BRANCH.format(device='fuse_blade 10/30 A series="medium blade"', wire=wire), encoding="utf-8")
    assert main(["explain", str(path), name]) == 0
    said = capsys.readouterr().out
    assert "If wire 4 is shorted" in said
    assert "Smallest short circuit  " in said
    assert "the weakest source alone, hot conductors" in said
    assert "blade fuse, ISO 8820-3 type C" in said
    assert "The conductor stands" in said
    assert "k²S²" in said


def test_a_load_is_no_device(sketch: str, capsys: pytest.CaptureFixture[str]) -> None:
    main(["explain", sketch, "E2"])
    assert "is shorted" not in capsys.readouterr().out

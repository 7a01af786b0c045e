"""loomwright fault: what it prints and what it exits with."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli import main
from tests.studies.test_withstand import BRANCH

MASTHEAD = BRANCH.format(device='fuse_blade 10/30 A series="medium blade"', wire="1.5 mm2 RD 20 m 75 C")


@pytest.fixture
def sketch(tmp_path: Path) -> str:
    path = tmp_path / "boat.txt"
    path.write_text(MASTHEAD, encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("name", ["4", "f1", "E1"])
def test_a_wire_a_fuse_and_a_load_tell_the_same(sketch: str, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fault", sketch, name]) == 0
    said = capsys.readouterr().out
    assert "If wire 4 is shorted, F1 (10 A) has to open, the only device on the way" in said
    assert "ISO 8820-3" in said
    assert "unconfirmed, from memory" in said
    assert "k²S²" in said
    assert "This checks a drawing, not the boat" in said


def test_the_smallest_current_is_near_that_of_the_worked_example(
    sketch: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """SC-C8 has 20 m of 1.5 mm² out and back, cold: 23.1 A. Here the way back is 5 m of 2.5 mm², 41 mΩ in place of 274: at
    most 12.8 V / (553 - 233) mΩ = 40 A, less as the wires are hot and the battery weak."""
    main(["fault", sketch, "4"])
    line = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("Smallest"))
    assert 20 < float(line.split()[-2]) < 40


def test_a_wire_with_nothing_before_it(sketch: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fault", sketch, "1"]) == 0
    assert "No fuse or breaker stands between" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("name", "told"), [("Z9", "There is no part, way or wire"), ("W5", "No wire that a source reaches")]
)
def test_what_is_not_there(sketch: str, name: str, told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fault", sketch, name]) == 2
    assert told in capsys.readouterr().err


def test_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fault", "nowhere.boat", "1"]) == 2
    assert "no such file" in capsys.readouterr().err

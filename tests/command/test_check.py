"""loomwright check with house rules and deviations: what it prints and what its exit status says."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from engine.cli import NOT_READ_TO_THE_END, main

SAMPLES = Path(__file__).parents[2] / "sample_boats"
HOUSE = SAMPLES / "quillan_bay_house.txt"
BARE = """
boat "Bare" rules=us fuel=diesel engine=inboard
G1 battery nominal_v=12 post_guards=yes
X1 bus_positive
W1: G1.pos - X1.s1 + 14 AWG RD 0.1 m {tinned} stranded 105 C bundled=1 sheath
"""


def check(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    status = main(["check", *words])
    return status, capsys.readouterr().out


def test_the_sample_keeps_the_house_rules_of_its_yard(capsys: pytest.CaptureFixture[str]) -> None:
    status, plain = check(capsys, str(SAMPLES / "quill_34.boat"))
    assert status == 0
    assert "House rules" not in plain
    status, text = check(capsys, str(SAMPLES / "quill_34.boat"), "--house", str(HOUSE))
    assert status == 0
    assert "House rules of Quillan Bay: asked besides the rulebooks." in text


def test_a_stricter_house_finds_more(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    strict = tmp_path / "strict.txt"
    strict.write_text('house "Strict"\nhouse-limit battery-drop-percent 0.5 reason="as little as can be"\n')
    status, text = check(capsys, str(SAMPLES / "quill_34.boat"), "--house", str(strict))
    assert status == 1
    assert "the house limit is 0.5 %: as little as can be" in text


def test_house_rules_that_cannot_be_read_are_told_with_their_line(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    bad = tmp_path / "bad.txt"
    bad.write_text("house-limit much 1 reason=why\n")
    assert main(["check", str(SAMPLES / "quill_34.boat"), "--house", str(bad)]) == 2
    assert "bad.txt:1" in capsys.readouterr().err


def test_a_deviation_takes_a_finding_out_of_the_status_and_is_printed(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    boat = tmp_path / "bare.txt"
    boat.write_text(BARE.format(tinned="bare"))
    _, before = check(capsys, str(boat), "--json")
    found = json.loads(before)["boats"][0]["findings"]
    bare = next(each for each in found if each["rule"] == "untinned-conductor")
    assert bare["deviation"] is None
    line = 'deviation untinned-conductor W1: code=bare reason="a dry saloon" by="R. Thorne" date=2026-05-01\n'
    boat.write_text(BARE.format(tinned="bare") + line)
    _, text = check(capsys, str(boat))
    assert "DEVIATION" in text
    assert "Left as it is: a dry saloon (R. Thorne, 2026-05-01)." in text
    assert "1 left by deviation" in text
    boat.write_text(BARE.format(tinned="tinned") + line)
    _, text = check(capsys, str(boat))
    assert "The deviation from untinned-conductor for wire W1 settles nothing any more; withdraw it." in text
    assert "0 left by deviation" in text


def test_a_reader_that_has_seen_enough_gets_no_traceback() -> None:
    boats = 3 * [str(SAMPLES / "marguerite_as_built.boat")]  # more than a pipe holds
    command = [sys.executable, "-m", "engine.cli", "check", *boats]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline().startswith("Marguerite")
        process.stdout.close()
        said = process.stderr.read()
    assert said == ""
    assert process.returncode == NOT_READ_TO_THE_END

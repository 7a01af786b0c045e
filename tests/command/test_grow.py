"""loomwright grow answers in plain words, adds a circuit, asks for a further battery, and refuses with a reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli import main
from engine.files.opening import open_boat
from engine.pipeline import analyse
from tests.samples.boats import boat_file, library

QUILL = str(boat_file("quill_34"))
LAUNCH = str(boat_file("quill_26_launch"))


def test_every_place_has_its_answer_and_what_binds(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grow", QUILL]) == 0
    printed = capsys.readouterr().out
    assert "A2.6: up to 16 A (192 W) more; its own device binds: 20 A / 1.25 = 16 A" in printed
    assert "A1.20, A1.21, A1.22, A1.23, A1.24: up to 1.1 A (13 W) more; F5 Panel feed binds: 78.9 A of 80 A" in printed
    assert "fuse at most 20 A, wire at least 10 AWG at 16.4 ft (5 m)" in printed
    assert "W2: nothing more; 6 of 6 studs taken" in printed
    assert "G2 House bank, At anchor:" in printed
    assert "counted as on at once" in printed


def test_one_way_shows_every_limit_with_its_sum_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grow", QUILL, "A1.22"]) == 0
    printed = capsys.readouterr().out
    assert "80 A − 78.9 A = 1.1 A" in printed
    assert "the voltage drop in the feed of A1 DC panel" in printed
    assert "voltage drop formula, as quoted in reprints [secondary]" in printed
    assert printed.index("F5 Panel feed") < printed.index("wire 22") < printed.index("W4 DC ground bus")


def test_the_distance_and_the_class_make_the_wire_thicker(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grow", LAUNCH, "A1.10", "--distance", "12", "--critical"]) == 0
    far = capsys.readouterr().out
    assert main(["grow", LAUNCH, "A1.10", "--distance", "2"]) == 0
    assert "wire at least 6 AWG at 39.4 ft (12 m)" in far
    assert "wire at least 16 AWG" in capsys.readouterr().out


def test_a_circuit_is_added_and_the_file_written_meets_every_check(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "grown.boat"
    words = ["--watts", "60", "--distance", "6", "--critical", "--kind", "radio", "--name", "Radio", "--place", "helm"]
    assert main(["grow", LAUNCH, *words, "--out", str(out)]) == 0
    printed = capsys.readouterr().out
    assert "Radio, 5 A, on A1 Helm panel way 10" in printed
    assert "wire 110: 12 AWG, RD/YE, 19.7 ft (6 m) one way" in printed
    assert "nothing breaks that did not break before" in printed
    made = open_boat(out, library())
    assert any(part.label == "Radio" and part.values["power_w"] == 60 for part in made.network.parts)
    before = analyse(open_boat(boat_file("quill_26_launch"), library()).network, library()).report
    assert analyse(made.network, library()).report.count("breaks") == before.count("breaks")


def test_what_does_not_fit_is_refused_with_the_reason(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grow", QUILL, "--watts", "60"]) == 1
    assert "takes 1.1 A more, 5 A are wanted; F5 Panel feed binds" in capsys.readouterr().out
    assert main(["grow", QUILL, "A1.3"]) == 1
    assert "neither spare nor prepared" in capsys.readouterr().out


def test_a_further_battery(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grow", QUILL, "--battery"]) == 1
    printed = capsys.readouterr().out
    assert "200 Ah become 300 Ah" in printed
    assert "must change  T1 Shore charger" in printed
    assert "38" in printed
    assert "short-circuit current by its maker of G2 House bank" in printed
    assert main(["grow", str(boat_file("marguerite_as_built")), "--battery", "G2"]) == 1
    assert "must change  T1 Shore charger" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["A1.99"], "There is no way of A1"),
        (["T1"], "no way of a panel"),
        (["--battery", "G9"], "there is: G1, G2"),
        (["--watts", "5", "--place", "Attic"], "There is no space"),
        (["--watts", "5", "--stock", "thick"], "no conductor size"),
    ],
)
def test_what_is_not_there_is_said(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grow", QUILL, *words]) == 2
    assert said in capsys.readouterr().err

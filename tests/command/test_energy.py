"""loomwright energy prints the day of each bank, as text or JSON, and says what is not known; explain shows the same figures."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.cli import main
from tests.samples.boats import boat_file

QUILL, LAUNCH = str(boat_file("quill_34")), str(boat_file("quill_26_launch"))
SOLAR = """
boat "Sunny" rules=iso fuel=diesel engine=inboard
G1 battery "House" chemistry=AGM nominal_v=12 capacity_ah=200
G2 solar_array "Solar" power_w=100 voc_v=22 isc_a=6
T1 charge_controller "Regulator" output_a=10
E1 lamp "Lamp" running_a={lamp}
E2 lamp "Other" running_a=1
1: G1.pos - E1.supply + 2.5 mm2 1 m
2: G1.neg - E1.neg - 2.5 mm2 1 m
3: G2.pv - T1.pv +- 4 mm2 1 m
4: T1.batt - G1.pos + 4 mm2 1 m
5: T1.neg - G1.neg - 4 mm2 1 m
6: G1.pos - E2.supply + 2.5 mm2 1 m
condition one "At anchor" E1=1 G2=1
"""


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["energy", *words]) == 0
    return capsys.readouterr().out


def sketch(folder: Path, lamp: str) -> str:
    path = folder / "boat.txt"
    path.write_text(SOLAR.format(lamp=lamp), encoding="utf-8")
    return str(path)


def test_the_anchor_is_shown_unless_another_is_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    printed = said(capsys, QUILL)
    assert "At anchor: G2 House bank lasts" in printed
    assert "At anchor: nothing draws on G1 Start battery." in printed
    assert "E15 Refrigerator" in printed
    assert "Motoring" not in printed
    assert "Motoring by day: G1 Start battery + G2 House bank does not run out" in said(
        capsys, QUILL, "--condition", "motoring by day"
    )


def test_the_json_has_the_same_bounds(capsys: pytest.CaptureFixture[str]) -> None:
    (bank,) = json.loads(said(capsys, LAUNCH, "--condition", "At the dock", "--json"))
    assert bank["out_ah"] == pytest.approx([4.8, 4.8, 4.8])
    assert bank["days"] == pytest.approx([45 / 4.8] * 3, abs=1e-3)


def test_what_never_runs_out_has_no_bound_in_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (bank,) = json.loads(said(capsys, sketch(tmp_path, "0.5"), "--json"))
    assert bank["days"] == [None, None, None]
    assert "does not run out" in said(capsys, sketch(tmp_path, "0.5"))


def test_what_is_not_known_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    printed = said(capsys, sketch(tmp_path, "?"))
    assert "? not known: E1 Lamp running current" in printed
    assert "how long G1 House lasts cannot be told" in printed


def test_an_unknown_condition_is_answered_with_those_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["energy", QUILL, "--condition", "At anker"]) == 2
    assert "Alongside, At anchor" in capsys.readouterr().err


def test_a_boat_without_conditions_is_asked_for_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "boat.txt"
    path.write_text('boat "Bare"\nG1 battery "House"\n', encoding="utf-8")
    assert main(["energy", str(path)]) == 2
    assert "no operating conditions" in capsys.readouterr().err


def test_explain_shows_the_figures_of_a_battery(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", QUILL, "G2"]) == 0
    printed = capsys.readouterr().out
    assert "Drawn in a day (At anchor)" in printed
    assert "Usable" in printed
    assert "Charged again by T1 Shore charger in" in printed
    assert "a boat electrics article: usable depth of discharge (secondary)" in printed


def test_a_long_name_keeps_its_distance_from_its_amount(capsys: pytest.CaptureFixture[str]) -> None:
    assert "E408 Guest cabin lights, starboard 5.8 Ah" in said(capsys, str(boat_file("quill_52")))

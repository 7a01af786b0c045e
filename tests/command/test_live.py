"""loomwright live answers in a table or as JSON, and says what it does not know."""

from __future__ import annotations

import json

import pytest

from engine.cli import main
from tests.samples.boats import boat_file

QUILL = str(boat_file("quill_34"))


def test_all_off_lists_what_is_still_live(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["live", QUILL, "--all-off"]) == 0
    printed = capsys.readouterr().out
    assert "M3 Bilge pump, automatic" in printed
    assert "G2 House bank" in printed
    assert "Dead: M1" in printed


def test_a_condition_and_a_device_that_opens(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["live", QUILL, "--condition", "At anchor", "--without", "A1.3", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert "E3 Anchor light" in told["live"]
    assert told["dead_without"] == ["E3 Anchor light"]


def test_a_switch_set_by_hand(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["live", QUILL, "--set", "Q2=on", "--json"]) == 0
    assert "E6 Plotter" in json.loads(capsys.readouterr().out)["live"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--set", "Q9=on"], "There is no part “Q9”"),
        (["--set", "Q2=half"], "off, on"),
        (["--condition", "At anker"], "At anchor"),
        (["--set", "Q1=wrong"], "off, on"),
        (["--without", "T1"], "T1 cannot open"),
        (["--all-off", "--without", "F5"], "--all-off stands alone"),
        (["--without", "A1.99"], "There is no way of A1 “99”"),
    ],
)
def test_what_is_not_there_is_said(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["live", QUILL, *words]) == 2
    assert said in capsys.readouterr().err


def test_a_load_that_keeps_another_source_is_named_with_what_it_loses(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["live", QUILL, "--set", "Q1=on", "Q2=on", "K1=charging", "--without", "F2"]) == 0
    printed = capsys.readouterr().out
    assert "no longer fed by" in printed
    assert "G2 House bank" in printed.partition("no longer fed by")[2]

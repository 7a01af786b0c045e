"""loomwright sketch: text to boat and back."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli import main
from engine.files.opening import open_boat
from tests.papers.boats import SAMPLES, SMALL, library


def test_there_and_back(tmp_path: Path) -> None:
    text, boat, again = tmp_path / "a.txt", tmp_path / "a.boat", tmp_path / "b.txt"
    text.write_text(SMALL, encoding="utf-8")
    assert main(["sketch", str(text), "--out", str(boat)]) == 0
    assert main(["sketch", str(boat), "--out", str(again)]) == 0
    assert open_boat(again, library()).network == open_boat(text, library()).network
    assert open_boat(boat, library()).network == open_boat(text, library()).network


def test_a_boat_from_a_sketch_is_drawn(tmp_path: Path) -> None:
    text, boat = tmp_path / "a.txt", tmp_path / "a.boat"
    text.write_text(SMALL, encoding="utf-8")
    main(["sketch", str(text), "--out", str(boat)])
    document = open_boat(boat, library())
    placed = {place.part for sheet in document.sheets for place in sheet.places}
    assert placed == {part.id for part in document.network.parts}


def test_a_copy_keeps_its_sheets(tmp_path: Path) -> None:
    source = SAMPLES / "quill_34.boat"
    assert main(["sketch", str(source), "--out", str(tmp_path / "copy.boat")]) == 0
    assert open_boat(tmp_path / "copy.boat", library()) == open_boat(source, library())


def test_mistakes_are_told_with_their_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = tmp_path / "bad.txt"
    text.write_text('boat "Bad"\nG1 battry "House"\n', encoding="utf-8")
    assert main(["sketch", str(text), "--out", str(tmp_path / "bad.boat")]) == 2
    assert "bad.txt:2:" in capsys.readouterr().err
    assert not (tmp_path / "bad.boat").exists()
    assert main(["sketch", str(SAMPLES / "quill_34.boat"), "--out", str(tmp_path / "no" / "x.boat")]) == 2
    assert "folder" in capsys.readouterr().err

"""loomwright export: what it writes, what it says, what it returns."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli import main
from tests.papers.boats import SAMPLES, SMALL

QUILL = str(SAMPLES / "quill_34.boat")


def test_every_paper_is_written_and_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "new" / "papers"
    assert main(["export", QUILL, "--out", str(folder), "--paper", "A3"]) == 0
    said = {Path(line.removeprefix("Wrote ")).name for line in capsys.readouterr().out.splitlines()}
    assert said == {path.name for path in folder.iterdir()}
    assert {"quill_34-panel-schedule.pdf", "quill_34-owners-drawing.pdf", "quill_34-run-list.xlsx"} <= said
    assert any(name.endswith(".svg") for name in said)


def test_only_some(tmp_path: Path) -> None:
    assert main(["export", QUILL, "--out", str(tmp_path), "--only", "report, run-list"]) == 0
    assert {path.name.split("-", 1)[1] for path in tmp_path.iterdir()} == {
        "report.pdf", "report.json", "run-list.csv", "run-list.xlsx", "run-list.pdf",
    }  # fmt: skip


def test_a_sketch_is_laid_out_first(tmp_path: Path) -> None:
    text = tmp_path / "small.txt"
    text.write_text(SMALL, encoding="utf-8")
    assert main(["export", str(text), "--out", str(tmp_path), "--only", "sheets-svg"]) == 0
    drawn = (tmp_path / "small-sheet-1-direct-current.svg").read_text(encoding="utf-8")
    assert "Water pump" in drawn


def test_what_cannot_be_done_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", QUILL, "--out", str(tmp_path), "--only", "napkin"]) == 2
    assert "napkin" in capsys.readouterr().err
    assert main(["export", str(tmp_path / "none.boat"), "--out", str(tmp_path)]) == 2
    assert "no such file" in capsys.readouterr().err
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    assert main(["export", QUILL, "--out", str(blocked / "x"), "--only", "report"]) == 2
    assert "cannot be written" in capsys.readouterr().err
    with pytest.raises(SystemExit) as exit_info:
        main(["export", QUILL, "--out", str(tmp_path), "--paper", "A7"])
    assert exit_info.value.code == 2


def test_writing_again_replaces_without_leftovers(tmp_path: Path) -> None:
    for _ in range(2):
        assert main(["export", QUILL, "--out", str(tmp_path), "--only", "panel-schedule"]) == 0
    assert [path.name for path in tmp_path.iterdir()] == ["quill_34-panel-schedule.pdf"]

"""The table of papers: names, files, the same bytes twice."""

from __future__ import annotations

import pytest

from engine.command.export import NAMES, SIZES
from engine.papers.catalogue import PAPERS, Paper, paper_named, subject_of
from engine.papers.page import PAPER_SIZES
from tests.papers.boats import library, sample, symbols


def test_the_command_knows_every_paper_and_size() -> None:
    assert tuple(paper.name for paper in PAPERS) == NAMES
    assert PAPER_SIZES == SIZES


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.name)
def test_a_paper_makes_the_files_it_promises(paper: Paper) -> None:
    made = list(paper.files(sample("quill_34")))
    assert {file.ending.rpartition(".")[2] for file in made} == set(paper.formats)
    assert len({file.ending for file in made}) == len(made)
    starts = {"pdf": b"%PDF", "xlsx": b"PK", "csv": b"\xef\xbb\xbf", "svg": b"<svg", "json": b"{"}
    for file in made:
        assert file.content.startswith(starts[file.ending.rpartition(".")[2]])


def test_the_same_boat_gives_the_same_pdf() -> None:
    subject = sample("quill_34")
    one, two = (list(paper_named("panel-schedule").files(subject)) for _ in range(2))
    assert one == two


def test_make_takes_what_the_window_has() -> None:
    subject = sample("quill_34")
    made = paper_named("report").make(subject.document, subject.analysis, library(), symbols(), "A3")
    assert [file.ending for file in made] == ["report.pdf", "report.json"]


def test_what_is_unknown_is_refused() -> None:
    subject = sample("quill_34")
    with pytest.raises(ValueError, match="A4, A3, letter, tabloid"):
        subject_of(subject.document, subject.analysis, library(), symbols(), "A7")
    with pytest.raises(KeyError):
        paper_named("napkin")

"""Every paper of both samples in every size: letters, overlaps, margins, numbering, searchable text."""

from __future__ import annotations

from functools import cache

import pytest

from engine.drawing.display import Page, Text
from engine.drawing.sheets import sheet_format
from engine.papers.catalogue import PAPERS, Paper
from engine.papers.page import BINDING_MM, MARGIN_MM
from tests.papers.boats import SAMPLE_NAMES, SIZES, SMALL, sample, sketched
from tests.papers.page_checks import outside, overlaps, pdf_text, small_texts, strange_letters, words_on

PAGED = [paper for paper in PAPERS if paper.pages]
CASES = [(name, size, paper) for name in SAMPLE_NAMES for size in SIZES for paper in PAGED]
CASES += [("quill_52", "A4", paper) for paper in PAGED]  # large: once is enough
IDS = [f"{name}-{size}-{paper.name}" for name, size, paper in CASES]


@cache
def pages_of(name: str, size: str, paper: Paper) -> tuple[Page, ...]:
    assert paper.pages is not None
    return paper.pages(sample(name, size))


@pytest.mark.parametrize(("name", "size", "paper"), CASES, ids=IDS)
def test_a_page_can_be_read(name: str, size: str, paper: Paper) -> None:
    for number, page in enumerate(pages_of(name, size, paper), 1):
        assert small_texts(page) == [], number
        assert overlaps(page) == [], number
        assert strange_letters(page) == "", number


@pytest.mark.parametrize(("name", "size", "paper"), CASES, ids=IDS)
def test_nothing_stands_in_the_margins(name: str, size: str, paper: Paper) -> None:
    sheet = sheet_format(size)
    own = [page for page in pages_of(name, size, paper) if _is_own(page)]
    assert own
    for page in own:
        assert sorted((page.width_mm, page.height_mm)) == sorted((sheet.width_mm, sheet.height_mm))
        assert outside(page, MARGIN_MM) == []
        assert min(text.x_mm for text in _starts(page)) >= BINDING_MM


def _is_own(page: Page) -> bool:
    return any(getattr(item, "key", "") == "page-foot" for item in page.items)


def _starts(page: Page) -> list[Text]:
    from engine.drawing.bounds import texts

    return [text for text in texts(page.items) if text.anchor == "start"]


@pytest.mark.parametrize(("name", "size", "paper"), CASES, ids=IDS)
def test_pages_say_which_of_how_many_they_are(name: str, size: str, paper: Paper) -> None:
    pages = pages_of(name, size, paper)
    about = sample(name).particulars
    for number, page in enumerate(pages, 1):
        words = words_on([page])
        assert about.drawing_number in words
        if _is_own(page):
            assert f"Page {number} of {len(pages)}" in words
            assert f"Rev. {about.revision}" in words
            assert "not the boat" in words


@pytest.mark.parametrize("paper", PAGED, ids=lambda paper: paper.name)
def test_the_text_of_a_pdf_can_be_searched(paper: Paper) -> None:
    found = " ".join(pdf_text(pages_of("quill_34", "A4", paper)))
    assert "Quill 34" in found
    assert "licensed" in found


@pytest.mark.parametrize("paper", PAGED, ids=lambda paper: paper.name)
def test_a_boat_with_holes_in_it_can_be_printed(paper: Paper) -> None:
    for text in ('boat "Empty"', SMALL):
        assert paper.pages is not None
        for page in paper.pages(sketched(text)):
            assert overlaps(page) == []
            assert small_texts(page) == []


def test_the_overlap_check_bites() -> None:
    page = Page(100, 100, (Text(10, 10, "one two"), Text(12, 11, "three")))
    assert overlaps(page) == [("one two", "three")]
    assert outside(Page(100, 100, (Text(5, 50, "left"),)), 10)
    assert small_texts(Page(100, 100, (Text(5, 50, "tiny", 1.7),)))


def test_twenty_pages_of_tables_take_no_more_than_their_rows() -> None:
    """The report of the refit: more than twenty pages, each with a head, none empty."""
    pages = pages_of("marguerite_as_built", "letter", next(paper for paper in PAGED if paper.name == "report"))
    assert len(pages) >= 15
    assert all(len(words_on([page])) > 200 for page in pages)

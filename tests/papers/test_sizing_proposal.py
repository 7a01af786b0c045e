"""The sizing proposal: one page with every change and its reason; nothing to change is said so."""

from __future__ import annotations

from engine.papers.sizing_proposal import NOTHING, sizing_proposal
from engine.remedies.sizing import broken, size_boat
from tests.papers.boats import sample
from tests.papers.page_checks import words_on


def test_marguerite_fits_on_a_page() -> None:
    subject = sample("marguerite_as_built")
    pages = sizing_proposal(subject)
    assert len(pages) == 1
    printed = " ".join(words_on(pages).split())
    sizing = size_boat(subject.document, subject.library, books=subject.books)
    assert len(sizing.changes) > 5
    for text in (*(change.why for change in sizing.changes), *sizing.left):
        assert text.split()[-1] in printed
    assert f"{broken(sizing.before)} before, {broken(sizing.after)} after" in printed


def test_a_clean_boat_wants_nothing() -> None:
    assert NOTHING.split(":")[0] in " ".join(words_on(sizing_proposal(sample("quill_34"))).split())

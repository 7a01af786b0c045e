"""The protection curves on paper: a chart for every sort of chain, the sentence under it, what has no limits listed once."""

from __future__ import annotations

from engine.papers.protection_curves import protection_curves, protection_svgs
from engine.studies.curves import charts
from tests.papers.boats import sample, sketched
from tests.papers.page_checks import keys_on, words_on
from tests.studies.test_curves import PANEL


def test_every_chart_is_there_with_its_sentence() -> None:
    subject = sample("quill_34")
    pages = protection_curves(subject)
    drawn = [key for page in pages for key in keys_on(page.items) if key == "figure:curves"]
    assert len(drawn) == len(charts(subject.boat)) > 3
    assert words_on(pages).count("If wire ") == len(drawn)


def test_what_has_no_limits_is_said_once() -> None:
    words = " ".join(words_on(protection_curves(sample("quill_34"))).split())
    assert words.count("No table says how soon") == 1
    assert "F1 (80 A), F2 (200 A)" in words
    assert "unconfirmed, from memory" in words


def test_a_boat_without_limits_says_that_no_chart_can_be_drawn() -> None:
    words = " ".join(words_on(protection_curves(sample("quill_26_launch"))).split())
    assert "No chart can be drawn" in words
    assert "A1.9 (15 A)" in words


def test_each_chart_is_also_a_picture_of_its_own() -> None:
    subject = sketched(PANEL)
    made = dict(protection_svgs(subject))
    assert list(made) == ["protection-curves-1", "protection-curves-2", "protection-curves-3"]
    assert all(text.startswith("<svg") for text in made.values())
    assert "A1.1–3 (10 A)" in made["protection-curves-1"]

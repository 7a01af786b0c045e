"""The owner's drawing: contents, links, what is computed, and the wording that must not change."""

from __future__ import annotations

from io import BytesIO

import pytest

from engine.drawing.display import Page
from engine.export.pdf import pdf_bytes
from engine.papers import safety_words
from engine.papers.owners_drawing import owners_drawing
from tests.papers.boats import SAMPLE_NAMES, SMALL, sample, sketched
from tests.papers.page_checks import keys_on, words_on


def pages(name: str = "quill_34") -> tuple[Page, ...]:
    return owners_drawing(sample(name))


@pytest.mark.parametrize("name", SAMPLE_NAMES)
def test_every_link_leads_somewhere_and_every_load_is_indexed(name: str) -> None:
    keys = {key for page in pages(name) for key in keys_on(page.items)}
    anchors = {key.removeprefix("anchor:") for key in keys if key.startswith("anchor:")}
    links = {key.removeprefix("link:") for key in keys if key.startswith("link:")}
    assert links - anchors == set()
    boat = sample(name).boat
    for part in boat.with_role("load_dc", "load_ac", "outlet_ac", "starter", "converter"):
        assert f"index/{part.id}" in anchors


def test_the_drawing_leads_to_the_tables_and_back() -> None:
    sheets = [page for page in pages() if any(key == "frame" for key in keys_on(page.items))]
    assert len(sheets) == len([sheet for sheet in sample("quill_34").document.sheets if sheet.places])
    on_sheets = {key for page in sheets for key in keys_on(page.items)}
    on_tables = {key for page in pages() if page not in sheets for key in keys_on(page.items)}
    assert any(key.startswith("link:index/") for key in on_sheets)
    assert any(key.startswith("link:device/position:") for key in on_sheets)
    assert any(key.startswith("link:s1/") for key in on_tables)


def test_the_pdf_has_bookmarks_and_links() -> None:
    from pypdf import PdfReader

    reader = PdfReader(BytesIO(pdf_bytes(pages(), title="Quill 34")))
    titles = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert {"Cover", "Fuses and breakers", "Shore power", "What stays live with the battery switches off"} <= set(
        titles
    )
    assert len(titles) == len(set(titles))
    links = [a for page in reader.pages for a in page.get("/Annots", ()) if a.get_object()["/Subtype"] == "/Link"]
    assert len(links) > 50


def test_the_contents_name_the_right_pages() -> None:
    made = pages()
    listed = words_on(made[:1])
    for number, page in enumerate(made, 1):
        for key in keys_on(page.items):
            if key.startswith("section:"):
                assert f"{key.removeprefix('section:')} {number}" in listed


def test_the_shore_cord_goes_on_at_the_boat_and_comes_off_ashore() -> None:
    """Locked wording (ISO 13297 annex, owner manuals, second hand); one US manual that says the opposite is not followed."""
    words = words_on(pages())
    on = [words.index(step) for step in ("Connecting: boat end first", "Connect the cable at the BOAT end first.",
                                         "Then connect it at the SHORE end.")]  # fmt: skip
    off = [words.index(step) for step in ("Disconnecting: shore end first", "Disconnect the cable at the SHORE end first.",
                                          "Then disconnect it at the BOAT end.")]  # fmt: skip
    assert on == sorted(on)
    assert off == sorted(off)
    assert on[-1] < off[0]


def test_every_locked_text_keeps_its_source() -> None:
    groups = (
        safety_words.SHORE_CONNECT,
        safety_words.SHORE_DISCONNECT,
        safety_words.SHORE_CARE,
        safety_words.FIRE,
        safety_words.FLOODING,
        safety_words.CAUTIONS,
    )
    for words in [each for group in groups for each in group]:
        assert words.source
        assert words.status in ("secondary", "memory", "practice")


def test_a_boat_without_shore_power_has_no_page_about_it() -> None:
    words = words_on(owners_drawing(sketched(SMALL)))
    assert "Shore power" not in words
    assert "In an emergency" in words


def test_no_battery_switch_is_a_warning() -> None:
    words = words_on(owners_drawing(sketched('boat "Bare"\nG1 battery\nE1 lamp "Lamp"\n1: G1.pos - E1.supply +')))
    assert "no battery switch. Everything stays live." in words


def test_the_refit_is_told_what_no_fuse_guards() -> None:
    words = words_on(pages("marguerite_as_built"))
    assert "no fuse and no breaker" in words
    assert "fuse 150–175" in words
    assert "not known" in words


def test_the_emergency_page_does_not_promise_that_a_fuse_cuts_off_what_none_guards() -> None:
    """Only the one fuse was named, although charger, inverter and alternator hang on the batteries without any."""
    words = words_on(pages("marguerite_as_built"))
    assert "take out or switch off F1 (fuse 150–175 A)" in words
    assert "Nothing of this cuts off G3 Alternator, T1 Shore charger and T2 Inverter" in words
    assert "Nothing of this cuts off" not in words_on(pages())


def test_the_flooding_page_does_not_say_that_every_bilge_pump_stays_live() -> None:
    """The refit's only pump is behind the battery switch."""
    assert "any other needs its battery switch on" in words_on(pages("marguerite_as_built"))


def test_spare_ways_alike_stand_in_one_row() -> None:
    words = words_on(owners_drawing(sketched(SMALL)))
    assert "A1 ways 3, 4" in words
    assert "Prepared: Helm" in words

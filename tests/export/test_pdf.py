"""A PDF holds real text in the embedded font, bookmarks and links, and is the same bytes each time."""

from __future__ import annotations

import io
import re
from pathlib import Path as FilePath

import pytest
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject, NullObject

from engine.drawing.display import Group, Image, Item, Page, Path, Pen, Text
from engine.drawing.metrics import text_width_mm
from engine.drawing.outline import circle, line
from engine.drawing.theme import DARK
from engine.export.pdf import MM, pdf_bytes, strokes_joined, write_pdf

STRINGS = ("-W17  2×35 mm² RD/BK", "Главный щит ≤ 230 V", "Πίνακας Ω → ½ ✓", "Prüfung ⏚ 12 V⎓")
LABELS = tuple(Text(20, 20 + 10 * row, string) for row, string in enumerate(STRINGS))
THIN, THICK = Pen("ink", 0.25), Pen("wire.RD", 1.0)


def read(*pages: Page, title: str = "Quill 34") -> PdfReader:
    return PdfReader(io.BytesIO(pdf_bytes(pages, title=title)))


def content(*items: Item) -> str:
    return read(Page(100, 100, items)).pages[0].get_contents().get_data().decode("latin-1")


def test_text_can_be_searched_and_copied() -> None:
    text = read(Page(210, 297, LABELS)).pages[0].extract_text()
    for string in STRINGS:
        assert string in text


def test_turned_text_can_be_searched_too() -> None:
    turned = Text(50, 100, "-F3 200 A", angle_deg=90, anchor="end", weight="bold")
    assert "-F3 200 A" in read(Page(210, 297, (turned,))).pages[0].extract_text()


def test_only_our_own_fonts_are_used_and_they_are_embedded() -> None:
    page = Page(210, 297, (*LABELS, Text(20, 90, "Bold", weight="bold")))
    fonts = read(page).pages[0]["/Resources"]["/Font"]
    used = {name: font.get_object() for name, font in fonts.items()}
    names = {str(font["/BaseFont"]).split("+")[-1] for font in used.values()}
    assert names == {"LoomwrightSans-Regular", "LoomwrightSans-Bold"}
    assert all("/FontFile2" in font["/FontDescriptor"] for font in used.values())


def test_the_same_pages_give_the_same_bytes() -> None:
    pages = (Page(210, 297, LABELS, "One"), Page(420, 297, (Path(circle(50, 50, 5), THIN),), "Two"))
    assert pdf_bytes(pages, title="Quill 34") == pdf_bytes(pages, title="Quill 34")


def test_pages_keep_their_sizes_and_titles_become_bookmarks() -> None:
    reader = read(Page(210, 297, LABELS, "Owner's drawing"), Page(420, 297, (), "Panel schedule"), Page(10, 10, ()))
    sizes = [(float(page.mediabox.width) / MM, float(page.mediabox.height) / MM) for page in reader.pages]
    assert sizes == [pytest.approx(size, abs=0.01) for size in ((210, 297), (420, 297), (10, 10))]
    assert [entry.title for entry in reader.outline] == ["Owner's drawing", "Panel schedule"]  # type: ignore[union-attr]
    assert [reader.get_destination_page_number(entry) for entry in reader.outline] == [0, 1]  # type: ignore[arg-type]


def test_bookmarks_and_links_can_be_left_out() -> None:
    page = Page(210, 297, (Group("link:t", LABELS[:1]), Group("anchor:t", LABELS[1:])), "One")
    file = io.BytesIO()
    write_pdf((page,), file, title="Quill 34", bookmarks=False, links=False)
    reader = PdfReader(file)
    assert reader.outline == []
    assert "/Annots" not in reader.pages[0]


def test_a_link_leads_to_its_anchor_on_another_page() -> None:
    here = Text(50, 60, "see panel schedule", 3.5)
    drawing = Page(420, 297, (Group("run:r1", (Group("link:panel", (here,)),)),), "Drawing")
    table = Page(210, 297, (Group("anchor:panel", (Text(30, 40, "Panel"),)),), "Table")
    reader = read(drawing, table)
    (annotation,) = reader.pages[0]["/Annots"]
    link = annotation.get_object()
    x0, y0, x1, y1 = (float(value) / MM for value in link["/Rect"])
    assert (x0, x1) == pytest.approx((50, 50 + text_width_mm(here.string, 3.5)), abs=0.01)
    assert y0 < 297 - 60 < y1
    page, kind, left, top, _ = link["/Dest"]
    assert page.get_object() == reader.pages[1]
    assert kind == "/XYZ"
    assert float(left) / MM < 30
    assert float(top) / MM > 297 - 40


def test_a_link_to_nowhere_is_left_out_and_the_text_stays() -> None:
    page = read(Page(210, 297, (Group("link:gone", LABELS[:1]),))).pages[0]
    assert "/Annots" not in page
    assert STRINGS[0] in page.extract_text()


def test_neighbours_with_one_pen_are_one_stroke() -> None:
    lines = [Path(line(0, y, 50, y), THIN) for y in range(10)]
    assert len(re.findall(r"\bS\b", content(*lines))) == 1
    assert len(re.findall(r"\bS\b", content(Group("a", tuple(lines[:5])), Group("b", tuple(lines[5:]))))) == 1


def test_joining_keeps_the_order_of_what_lies_on_top() -> None:
    thin, thick = Path(line(0, 0, 9, 9), THIN), Path(line(0, 9, 9, 0), THICK)
    filled = Path(circle(5, 5, 2), THIN, "paper")
    joined = list(strokes_joined((thin, thin, thick, Group("g", (thick, filled)), thin, LABELS[0], thin)))
    kinds = [("text" if isinstance(i, Text) else i.fill or i.pen) for i in joined if not isinstance(i, Image)]
    assert kinds == [THIN, THICK, "paper", THIN, "text", THIN]


def test_the_document_says_what_it_is(tmp_path: FilePath) -> None:
    write_pdf((Page(210, 297, LABELS),), tmp_path / "a.pdf", title="Quill 34", author="Quillan Bay", subject="Owner")
    info = PdfReader(tmp_path / "a.pdf").metadata
    assert info
    assert (info.title, info.author, info.subject, info.creator) == ("Quill 34", "Quillan Bay", "Owner", "Loomwright")


def test_an_unknown_colour_is_an_error_and_no_file_is_left(tmp_path: FilePath) -> None:
    with pytest.raises(KeyError):
        write_pdf((Page(10, 10, (Text(1, 5, "x", colour="inkk"),)),), tmp_path / "a.pdf", title="")
    assert not (tmp_path / "a.pdf").exists()


def test_another_theme_paints_its_paper() -> None:
    dark = PdfReader(io.BytesIO(pdf_bytes((Page(10, 10, ()),), title="", theme=DARK)))
    assert "f*" in dark.pages[0].get_contents().get_data().decode("latin-1").split()


def test_objects_referred_to_are_there() -> None:
    """Every reference in the file can be followed (a broken file often still opens)."""
    reader = read(Page(210, 297, (Group("link:a", LABELS[:1]), Group("anchor:a", LABELS[1:])), "One"))
    waiting: list[object] = [reader.trailer]
    seen: set[int] = set()
    while waiting:
        thing = waiting.pop()
        if id(thing) in seen:
            continue
        seen.add(id(thing))
        assert not isinstance(thing, NullObject)
        inner = (
            thing.values() if isinstance(thing, DictionaryObject) else thing if isinstance(thing, ArrayObject) else ()
        )
        waiting += [value.get_object() for value in inner if value.get_object() is not None and hasattr(value, "idnum")]
    assert len(seen) > 5


def test_sections_become_bookmarks() -> None:
    from pypdf import PdfReader

    items = (
        Group("section:One", (Text(10, 20, "One"),)),
        Group("anchor:x", (Group("section:Two", (Text(10, 60, "Two"),)),)),
    )
    pages = (Page(100, 100, items, "Page"), Page(100, 100, (Text(10, 20, "bare"),), "Second"))
    reader = PdfReader(io.BytesIO(pdf_bytes(pages, title="T")))
    outline = [entry for entry in reader.outline if not isinstance(entry, list)]
    assert [entry.title for entry in outline] == ["One", "Two", "Second"]
    assert [reader.get_destination_page_number(entry) for entry in outline] == [0, 0, 1]

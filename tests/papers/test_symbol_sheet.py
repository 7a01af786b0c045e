"""The contact sheet of the symbols: it is what is committed, it is complete, and its texts keep apart."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

from pypdf import PdfReader

from engine.drawing.bounds import item_box, overlap
from engine.drawing.display import Group, Text
from engine.drawing.metrics import text_box
from engine.export.pdf import pdf_bytes
from engine.export.svg import page_to_svg
from engine.library.device import load_library
from engine.library.symbol import load_symbols
from engine.papers.symbol_sheet import CELL_MM, contact_sheet, write_contact_sheet

SYMBOLS = Path(__file__).parents[2] / "symbols"
PAGES = contact_sheet(load_symbols(), load_library())
CELLS = [item for page in PAGES for item in page.items if isinstance(item, Group)]


def test_the_committed_sheet_is_the_one_these_symbols_make() -> None:
    """If it differs, look at the new one, then: loomwright symbols sheet --out symbols."""
    assert (SYMBOLS / "contact_sheet.svg").read_text("utf-8") == page_to_svg(PAGES[0])


def test_the_committed_pdf_says_the_same() -> None:
    made = PdfReader(BytesIO(pdf_bytes(PAGES, title="Symbols")))
    held = PdfReader(SYMBOLS / "contact_sheet.pdf")
    assert [page.extract_text() for page in held.pages] == [page.extract_text() for page in made.pages]


def test_writing_gives_both_files(tmp_path: Path) -> None:
    svg, pdf = write_contact_sheet(tmp_path)
    assert svg.read_bytes() == (SYMBOLS / "contact_sheet.svg").read_bytes()
    assert pdf.read_bytes().startswith(b"%PDF")


def test_every_symbol_is_on_the_one_sheet() -> None:
    assert len(PAGES) == 1
    assert {cell.key for cell in CELLS} == {f"symbol:{name}" for name in load_symbols()}


def test_everything_stays_in_its_cell_and_no_texts_meet() -> None:
    for cell in CELLS:
        box = item_box(cell)
        assert box is not None
        assert box[2] - box[0] <= CELL_MM[0] + 0.3, cell.key
        assert box[3] - box[1] <= CELL_MM[1] + 0.3, cell.key
        texts = [text_box(item) for item in cell.items if isinstance(item, Text)]
        meeting = [(a, b) for i, a in enumerate(texts) for b in texts[i + 1 :] if overlap(a, b)]
        assert meeting == [], cell.key

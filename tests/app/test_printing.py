"""Pages go to the printer at their size, or smaller where the paper is; what cannot be printed is said."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QMarginsF, QRectF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from app.canvas.painter import ItemPainter
from app.dialogs.preview import PreviewDialog
from app.printing import INCH_MM, layout_of, print_pages, printer_for
from app.workbench import Workbench
from engine.drawing.display import Item, Page, Text

pytestmark = pytest.mark.usefixtures("qapp")
A3 = Page(420, 297, (Text(200, 150, "Quill 34"),))
A4_UPRIGHT = Page(210, 297, (Text(100, 150, "Quill 34"),))


def to_file(printer: QPrinter, path: Path) -> Path:
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    return path


def mapped(monkeypatch: pytest.MonkeyPatch, printer: QPrinter, page: Page) -> QRectF:
    """Where the page comes to lie, mm of the room that the paper has."""
    found: list[QRectF] = []

    def paint(_: ItemPainter, painter: QPainter, items: Sequence[Item]) -> None:
        found.append(painter.deviceTransform().mapRect(QRectF(0, 0, page.width_mm, page.height_mm)))

    monkeypatch.setattr(ItemPainter, "paint", paint)
    assert print_pages([page], printer)
    to_mm = INCH_MM / printer.resolution()
    (box,) = found
    return QRectF(box.x() * to_mm, box.y() * to_mm, box.width() * to_mm, box.height() * to_mm)


@pytest.mark.parametrize("page", [A3, A4_UPRIGHT])
def test_on_its_own_paper_a_page_is_as_large_as_on_the_sheet(
    page: Page, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    printer = printer_for(page)
    file = to_file(printer, tmp_path / "sheet.pdf")
    box = mapped(monkeypatch, printer, page)
    assert (box.width(), box.height()) == pytest.approx((page.width_mm, page.height_mm), rel=0.002)
    width, height = PdfReader(file).pages[0].mediabox[2:]
    assert (float(width), float(height)) == pytest.approx(
        (page.width_mm / INCH_MM * 72, page.height_mm / INCH_MM * 72), abs=2
    )


def test_on_smaller_paper_it_is_smaller_and_in_the_middle(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    printer = printer_for(A3)
    to_file(printer, tmp_path / "sheet.pdf")
    a4 = QPageLayout(
        QPageSize(QPageSize.PageSizeId.A4),
        QPageLayout.Orientation.Landscape,
        QMarginsF(10, 10, 10, 10),
        QPageLayout.Unit.Millimeter,
    )
    printer.setPageLayout(a4)
    box = mapped(monkeypatch, printer, A3)
    assert box.width() / box.height() == pytest.approx(420 / 297, rel=0.001)
    assert box.width() < 297 - 20 + 0.1
    assert box.center().x() == pytest.approx((297 - 20) / 2, abs=0.2)
    assert box.center().y() == pytest.approx((210 - 20) / 2, abs=0.2)


def test_on_larger_paper_it_is_no_larger(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    printer = printer_for(A3)
    to_file(printer, tmp_path / "sheet.pdf")
    assert mapped(monkeypatch, printer, A4_UPRIGHT).height() == pytest.approx(297, rel=0.002)


def test_a_sheet_that_lies_is_printed_lying() -> None:
    assert layout_of(A3).orientation() == QPageLayout.Orientation.Landscape
    assert layout_of(A4_UPRIGHT).orientation() == QPageLayout.Orientation.Portrait


@pytest.mark.qt_log_ignore("QPainter::begin")
def test_the_preview_prints_the_pages_asked_for_and_says_what_stood_in_the_way(
    bench: Workbench, tmp_path: Path
) -> None:
    for _ in range(2):
        bench.window.menus.run("sheet-new")
    dialog = PreviewDialog(bench, bench.window)
    printer = printer_for(dialog.pages[0])
    file = to_file(printer, tmp_path / "sheets.pdf")
    dialog.put_on(printer)
    assert len(PdfReader(file).pages) == 3
    assert "Sent" in bench.window.notes.text
    printer = printer_for(dialog.pages[0])
    file = to_file(printer, tmp_path / "two.pdf")
    printer.setFromTo(2, 3)
    dialog.put_on(printer)
    assert len(PdfReader(file).pages) == 2
    printer = printer_for(dialog.pages[0])
    to_file(printer, tmp_path / "nowhere" / "sheets.pdf")
    dialog.put_on(printer)
    assert "Nothing was printed" in bench.window.notes.text
    dialog.close()

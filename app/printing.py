"""Pages to a printer: as large as on the sheet, or smaller where the paper in the printer is."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from app.canvas.painter import ItemPainter
from engine.drawing.display import Page
from engine.drawing.theme import PAPER

INCH_MM = 25.4


def printer_for(page: Page) -> QPrinter:
    """The printer that is usual here, set to the paper of this page."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageLayout(layout_of(page))
    return printer


def layout_of(page: Page) -> QPageLayout:
    """The paper of a page, with no margin but what the printer itself needs: the sheets have their own."""
    short, long = sorted((page.width_mm, page.height_mm))
    lies = page.width_mm > page.height_mm
    turned = QPageLayout.Orientation.Landscape if lies else QPageLayout.Orientation.Portrait
    paper = QPageSize(QSizeF(short, long), QPageSize.Unit.Millimeter)
    return QPageLayout(paper, turned, QMarginsF())


def print_pages(pages: Sequence[Page], printer: QPrinter) -> bool:
    """Print the pages; whether the printer took them."""
    painter = QPainter()
    if not painter.begin(printer):
        return False
    whole = _paint(painter, pages, printer)
    return painter.end() and whole


def _paint(painter: QPainter, pages: Sequence[Page], printer: QPrinter) -> bool:
    items = ItemPainter(PAPER)
    for number, page in enumerate(pages):
        if number and not printer.newPage():
            return False
        painter.save()
        _map(painter, printer, page)
        items.paint(painter, page.items)
        painter.restore()
    return True


def _map(painter: QPainter, printer: QPrinter, page: Page) -> None:
    """Millimetres of the page to the middle of the paper, never larger than they are."""
    room = printer.pageRect(QPrinter.Unit.DevicePixel)
    scale = min(printer.resolution() / INCH_MM, room.width() / page.width_mm, room.height() / page.height_mm)
    painter.translate((room.width() - page.width_mm * scale) / 2, (room.height() - page.height_mm * scale) / 2)
    painter.scale(scale, scale)

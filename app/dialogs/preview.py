"""The sheets as they are printed: white paper, no grid, no marks. From here they go to a PDF or a printer."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QDialog, QFileDialog, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.canvas.painter import ItemPainter
from engine.drawing.display import Page
from engine.drawing.theme import PAPER
from engine.files.errors import SaveError
from engine.messages import tr

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    from app.workbench import Workbench

MARGIN = 22.0


class Paper(QWidget):
    """One page, whole, as large as it goes."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.page: Page | None = None
        self._painter = ItemPainter(PAPER)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(QSize(320, 240))
        self.setAccessibleName(tr("Page"))

    def show_page(self, page: Page) -> None:
        """This page."""
        self.page = page
        self.setAccessibleDescription(page.title)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:  # noqa: N802
        painter = QPainter(self)
        painter.fillRect(self.rect(), self.palette().mid())
        if self.page:
            self._paint(painter, self.page)
        painter.end()

    def _paint(self, painter: QPainter, page: Page) -> None:
        across, down = self.width() - 2 * MARGIN, self.height() - 2 * MARGIN
        scale = min(across / page.width_mm, down / page.height_mm)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate((self.width() - page.width_mm * scale) / 2, (self.height() - page.height_mm * scale) / 2)
        painter.scale(scale, scale)
        sheet = QRectF(0, 0, page.width_mm, page.height_mm)
        painter.fillRect(sheet.translated(0.8, 0.8), QColor(0, 0, 0, 60))
        painter.fillRect(sheet, QColor(PAPER.colours["paper"]))
        self._painter.paint(painter, page.items)


class PreviewDialog(QDialog):
    """Pages one by one."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Print preview"))
        self.resize(1000, 760)
        self.bench = bench
        self.pages = sheet_pages(bench)
        self.paper, self.where = Paper(self), QLabel(self)
        self.back, self.on = QPushButton(tr("Previous"), self), QPushButton(tr("Next"), self)
        put, keep = QPushButton(tr("Print …"), self), QPushButton(tr("Save as PDF …"), self)
        keep.setDefault(True)
        self.back.clicked.connect(lambda: self.turn(-1))
        self.on.clicked.connect(lambda: self.turn(1))
        put.clicked.connect(self.ask_and_print)
        keep.clicked.connect(self.ask_and_save)
        row = QHBoxLayout()
        for widget in (self.back, self.on, self.where):
            row.addWidget(widget)
        row.addStretch(1)
        row.addWidget(put)
        row.addWidget(keep)
        box = QVBoxLayout(self)
        box.addWidget(self.paper, 1)
        box.addLayout(row)
        self.at = 0
        ids = [sheet.id for sheet in bench.store.document.sheets]
        self.turn(ids.index(bench.sheet_id))

    def turn(self, by: int) -> None:
        """So many pages on."""
        self.at = min(max(0, self.at + by), len(self.pages) - 1)
        page = self.pages[self.at]
        self.paper.show_page(page)
        self.back.setEnabled(self.at > 0)
        self.on.setEnabled(self.at < len(self.pages) - 1)
        told = tr("Page {at} of {all} · {title} · {width} × {height} mm")
        self.where.setText(
            told.format(
                at=self.at + 1,
                all=len(self.pages),
                title=page.title,
                width=f"{page.width_mm:g}",
                height=f"{page.height_mm:g}",
            )
        )

    def ask_and_save(self) -> None:
        """To a PDF that one names."""
        name, _ = QFileDialog.getSaveFileName(self, tr("Save as PDF"), "", tr("PDF files (*.pdf)"))
        if name:
            self.save(Path(name).with_suffix(".pdf"))

    def save(self, path: Path) -> None:
        """All pages to this file; what stands in the way is said above the sheet."""
        from engine.export.pdf import pdf_bytes
        from engine.files.save import write_safely

        particulars = self.bench.store.document.network.particulars
        data = pdf_bytes(self.pages, title=particulars.name, author=particulars.drawn_by)
        try:
            write_safely(path, data, keep_previous=False)
        except SaveError as error:
            self.bench.say(tr("The PDF was not written: {why}").format(why=error))
            return
        self.bench.say(tr("Written: {path}").format(path=path))

    def ask_and_print(self) -> None:
        """On a printer that one chooses, all pages or some of them."""
        from PySide6.QtPrintSupport import QPrintDialog

        from app.printing import printer_for

        printer = printer_for(self.pages[self.at])
        asked = QPrintDialog(printer, self)
        asked.setWindowTitle(tr("Print the sheets"))
        asked.setMinMax(1, len(self.pages))
        asked.setOption(QPrintDialog.PrintDialogOption.PrintPageRange)
        if asked.exec() == QDialog.DialogCode.Accepted:
            self.put_on(printer)

    def put_on(self, printer: QPrinter) -> None:
        """The pages that the printer is set to; what stands in the way is said above the sheet."""
        from app.printing import print_pages

        first, last = printer.fromPage() or 1, printer.toPage() or len(self.pages)
        if print_pages(self.pages[first - 1 : last], printer):
            self.bench.say(tr("Sent to the printer."))
        else:
            self.bench.say(
                tr("Nothing was printed: the printer did not begin. See whether it is there and switched on.")
            )


def sheet_pages(bench: Workbench) -> list[Page]:
    """Every sheet as printed."""
    from engine.drawing.sheet import draw_sheet

    document = bench.store.document
    return [draw_sheet(document, sheet.id, bench.library, bench.symbols).page for sheet in document.sheets]

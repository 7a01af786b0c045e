"""Drawing and painting: repaint, drag and pan of a full sheet, pages through reportlab against Qt's writer, the first window.

python -m tests.bench.drawing
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QImage, QPageSize, QPainter, QPdfWriter
from PySide6.QtWidgets import QApplication

from app.canvas.painter import ItemPainter, register_font
from engine.drawing.display import Page
from engine.drawing.sheet import Draughtsman
from engine.drawing.theme import PAPER
from engine.export.pdf import pdf_bytes
from engine.files.opening import open_boat
from engine.library.device import load_library
from engine.library.symbol import load_symbols
from engine.model.edits.arranging import move
from tests.bench.rounds import line, minima

SAMPLE = Path(__file__).parents[2] / "sample_boats" / "quill_34.boat"
PAGES = 20


def main() -> int:
    """Print every row."""
    application = QApplication.instance() or QApplication([])
    register_font()
    library, symbols = load_library(), load_symbols()
    document = open_boat(SAMPLE, library)
    draughtsman = Draughtsman(library, symbols)
    page = draughtsman.draw(document, "s1").page
    print("ours, theirs, ratio")
    _pages(page)
    _frames(document, draughtsman, page)
    _window()
    application.quit()
    return 0


def _pages(page: Page) -> None:
    pages = [page] * PAGES
    ours, theirs = minima(lambda: pdf_bytes(pages, title="bench"), lambda: _qt_pdf(pages))
    print(
        line(
            f"{PAGES} pages of drawing, reportlab against Qt's writer",
            ours,
            theirs,
            f"{ours / theirs:.1f}x",
            "3x",
            "1.5x",
        )
    )


def _qt_pdf(pages: list[Page]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        writer = QPdfWriter(str(Path(folder) / "qt.pdf"))
        writer.setPageSize(QPageSize(QSizeF(pages[0].width_mm, pages[0].height_mm), QPageSize.Unit.Millimeter))
        writer.setPageMargins(QMarginsF(0, 0, 0, 0))
        painter = ItemPainter(PAPER)
        with QPainter(writer) as device:
            device.scale(writer.logicalDpiX() / 25.4, writer.logicalDpiY() / 25.4)
            for number, page in enumerate(pages):
                if number:
                    writer.newPage()
                painter.paint(device, page.items)


def _frames(document: object, draughtsman: Draughtsman, page: Page) -> None:
    image = QImage(1600, 1000, QImage.Format.Format_ARGB32_Premultiplied)
    blank = QImage(image)
    painter = ItemPainter(PAPER)

    def repaint() -> None:
        with QPainter(image) as device:
            device.scale(3.7, 3.7)
            painter.paint(device, page.items, smallest_text_px=3)

    def blit() -> None:
        with QPainter(image) as device:
            device.drawImage(0, 0, blank)

    ours, theirs = minima(repaint, blit)
    print(line("full repaint of the sample's sheet against one blit", ours, theirs, f"{ours / theirs:.1f}x", "-", "-"))
    part = next(place.part for place in document.sheets[0].places)  # type: ignore[attr-defined]
    step = [0.0]

    def drag() -> None:
        step[0] = 2.5 - step[0]
        draughtsman.draw(move(document, "s1", {f"part:{part}"}, step[0], 0.0), "s1")  # type: ignore[arg-type]

    ours, theirs = minima(drag, blit)
    print(
        line(
            "drag frame: one part and its runs drawn anew, against a blit",
            ours,
            theirs,
            f"{ours / theirs:.1f}x",
            "5x",
            "2x",
        )
    )


def _window() -> None:
    ours, theirs = minima(lambda: _python(_OPEN), lambda: _python("import PySide6.QtWidgets"), rounds=25)
    print(line("first painted window against importing QtWidgets", ours, theirs, f"{ours / theirs:.1f}x", "2x", "1.4x"))


_OPEN = """
from pathlib import Path
from PySide6.QtWidgets import QApplication
application = QApplication([])
from app.main import open_window
open_window(Path("/nonexistent/settings.ini"))
"""


def _python(code: str) -> None:
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, env={**os.environ})


if __name__ == "__main__":
    began = time.monotonic()
    status = main()
    print(f"in {time.monotonic() - began:.0f} s")
    sys.exit(status)

"""Drawing and painting: repaint, drag and pan of a full sheet, pages through reportlab against Qt's writer, the first window.

python -m tests.bench.drawing
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from itertools import cycle
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QImage, QPageSize, QPainter, QPdfWriter, QPixmap
from PySide6.QtWidgets import QApplication

from app.canvas.painter import ItemPainter
from app.letters import register_font
from app.main import furnish, open_window
from engine.drawing.display import Page
from engine.drawing.sheet import Draughtsman
from engine.drawing.theme import PAPER
from engine.export.pdf import pdf_bytes
from engine.files.opening import open_boat
from engine.library.device import load_library
from engine.library.symbol import load_symbols
from engine.model.document import Document
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
    _frames(page)
    _drag()
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


def _frames(page: Page) -> None:
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


def _drag() -> None:
    """A part with about four runs dragged on the sheet in the real window, as a gesture previews it, with its painting."""
    with tempfile.TemporaryDirectory() as folder:
        window = open_window(Path(folder) / "settings.json")
        window.resize(1600, 1000)
        bench = furnish(window, None, Path(folder) / "recovery")
        bench.store.load(open_boat(SAMPLE, bench.library))
        QApplication.processEvents()
        view, steps = bench.view, cycle((2.5, 5.0))
        part = _with_runs(bench.store.document, 4)

        def drag() -> None:
            step = next(steps)
            view.bench.preview(lambda document: move(document, "s1", {f"part:{part}"}, step, 0.0))
            view.repaint()

        picture = QPixmap(view.size())

        def blit() -> None:
            with QPainter(picture) as device:
                device.drawPixmap(0, 0, still)

        still = QPixmap(view.size())
        still.fill()
        picture.fill()
        ours, theirs = minima(drag, blit, rounds=100)
        print(
            line(f"drag frame: {part} and its runs, against a blit", ours, theirs, f"{ours / theirs:.1f}x", "5x", "2x")
        )
        view.bench.preview(None)
        bench.analyst.wait()
        bench.store.mark_clean()
        window.close()


def _with_runs(document: Document, wanted: int) -> str:
    """The part of the first sheet whose number of runs comes nearest to the wanted."""
    count = Counter(end.part for run in document.network.runs for end in (run.a, run.b))
    return min((place.part for place in document.sheets[0].places), key=lambda part: abs(count[part] - wanted))


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
    """As it starts for a person: what Python has compiled is kept from one start to the next."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, env=env)


if __name__ == "__main__":
    began = time.monotonic()
    status = main()
    print(f"in {time.monotonic() - began:.0f} s")
    sys.exit(status)

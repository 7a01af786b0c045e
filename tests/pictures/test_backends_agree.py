"""Screen, PDF and SVG draw one display list alike: pictures are compared cell by cell, and SVG with what is kept here.

Run this file as a module (`python -m tests.pictures.test_backends_agree`) to write the kept SVG files anew, and look.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path as FilePath

import numpy as np
import pytest
from numpy.typing import NDArray

from engine.drawing.bounds import moved
from engine.drawing.display import Page, Path, Pen, Text
from engine.drawing.frame import TitleBlock, frame_items
from engine.drawing.outline import line
from engine.drawing.sheets import sheet_format
from engine.export.pdf import pdf_bytes
from engine.export.svg import page_to_svg
from tests.pictures.picture import everything

if __name__ != "__main__":
    from PySide6.QtGui import QColor, QGuiApplication, QImage, QPainter

    from app.canvas.painter import paint
    from engine.drawing.theme import PAPER

HERE = FilePath(__file__).parent
SCREEN_PX_PER_MM, PDF_PX_PER_MM = 10, 30
"""The PDF finer, because the program that draws it shifts thin lines to whole pixels."""

Picture = NDArray[np.float64]


def frame_page(name: str = "A4") -> Page:
    sheet = sheet_format(name)
    block = TitleBlock(
        owner="Quillan Bay",
        title="Quill 34",
        supplementary_title="DC 12 V and AC 230 V system, one-line diagram",
        drawing_number="QB34-E-001",
        revision="C",
        date="2026-03-14",
        sheets=4,
        creator="M. Arden",
        approved="J. Whitlow",
        document_type="One-line diagram",
        status="Issued for build",
        reference="Hull no. 12",
    )
    return Page(sheet.width_mm, sheet.height_mm, frame_items(sheet, block), "Quill 34")


KEPT = {"everything.svg": everything, "frame_A4.svg": frame_page}


def on_screen(page: Page) -> Picture:
    """Cells of what the painter draws."""
    size = (round(side_mm * SCREEN_PX_PER_MM) for side_mm in (page.width_mm, page.height_mm))
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    with QPainter(image) as painter:
        painter.scale(SCREEN_PX_PER_MM, SCREEN_PX_PER_MM)
        paint(painter, page.items, PAPER)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine() // 4, 4)
    return cells(rows[:, : image.width(), 2::-1].astype(float), SCREEN_PX_PER_MM)


def in_pdf(page: Page, folder: FilePath) -> Picture:
    """Cells of the PDF as an independent program draws it; without that program nothing can say how a PDF looks."""
    program = shutil.which("pdftoppm")
    if program is None:
        pytest.fail(
            "pdftoppm is missing (Debian package poppler-utils): the look of the PDF cannot be checked without it"
        )
    (folder / "page.pdf").write_bytes(pdf_bytes((page,), title="Test picture"))
    subprocess.run(
        [program, "-r", str(PDF_PX_PER_MM * 25.4), "-singlefile", folder / "page.pdf", folder / "page"], check=True
    )
    return cells(read_ppm((folder / "page.ppm").read_bytes()), PDF_PX_PER_MM)


def read_ppm(content: bytes) -> Picture:
    kind, size, most, pixels = content.split(b"\n", 3)
    assert (kind, most) == (b"P6", b"255")
    width, height = map(int, size.split())
    return np.frombuffer(pixels, np.uint8).reshape(height, width, 3).astype(float)


def cells(picture: Picture, cell_px: int) -> Picture:
    """Mean colour of each square millimetre: what is left when the smoothing of edges is taken away."""
    rows, columns = picture.shape[0] // cell_px, picture.shape[1] // cell_px
    cut = picture[: rows * cell_px, : columns * cell_px]
    return cut.reshape(rows, cell_px, columns, cell_px, 3).mean(axis=(1, 3))


def differences(one: Picture, other: Picture) -> tuple[float, float]:
    """(mean, greatest) difference of the cells, in parts of 255."""
    apart = np.abs(one - other)
    return float(apart.mean()), float(apart.max())


@pytest.fixture(scope="module", autouse=True)
def _application() -> QGuiApplication:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    existing = QGuiApplication.instance()
    if isinstance(existing, QGuiApplication):
        return existing
    from PySide6.QtWidgets import QApplication

    return QApplication([])


def foot_of_frame() -> Page:
    """The lower quarter of the framed sheet, where the title block is."""
    whole, foot_mm = frame_page(), 60.0
    items = tuple(moved(item, 0.0, foot_mm - whole.height_mm) for item in whole.items)
    return Page(whole.width_mm, foot_mm, items)


@pytest.mark.parametrize("page", [everything(), foot_of_frame()], ids=["everything", "frame"])
def test_the_print_is_the_screen(page: Page, tmp_path: FilePath) -> None:
    mean, greatest = differences(on_screen(page), in_pdf(page, tmp_path))
    assert mean < 0.8
    assert greatest < 20


def test_the_comparison_sees_a_text_that_is_a_millimetre_off(tmp_path: FilePath) -> None:
    right, wrong = (Page(60, 20, (Text(x_mm, 10, "-W17  2×35 mm²", 2.5),)) for x_mm in (5, 6))
    _, greatest = differences(on_screen(wrong), in_pdf(right, tmp_path))
    assert greatest > 32


def test_the_comparison_sees_another_colour_and_another_width(tmp_path: FilePath) -> None:
    right = Page(60, 20, (Path(line(5, 10.5, 55, 10.5), Pen("wire.RD", 0.7)),))
    for pen in (Pen("wire.BN", 0.7), Pen("wire.RD", 0.5)):
        wrong = Page(60, 20, (Path(line(5, 10.5, 55, 10.5), pen),))
        assert differences(on_screen(wrong), in_pdf(right, tmp_path))[1] > 32


@pytest.mark.parametrize("name", KEPT)
def test_the_svg_is_as_kept(name: str) -> None:
    assert page_to_svg(KEPT[name]()) == (HERE / name).read_text(encoding="utf-8")


if __name__ == "__main__":
    for name, make in KEPT.items():
        (HERE / name).write_text(page_to_svg(make()), encoding="utf-8")
        sys.stdout.write(f"{name}\n")

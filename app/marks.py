"""The four marks of findings as icons: the very marks of the sheet, so that list and drawing read alike."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap

from app.canvas.painter import paint
from engine.drawing.annotate import MARK_MM, SEVERITIES, Severity, mark_items
from engine.drawing.theme import DARK, PAPER
from engine.messages import tr

__all__ = ["SEVERITIES", "Severity", "mark", "mark_icon", "severity_word"]

SIDE_MM = MARK_MM * 1.2


def severity_word(severity: Severity) -> str:
    """What a person reads for a severity."""
    words = {
        "danger": tr("danger"),
        "requirement": tr("requirement"),
        "advice": tr("advice"),
        "unknown": tr("cannot tell"),
    }
    return words[severity]


def mark(severity: Severity, dark: bool, pixels: int = 16) -> QPixmap:
    """The mark of a severity, two device pixels to the point."""
    ratio = 2
    pixmap = QPixmap(pixels * ratio, pixels * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(pixels / SIDE_MM, pixels / SIDE_MM)
    paint(painter, mark_items(severity, SIDE_MM / 2, SIDE_MM / 2), DARK if dark else PAPER)
    painter.end()
    return pixmap


def mark_icon(severity: Severity, dark: bool) -> QIcon:
    """The mark as an icon, the same in a chosen row."""
    made, drawn = QIcon(), mark(severity, dark)
    made.addPixmap(drawn, QIcon.Mode.Normal)
    made.addPixmap(drawn, QIcon.Mode.Selected)
    return made

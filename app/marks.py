"""The four marks of findings, shape and colour together, told apart in grey. Knows no finding.

Danger is a filled triangle with a bolt-like stroke, requirement a filled square on its point, advice a ring with a dot,
cannot tell a dashed square with a query.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap, QPolygonF

from app.style import Theme
from engine.messages import tr

SEVERITIES = ("danger", "requirement", "advice", "unknown")


def severity_word(severity: str) -> str:
    """What a person reads for a severity."""
    words = {
        "danger": tr("danger"),
        "requirement": tr("requirement"),
        "advice": tr("advice"),
        "unknown": tr("cannot tell"),
    }
    return words.get(severity, severity)


def mark(severity: str, theme: Theme, pixels: int = 16) -> QPixmap:
    """The mark of a severity, drawn for the screen at two pixels a point."""
    ratio = 2
    pixmap = QPixmap(pixels * ratio, pixels * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(pixels / 16, pixels / 16)
    _DRAWN.get(severity, _unknown)(painter, QColor(getattr(theme, severity, theme.unknown)), QColor(theme.field))
    painter.end()
    return pixmap


def mark_icon(severity: str, theme: Theme) -> QIcon:
    """The mark as an icon."""
    return QIcon(mark(severity, theme))


def _danger(painter: QPainter, colour: QColor, paper: QColor) -> None:
    pen = QPen(colour, 1.4)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(colour)
    painter.drawPolygon(QPolygonF([QPointF(8, 1.8), QPointF(14.8, 14), QPointF(1.2, 14)]))
    painter.setPen(QPen(paper, 1.8, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    painter.drawLine(QPointF(8, 6.2), QPointF(8, 9.6))
    painter.drawPoint(QPointF(8, 12.2))


def _requirement(painter: QPainter, colour: QColor, paper: QColor) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawPolygon(QPolygonF([QPointF(8, 0.6), QPointF(15.4, 8), QPointF(8, 15.4), QPointF(0.6, 8)]))
    painter.setPen(QPen(paper, 1.8, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    painter.drawLine(QPointF(5.2, 8), QPointF(10.8, 8))


def _advice(painter: QPainter, colour: QColor, _paper: QColor) -> None:
    painter.setPen(QPen(colour, 1.6))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(QRectF(1.8, 1.8, 12.4, 12.4))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawEllipse(QRectF(6, 6, 4, 4))


def _unknown(painter: QPainter, colour: QColor, _paper: QColor) -> None:
    pen = QPen(colour, 1.5)
    pen.setDashPattern([2.0, 1.5])
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(QRectF(1.8, 1.8, 12.4, 12.4), 2, 2)
    painter.setPen(QPen(colour, 1.5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    painter.drawArc(QRectF(5.7, 4, 4.6, 4.4), -80 * 16, 260 * 16)
    painter.drawLine(QPointF(8.2, 8.4), QPointF(8.1, 9.6))
    painter.drawPoint(QPointF(8.1, 11.9))


_DRAWN: Mapping[str, Callable[[QPainter, QColor, QColor], None]] = {
    "danger": _danger,
    "requirement": _requirement,
    "advice": _advice,
    "unknown": _unknown,
}

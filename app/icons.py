"""Our own signs for actions, drawn from path strings on a field of 20 by 20. Knows colours only as it is given them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap

from app.style import LIGHT, Theme
from engine.library.svg_path import Segment, parse_path

GRID = 20.0
SIZES = (20, 40)
"""Pixels drawn for each icon: 100 % and 200 % scaling."""

PATHS: Mapping[str, str] = {
    "new": "M 5 2.5 H 11.5 L 15.5 6.5 V 17.5 H 5 Z M 11.5 2.5 V 6.5 H 15.5 M 10.2 9.5 V 14.5 M 7.7 12 H 12.7",
    "open": "M 2.5 16 V 4.5 H 7.5 L 9.5 6.5 H 15.5 V 9 M 2.5 16 L 5 9 H 18 L 15.5 16 Z",
    "save": "M 3 14 V 17 H 17 V 14 M 10 3 V 12.5 M 6.5 9.5 L 10 13 L 13.5 9.5",
    "undo": "M 7 4 L 3.5 7.5 L 7 11 M 3.5 7.5 H 12 A 4.2 4.2 0 0 1 12 16 H 7",
    "redo": "M 13 4 L 16.5 7.5 L 13 11 M 16.5 7.5 H 8 A 4.2 4.2 0 0 0 8 16 H 13",
    "point": "M 5 2.5 L 5 15 L 8.4 12 L 10.8 17.2 L 13 16.2 L 10.6 11.2 L 15 10.8 Z",
    "run": "M 2 15 H 7 V 5 H 18 M 2 13.6 A 1.4 1.4 0 1 1 2 16.4 M 18 3.6 A 1.4 1.4 0 1 0 18 6.4",
    "stores": (
        "M 3 3 H 8.5 V 8.5 H 3 Z M 11.5 3 H 17 V 8.5 H 11.5 Z M 3 11.5 H 8.5 V 17 H 3 Z M 14.2 11 V 17.5 M 11 14.2 H 17.5"
    ),
    "note": "M 4 5 H 16 M 4 9 H 16 M 4 13 H 11",
    "turn": "M 15.5 6.5 A 6.3 6.3 0 1 0 16.3 11.5 M 15.8 2.5 V 6.8 H 11.5",
    "mirror": "M 10 2.5 V 17.5 M 7.5 5.5 V 14.5 L 2.5 14.5 Z M 12.5 5.5 V 14.5 L 17.5 14.5 Z",
    "delete": "M 5 5 L 15 15 M 15 5 L 5 15",
    "fit": (
        "M 2.5 7 V 3.5 H 6.5 M 13.5 3.5 H 17.5 V 7 M 17.5 13 V 16.5 H 13.5 M 6.5 16.5 H 2.5 V 13 "
        "M 6.5 7.5 H 13.5 V 12.5 H 6.5 Z"
    ),
    "nearer": "M 10 4.5 V 15.5 M 4.5 10 H 15.5",
    "further": "M 4.5 10 H 15.5",
    "grid": "M 3 3 H 17 V 17 H 3 Z M 7.7 3 V 17 M 12.3 3 V 17 M 3 7.7 H 17 M 3 12.3 H 17",
    "search": "M 8.5 3 A 5.5 5.5 0 1 1 8.5 14 A 5.5 5.5 0 1 1 8.5 3 M 12.6 12.6 L 17.5 17.5",
    "papers": "M 6 2.5 H 17 V 14 H 6 Z M 3.2 5.5 V 17 H 14 M 8.7 6 H 14.3 M 8.7 8.5 H 14.3 M 8.7 11 H 12",
    "preview": "M 4 2.5 H 16 V 17.5 H 4 Z M 11 13.5 H 16 M 11 13.5 V 17.5 M 6.5 6 H 13.5 M 6.5 9 H 10",
    "theme": "M 10 3 A 7 7 0 1 0 10 17 A 7 7 0 1 0 10 3 M 10 3 V 17 M 12 5 V 15 M 14 6.5 V 13.5",
    "next": "M 4 7.5 L 10 13.5 L 16 7.5",
    "previous": "M 4 12.5 L 10 6.5 L 16 12.5",
    "add": "M 10 4 V 16 M 4 10 H 16",
    "up": "M 10 16 V 4 M 5.5 8.5 L 10 4 L 14.5 8.5",
    "down": "M 10 4 V 16 M 5.5 11.5 L 10 16 L 14.5 11.5",
    "more": "M 4.5 10 H 4.6 M 10 10 H 10.1 M 15.5 10 H 15.6",
    "boat": "M 2 12.5 H 18 L 15.5 16.5 H 5 Z M 9 12.5 V 2.5 L 15.5 10 H 9 M 9 4.5 L 4.5 10 H 9",
    "shortcuts": (
        "M 2.5 5.5 H 17.5 V 14.5 H 2.5 Z M 5.5 8.5 H 5.6 M 8.5 8.5 H 8.6 M 11.5 8.5 H 11.6 M 14.5 8.5 H 14.6 "
        "M 6.5 11.7 H 13.5"
    ),
}


def outline_path(outline: tuple[Segment, ...], scale: float = 1.0) -> QPainterPath:
    """An outline as Qt's path, times scale."""
    path = QPainterPath()
    for verb, numbers in outline:
        points = [QPointF(x * scale, y * scale) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        if verb == "M":
            path.moveTo(points[0])
        elif verb == "L":
            path.lineTo(points[0])
        elif verb == "C":
            path.cubicTo(*points)
        else:
            path.closeSubpath()
    return path


def drawn(name: str, colour: str, pixels: int) -> QPixmap:
    """One sign in one colour."""
    pixmap = QPixmap(pixels, pixels)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(pixels / GRID, pixels / GRID)
    pen = QPen(QColor(colour), 1.5)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.drawPath(_sign(name))
    painter.end()
    return pixmap


@cache
def _sign(name: str) -> QPainterPath:
    return outline_path(parse_path(PATHS[name]))


def icon(name: str, theme: Theme) -> QIcon:
    """The sign as an icon, in the theme's ink; faint where it cannot be used."""
    made = QIcon()
    for pixels in SIZES:
        made.addPixmap(drawn(name, theme.ink, pixels), QIcon.Mode.Normal)
        made.addPixmap(drawn(name, theme.faint, pixels), QIcon.Mode.Disabled)
    return made


def program_icon() -> QIcon:
    """The program's own sign: a boat's hull in section with a run through it."""
    made = QIcon()
    for pixels in (16, 32, 64, 128):
        made.addPixmap(_program_pixmap(pixels))
    return made


def _program_pixmap(pixels: int) -> QPixmap:
    pixmap = QPixmap(pixels, pixels)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(LIGHT.accent))
    painter.drawRoundedRect(QRectF(0, 0, pixels, pixels), pixels * 0.16, pixels * 0.16)
    pen = QPen(QColor(LIGHT.field), 1.6 * pixels / GRID)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    hull = "M 3 6 H 17 C 17 12 14 16 10 16 C 6 16 3 12 3 6 M 10 2.5 V 6 M 6.5 9.5 H 9 V 12.5 H 13"
    painter.drawPath(outline_path(parse_path(hull), pixels / GRID))
    painter.end()
    return pixmap

"""Small pictures of the symbols, drawn by the same code as the sheet. Knows kinds and shapes; no list."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap

from app.canvas.painter import ItemPainter
from engine.drawing.shapes import PartShape, Variant, part_shape
from engine.library.device import DeviceKind
from engine.library.symbol import Family, Symbol
from engine.model.defaults import default_values
from engine.model.network import Part, Position

WIDTH, HEIGHT = 46, 34
MARGIN = 3.0
LARGEST = 2.6
"""Pixels a millimetre at most: a small symbol stays small beside a large one."""


def thumbnail(kind: DeviceKind, symbols: Mapping[str, Symbol], painter: ItemPainter, family: Family) -> QIcon:
    """The symbol of a new part of this kind."""
    shape = part_shape(_example(kind), kind, symbols, Variant(family=family))
    ratio = 2
    pixmap = QPixmap(WIDTH * ratio, HEIGHT * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    brush = QPainter(pixmap)
    brush.setRenderHint(QPainter.RenderHint.Antialiasing)
    _fit(brush, shape)
    painter.paint(brush, shape.items)
    brush.end()
    return QIcon(pixmap)


def _example(kind: DeviceKind) -> Part:
    """A part that shows what the kind is, no larger than need be: a board of three ways, a bar of four studs."""
    values = default_values(kind)
    for port in kind.port:
        if port.count:
            values[port.count] = min(4.0, float(values.get(port.count) or 4.0))  # type: ignore[arg-type]
    ways = tuple(Position(key=str(n)) for n in (1, 2, 3)) if kind.role in ("dc_panel", "ac_panel") else ()
    return Part(id="thumbnail", kind=kind.id, values=values, positions=ways)


def _fit(brush: QPainter, shape: PartShape) -> None:
    left, top, right, bottom = shape.box
    across, down = max(right - left, 1.0), max(bottom - top, 1.0)
    scale = min((WIDTH - 2 * MARGIN) / across, (HEIGHT - 2 * MARGIN) / down, LARGEST)
    brush.translate(WIDTH / 2, HEIGHT / 2)
    brush.scale(scale, scale)
    brush.translate(-(left + right) / 2, -(top + bottom) / 2)

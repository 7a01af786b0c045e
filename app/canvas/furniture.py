"""Paints what helps the hand and is never printed: selection, ports, crosshair, the run in hand, the box.

In pixels, so that it keeps its size at every zoom. Knows no document and no tool.
"""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPainterPathStroker, QPen, QPolygonF

from app.canvas.camera import Box, Camera, Point
from app.canvas.marks import Marks
from engine.drawing.sheet import SheetDrawing
from engine.drawing.theme import Theme, colour

PAD_PX = 4.0
PORT_PX = 3.5
TARGET_PX = 7.0
RUN_PX = 11.0
HANDLE_PX = 4.5
CROSS_PX = 14.0


class Furniture:
    """Paints over one sheet, in the colours of a theme."""

    def __init__(self, theme: Theme) -> None:
        self._strong = QColor(colour(theme, "selection"))
        self._soft = QColor(colour(theme, "selection"))
        self._soft.setAlpha(60)
        self._paper = QColor(colour(theme, "paper"))
        self._danger = QColor(colour(theme, "danger"))
        self._redline = QColor(colour(theme, "redline"))

    def paint(
        self, painter: QPainter, camera: Camera, drawing: SheetDrawing, selected: Iterable[str], marks: Marks
    ) -> None:
        """Everything, from the bottom up."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if marks.hover:
            self._frame(painter, camera, drawing, marks.hover, self._soft, False)
        for key in selected:
            self._frame(painter, camera, drawing, key, self._strong, True)
        for key in marks.redlined:
            self._frame(painter, camera, drawing, key, self._redline, False)
        self._ports(painter, camera, marks)
        self._line(painter, camera, marks)
        if marks.box:
            painter.setPen(QPen(self._strong, 1.0, Qt.PenStyle.DashLine))
            painter.setBrush(self._soft)
            painter.drawRect(_rectangle(camera, marks.box))
        for handle in marks.handles:
            self._handle(painter, QPointF(*camera.to_px(*handle)))
        if marks.crosshair:
            self._crosshair(painter, camera, marks.crosshair)

    def _frame(
        self, painter: QPainter, camera: Camera, drawing: SheetDrawing, key: str, pen: QColor, corners: bool
    ) -> None:
        path = drawing.paths.get(key.partition(":")[2]) if key.startswith("run:") else None
        box = drawing.boxes.get(key)
        if path:
            self._sleeve(painter, [QPointF(*camera.to_px(*point)) for point in path], pen)
        elif box:
            frame = _rectangle(camera, box).adjusted(-PAD_PX, -PAD_PX, PAD_PX, PAD_PX)
            painter.setPen(QPen(pen, 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(frame, 3, 3)
            if corners:
                self._corners(painter, frame)

    def _sleeve(self, painter: QPainter, points: list[QPointF], pen: QColor) -> None:
        """Round a run, so that its colour stays to be seen."""
        line = QPainterPath(points[0])
        for point in points[1:]:
            line.lineTo(point)
        stroker = QPainterPathStroker()
        stroker.setWidth(RUN_PX)
        stroker.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(QPen(pen, 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(stroker.createStroke(line).simplified())

    def _corners(self, painter: QPainter, frame: QRectF) -> None:
        painter.setBrush(self._strong)
        for corner in (frame.topLeft(), frame.topRight(), frame.bottomLeft(), frame.bottomRight()):
            painter.drawRect(QRectF(corner.x() - 2, corner.y() - 2, 4, 4))

    def _ports(self, painter: QPainter, camera: Camera, marks: Marks) -> None:
        painter.setPen(QPen(self._strong, 1.2))
        painter.setBrush(self._paper)
        for port in marks.ports:
            painter.drawEllipse(QPointF(*camera.to_px(*port)), PORT_PX, PORT_PX)
        if marks.target:
            painter.setPen(QPen(self._danger if marks.refused else self._strong, 2.0))
            painter.setBrush(self._soft)
            painter.drawEllipse(QPointF(*camera.to_px(*marks.target)), TARGET_PX, TARGET_PX)

    def _line(self, painter: QPainter, camera: Camera, marks: Marks) -> None:
        if marks.line:
            pen = QPen(self._danger if marks.refused else self._strong, 2.0, Qt.PenStyle.DashLine)
            painter.setPen(pen)
            painter.drawPolyline(QPolygonF([QPointF(*camera.to_px(*point)) for point in marks.line]))

    def _handle(self, painter: QPainter, at: QPointF) -> None:
        painter.setPen(QPen(self._strong, 1.5))
        painter.setBrush(self._paper)
        painter.drawRect(QRectF(at.x() - HANDLE_PX, at.y() - HANDLE_PX, 2 * HANDLE_PX, 2 * HANDLE_PX))

    def _crosshair(self, painter: QPainter, camera: Camera, at: Point) -> None:
        x, y = camera.to_px(*at)
        painter.setPen(QPen(self._paper, 4.0))
        lines = [QLineF(x - CROSS_PX, y, x + CROSS_PX, y), QLineF(x, y - CROSS_PX, x, y + CROSS_PX)]
        painter.drawLines(lines)
        painter.setPen(QPen(self._strong, 2.0))
        painter.drawLines(lines)


def _rectangle(camera: Camera, box: Box) -> QRectF:
    return QRectF(QPointF(*camera.to_px(box[0], box[1])), QPointF(*camera.to_px(box[2], box[3])))

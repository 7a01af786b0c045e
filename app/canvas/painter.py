"""Display list -> QPainter: what the screen shows is what the PDF prints.

A dumb backend: it resolves colours and draws, and decides nothing; it knows no boat and no window. The painter it is
given must already map millimetres to its device. Glyphs stand at the advances that `engine.drawing.metrics` reads from
the font, so Qt's own shaping, kerning and hinting have no say in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple, get_args

from PySide6.QtCore import QByteArray, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QGlyphRun,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QRawFont,
)

from app.canvas.shelves import Shelves
from engine.drawing.display import Group, Image, Item, Path, Pen, Text, Weight
from engine.drawing.metrics import FAMILY, em_mm, font_bytes, font_metrics, text_box, text_width_mm
from engine.drawing.theme import Theme, colour

GLYPH_PX = 64.0
"""The size at which glyph runs are made; the painter's scale does the rest, so a zoom needs no new run."""

LARGEST_RUN_PX = 60.0
"""Above this em on the device letters are filled as outlines: from 64 on, Qt 6.11 draws nothing for a glyph run."""

LEGIBLE_PX = 3.0
"""Below this height of capitals on the device a text is left out, if leaving out is asked for."""

NO_PEN, NO_BRUSH = Qt.PenStyle.NoPen, Qt.BrushStyle.NoBrush

LONG = 500
"""Fewer items are looked through one by one."""


class _Made(NamedTuple):
    """What was made for an item: the item itself (so that its id stays its own), its box, and Qt's object for it."""

    item: Item
    box: QRectF
    drawn: QPainterPath | QGlyphRun | QImage | None


class ItemPainter:
    """Paints items in one theme and keeps the Qt objects it made for them, as items are immutable.

    `limit` bounds how many are kept; when it is passed, all are forgotten and made anew as needed. A list that is longer
    raises it to twice its length: it would be made anew for every frame.
    """

    def __init__(self, theme: Theme, limit: int = 50_000) -> None:
        self.theme = theme
        self._limit = self._most = limit
        self._made: dict[int, _Made] = {}
        self._letters: dict[int, QPainterPath] = {}
        self._pens: dict[tuple[Pen, float], QPen] = {}
        self._brushes: dict[str, QBrush] = {}
        self._colours: dict[str, QColor] = {}
        self._scale = 1.0
        self._painted: Iterable[Item] = ()
        self._shelves: Shelves | None = None
        self._fonts = {weight: raw_font(weight) for weight in get_args(Weight)}

    @property
    def kept(self) -> int:
        """How many items have their Qt objects kept."""
        return len(self._made)

    def paint(
        self,
        painter: QPainter,
        items: Iterable[Item],
        clip: QRectF | None = None,
        *,
        smallest_text_px: float = 0.0,
        thinnest_px: float = 0.0,
    ) -> None:
        """Draw the items. `clip` (mm) leaves out what lies outside it; texts whose capitals are lower than
        `smallest_text_px` on the device are left out; no stroke gets thinner than `thinnest_px` on the device.
        """
        scale = math.sqrt(abs(painter.deviceTransform().determinant())) or 1.0
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if len(self._made) > self._most:
            self._made.clear()
            self._letters.clear()
        self._scale, fresh = scale, not self._made
        self._draw(painter, self._near(items, clip), clip, smallest_text_px / scale, thinnest_px / scale)
        if fresh:
            self._most = max(self._limit, 2 * len(self._made))

    def _near(self, items: Iterable[Item], clip: QRectF | None) -> Iterable[Item]:
        """Those of the items that may be within the clip. Of a long list that is painted again (in a pan, say) it is kept
        where each lies."""
        if clip is None or not isinstance(items, tuple) or len(items) < LONG:
            return items
        if items is not self._painted:
            self._painted, self._shelves = items, None
            return items
        if self._shelves is None:
            self._shelves = Shelves([self._box(item) for item in items])
        numbers = self._shelves.near(clip)
        return items if numbers is None else [items[number] for number in numbers]

    def _draw(
        self, painter: QPainter, items: Iterable[Item], clip: QRectF | None, text_mm: float, pen_mm: float
    ) -> None:
        for item in items:
            made = self._made.get(id(item)) or self._make(item)
            if clip is not None and not clip.intersects(made.box):
                continue
            if isinstance(item, Path):
                self._draw_path(painter, item, made, pen_mm)
            elif isinstance(item, Text):
                if item.height_mm >= text_mm:
                    self._draw_text(painter, item, made)
            elif isinstance(item, Group):
                within = None if clip is None or clip.contains(made.box) else clip
                self._draw(painter, item.items, within, text_mm, pen_mm)
            elif isinstance(made.drawn, QImage):
                painter.drawImage(made.box, made.drawn)

    def _draw_path(self, painter: QPainter, path: Path, made: _Made, thinnest_mm: float) -> None:
        painter.setPen(self._pen(path.pen, thinnest_mm) if path.pen else NO_PEN)
        painter.setBrush(self._brush(path.fill) if path.fill else NO_BRUSH)
        if isinstance(made.drawn, QPainterPath):
            painter.drawPath(made.drawn)

    def _draw_text(self, painter: QPainter, text: Text, made: _Made) -> None:
        if not isinstance(made.drawn, QGlyphRun):
            return
        em, ink = em_mm(text.height_mm, text.weight), self._colour(text.colour)
        painter.save()
        painter.translate(text.x_mm, text.y_mm)
        painter.rotate(-text.angle_deg)
        painter.scale(em / GLYPH_PX, em / GLYPH_PX)
        if em * self._scale > LARGEST_RUN_PX:
            painter.fillPath(self._letters_of(text, made.drawn), ink)
        else:
            painter.setPen(ink)
            painter.drawGlyphRun(QPointF(0.0, 0.0), made.drawn)
        painter.restore()

    def _letters_of(self, text: Text, run: QGlyphRun) -> QPainterPath:
        if id(text) not in self._letters:
            self._letters[id(text)] = letters(run)
        return self._letters[id(text)]

    def _make(self, item: Item) -> _Made:
        made = self._made_for(item)
        self._made[id(item)] = made
        return made

    def _made_for(self, item: Item) -> _Made:
        match item:
            case Path():
                path = painter_path(item)
                return _Made(item, _grown(path.controlPointRect(), item.pen), path)
            case Text():
                return _Made(item, _rectangle(text_box(item)), glyph_run(item, self._fonts[item.weight]))
            case Image():
                box = QRectF(item.x_mm, item.y_mm, item.width_mm, item.height_mm)
                return _Made(item, box, QImage.fromData(QByteArray(item.png)))
        return _Made(item, self._around(item), None)

    def _around(self, group: Group) -> QRectF:
        box = QRectF()
        for item in group.items:
            box = box.united(self._box(item))
        return box

    def _box(self, item: Item) -> QRectF:
        return (self._made.get(id(item)) or self._make(item)).box

    def _pen(self, pen: Pen, thinnest_mm: float) -> QPen:
        key = (pen, thinnest_mm)
        if key not in self._pens:
            self._pens[key] = self._new_pen(pen, max(pen.width_mm, thinnest_mm))
        return self._pens[key]

    def _new_pen(self, pen: Pen, width_mm: float) -> QPen:
        made = QPen(QBrush(self._colour(pen.colour)), width_mm)
        made.setCapStyle(Qt.PenCapStyle.RoundCap)
        made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if pen.dash_mm:
            made.setDashPattern(dash_pattern(pen.dash_mm, width_mm))
        return made

    def _brush(self, name: str) -> QBrush:
        if name not in self._brushes:
            self._brushes[name] = QBrush(self._colour(name))
        return self._brushes[name]

    def _colour(self, name: str) -> QColor:
        if name not in self._colours:
            self._colours[name] = QColor(colour(self.theme, name))
        return self._colours[name]


def paint(painter: QPainter, items: Iterable[Item], theme: Theme, clip: QRectF | None = None) -> None:
    """Draw the items once, without keeping anything for the next time."""
    ItemPainter(theme).paint(painter, items, clip)


def painter_path(path: Path) -> QPainterPath:
    """The outline as Qt has it."""
    made = QPainterPath()
    for verb, values in path.outline:
        match verb:
            case "M":
                made.moveTo(*values)
            case "L":
                made.lineTo(*values)
            case "C":
                made.cubicTo(*values)
            case _:
                made.closeSubpath()
    return made


def glyph_run(text: Text, font: QRawFont) -> QGlyphRun:
    """The text's glyphs, each at its place along the base line, in units of GLYPH_PX to the em."""
    advances, missing = font_metrics(text.weight).advances, font_metrics(text.weight).missing_advance
    width = text_width_mm(text.string, 1.0, text.weight) / em_mm(1.0, text.weight)
    x = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    positions = []
    for character in text.string:
        positions.append(QPointF(x * GLYPH_PX, 0.0))
        x += advances.get(ord(character), missing)
    run = QGlyphRun()
    run.setRawFont(font)
    run.setGlyphIndexes([glyph for character in text.string for glyph in font.glyphIndexesForString(character)[:1]])
    run.setPositions(positions)
    return run


def letters(run: QGlyphRun) -> QPainterPath:
    """The outlines of a run's letters, in the units of the run."""
    font, path = run.rawFont(), QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    for glyph, place in zip(run.glyphIndexes(), run.positions(), strict=True):
        path.addPath(font.pathForGlyph(glyph).translated(place))
    return path


def raw_font(weight: Weight = "regular") -> QRawFont:
    """The bundled font for glyph runs, unhinted."""
    return QRawFont(QByteArray(font_bytes(weight)), GLYPH_PX, QFont.HintingPreference.PreferNoHinting)


def font(weight: Weight = "regular", height_mm: float = 2.5, px_per_mm: float = 1.0) -> QFont:
    """A font for editors over the sheet: capitals height_mm high, no kerning, no hinting, no other family mixed in."""
    made = QFont(FAMILY)
    made.setWeight(QFont.Weight.Bold if weight == "bold" else QFont.Weight.Normal)
    made.setPixelSize(max(1, round(em_mm(height_mm, weight) * px_per_mm)))
    made.setKerning(False)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    made.setStyleStrategy(QFont.StyleStrategy.NoFontMerging)
    return made


def dash_pattern(dash_mm: Sequence[float], width_mm: float) -> list[float]:
    """Dash lengths as Qt wants them: in widths of the pen, an even number of them."""
    lengths = [max(length, 0.001) / width_mm for length in dash_mm]
    return lengths * 2 if len(lengths) % 2 else lengths


def _rectangle(box: tuple[float, float, float, float]) -> QRectF:
    return QRectF(QPointF(box[0], box[1]), QPointF(box[2], box[3]))


def _grown(box: QRectF, pen: Pen | None) -> QRectF:
    """Never empty, as an empty rectangle intersects nothing."""
    by = pen.width_mm / 2 if pen else 0.0
    return box.adjusted(-by - 0.01, -by - 0.01, by + 0.01, by + 0.01)

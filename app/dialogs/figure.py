"""A figure in a window: a display list made for the room there is, and made again when that changes. And a label that wraps."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.canvas.painter import ItemPainter
from engine.drawing.display import Item
from engine.drawing.theme import DARK, PAPER

Make = Callable[[float, float], tuple[Item, ...]]
"""The figure for so many millimetres across and down."""

PX_PER_MM = 4.2
"""At which the figure's letters have the size of the window's."""
MARGIN_MM = (2.0, 1.0)


class Figure(QWidget):
    """As large as there is room. `items` is what is shown."""

    def __init__(self, name: str, least: QSize, dark: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.items: tuple[Item, ...] = ()
        self._make: Make | None = None
        self._made_for: tuple[Make | None, QSize] = (None, QSize())
        self._theme = DARK if dark else PAPER
        self._painter = ItemPainter(self._theme)
        self.setMinimumSize(least)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(name)

    def show_figure(self, make: Make | None, told: str) -> None:
        """This figure; None: none. `told` is what it says, for who cannot see it."""
        self._make = make
        self.setAccessibleDescription(told)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:  # noqa: N802
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self._theme.colours["paper"]))
        painter.scale(PX_PER_MM, PX_PER_MM)
        self._painter.paint(painter, self._fitted())
        painter.end()

    def _fitted(self) -> tuple[Item, ...]:
        wanted = (self._make, self.size())
        if wanted != self._made_for:
            self._made_for = wanted
            across, down = (side / PX_PER_MM for side in (self.width(), self.height()))
            self.items = self._make(across - MARGIN_MM[0], down - MARGIN_MM[1]) if self._make else ()
        return self.items


def wrapped_label(parent: QWidget, text: str = "", kind: str = "") -> QLabel:
    """A label that wraps and can be copied from; `kind` is its name in the stylesheet."""
    label = QLabel(text, parent)
    label.setObjectName(kind)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label

"""A view on the small boat with a hand: presses, drags and keys at millimetres of the sheet, as real events."""

from __future__ import annotations

from functools import cache

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.canvas.view import View
from app.selection import Selection
from app.store import Store
from engine.drawing.sheet import Draughtsman
from engine.library.symbol import Symbol, load_symbols
from engine.model.document import Document
from engine.model.edits.arranging import add_note
from tests.model.boats import SHEET, library, port_names, small_boat

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
Point = tuple[float, float]


@cache
def symbols() -> dict[str, Symbol]:
    return dict(load_symbols())


class Stage:
    """Store, selection and view, and what was said."""

    def __init__(self, qtbot: QtBot, document: Document) -> None:
        self.store, self.selection = Store(document, port_names), Selection()
        self.view = View(self.store, self.selection, library(), Draughtsman(library(), symbols()), SHEET)
        qtbot.addWidget(self.view)
        self.said: list[str] = []
        self.refused: list[str] = []
        self.view.status.connect(self.said.append)
        self.store.refused.connect(self.refused.append)
        self.view.resize(1200, 850)
        self.view.show()
        self.view.fit()
        self.view.setFocus()

    @property
    def document(self) -> Document:
        return self.store.document

    def port(self, part: str, port: str) -> Point:
        spot = self.view.bench.drawing.ports[(part, port)]
        return spot.x_mm, spot.y_mm

    def middle(self, key: str) -> Point:
        left, top, right, bottom = self.view.bench.drawing.boxes[key]
        return (left + right) / 2, (top + bottom) / 2

    def place(self, part: str) -> Point:
        sheet = self.view.bench.sheet
        return next((place.x_mm, place.y_mm) for place in sheet.places if place.part == part)

    def px(self, at: Point) -> QPoint:
        x, y = self.view.camera.to_px(*at)
        return QPoint(round(x), round(y))

    def hover(self, at: Point) -> None:
        QTest.mouseMove(self.view, self.px(at))

    def click(self, at: Point, keys: Qt.KeyboardModifier = NONE) -> None:
        self.hover(at)
        QTest.mouseClick(self.view, LEFT, keys, self.px(at))

    def press(self, at: Point, keys: Qt.KeyboardModifier = NONE) -> None:
        self.hover(at)
        QTest.mousePress(self.view, LEFT, keys, self.px(at))

    def drag(self, *way: Point, keys: Qt.KeyboardModifier = NONE) -> None:
        self.press(way[0], keys)
        for at in way[1:]:
            self.hover(at)
        QTest.mouseRelease(self.view, LEFT, keys, self.px(way[-1]))

    def type(self, *keys: Qt.Key, held: Qt.KeyboardModifier = NONE) -> None:
        for key in keys:
            QTest.keyClick(self.view, key, held)


def boat_with_note() -> Document:
    return add_note(small_boat(), SHEET, 60, 200, "Battery locker")

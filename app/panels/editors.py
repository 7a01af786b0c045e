"""The widgets one fills a field in with: a line that judges while one types, a choice.

A field editor shows a text, says whether it can be taken, and sends what was entered. Knows fields; no document.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QComboBox, QCompleter, QLineEdit, QWidget

from app.panels.fields import Field
from app.reading import SEVERAL, UNKNOWN, FieldRefusedError, read
from engine.messages import tr
from engine.units import World


class Line(QLineEdit):
    """A line of text for a field. Wrong text stays, framed, its reason in `problem`; Escape brings back the old."""

    entered = Signal(str)
    problem = Signal(str)

    def __init__(self, field: Field, world: World, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field, self.world = field, world
        self._shown = ""
        self.setAccessibleName(field.title)
        self.setAccessibleDescription(field.about)
        if field.type == "names":
            self.setCompleter(_completer([title for _, title in field.choices], self))
        self.textEdited.connect(self._judge)
        self.editingFinished.connect(self._enter)

    def show_text(self, text: str, unknown: bool, several: bool = False) -> None:
        """Show what the record says, unless something else is being typed."""
        if self.hasFocus() and self.isModified():
            return
        self._shown = "" if several or unknown else text
        self.setText(self._shown)
        self.setCursorPosition(0)
        self.setPlaceholderText(SEVERAL if several else UNKNOWN if unknown else "")
        self._mark("state", "unknown" if unknown else "known")
        self._say("")

    @property
    def wrong(self) -> bool:
        """Whether the text cannot be taken."""
        return bool(self.property("wrong") == "true")

    def _judge(self) -> None:
        try:
            read(self.field, self.text(), self.world)
        except FieldRefusedError as error:
            self._say(str(error))
        else:
            self._say("")

    def _say(self, why: str) -> None:
        self._mark("wrong", "true" if why else "false")
        self.problem.emit(why)

    def _mark(self, name: str, value: str) -> None:
        if self.property(name) != value:
            self.setProperty(name, value)
            self.style().unpolish(self)
            self.style().polish(self)

    def _enter(self) -> None:
        if not self.isModified():
            return
        self._judge()
        if self.wrong:
            return
        self.setModified(False)
        if self.text() != self._shown:
            self.entered.emit(self.text())

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self.setModified(False)
            self.setText(self._shown)
            self._say("")
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.selectAll()


def _completer(words: Sequence[str], parent: QWidget) -> QCompleter:
    completer = QCompleter(list(words), parent)
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    return completer


class Choice(QComboBox):
    """A box to choose from. Turning the wheel over it scrolls the form and never changes what the boat is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(self.palette().color(self.foregroundRole()), 1.4)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        x, y = self.width() - 12.0, self.height() / 2 + 1.5
        painter.drawPolyline([QPointF(x - 3.5, y - 3), QPointF(x, y + 0.5), QPointF(x + 3.5, y - 3)])
        painter.end()


class FieldChoice(Choice):
    """A choice for a field: its choices and, where nothing need be known, a query."""

    entered = Signal(str)
    problem = Signal(str)

    def __init__(self, field: Field, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self.wrong = False
        self.setAccessibleName(field.title)
        self.setAccessibleDescription(field.about)
        for text in choice_texts(field):
            self.addItem(text)
        self.activated.connect(lambda _index: self.entered.emit(self.currentText()))

    def show_text(self, text: str, _unknown: bool, several: bool = False) -> None:
        """Show what the record says; a value that is none of the choices is added, so that nothing is hidden."""
        wanted = SEVERAL if several else text or choice_texts(self.field)[0]
        if self.findText(wanted) < 0:
            self.addItem(wanted)
        self.setCurrentIndex(self.findText(wanted))


def choice_texts(field: Field) -> list[str]:
    """What stands in the box of a field."""
    texts = [tr("yes"), tr("no")] if field.type == "flag" else [title for _, title in field.choices]
    return [field.none, *texts] if field.optional else texts


Editor = Line | FieldChoice


def editor_for(field: Field, world: World, parent: QWidget | None = None) -> Editor:
    """The widget for a field."""
    return FieldChoice(field, parent) if field.type in ("choice", "flag") else Line(field, world, parent)

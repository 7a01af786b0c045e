"""One row of the form: the field's title, its editor, how it is known, and why a text cannot be taken."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QToolButton, QWidget

from app.panels.editors import Line, editor_for
from app.panels.evidence import Statements, known_sign, known_text
from app.panels.fields import Field
from app.reading import FieldRefusedError, is_unknown, read, shown, tip
from engine.messages import tr
from engine.model.network import Evidence
from engine.units import World

TITLE_WIDTH = 124


class FieldRow(QWidget):
    """`entered` carries the value that was filled in, `stated` all the statements of how it is known."""

    entered = Signal(object)
    stated = Signal(object)

    def __init__(self, field: Field, world: World, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field, self.world = field, world
        self.editor = editor_for(field, world, self)
        self.known = QToolButton(self)
        self.why = QLabel(self)
        self.statements = Statements(field, world, self)
        self._lay_out()
        self.editor.entered.connect(self._enter)
        self.editor.problem.connect(self._say)
        self.statements.stated.connect(self.stated)
        self.known.toggled.connect(self._open)

    def _lay_out(self) -> None:
        title = QLabel(self.field.title, self)
        title.setFixedWidth(TITLE_WIDTH)
        title.setWordWrap(True)
        title.setBuddy(self.editor)
        title.setToolTip(self.field.about)
        self.why.setObjectName("problem")
        self.why.setWordWrap(True)
        self.why.hide()
        self.statements.hide()
        self.known.setObjectName("quiet")
        self.known.setCheckable(True)
        self.known.setFixedWidth(26)
        self.known.setVisible(self.field.evidence)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(2)
        grid.addWidget(title, 0, 0)
        grid.addWidget(self.editor, 0, 1)
        grid.addWidget(self.known, 0, 2)
        grid.addWidget(self.why, 1, 1, 1, 2)
        grid.addWidget(self.statements, 2, 0, 1, 3)
        grid.setColumnStretch(1, 1)

    def show_value(self, value: Any, world: World, several: bool = False) -> None:
        """Show what the record says."""
        self.world = world
        if isinstance(self.editor, Line):
            self.editor.world = world
        unknown = is_unknown(value) and not several
        quiet = self.field.type in ("text", "long", "names") or self.field.key in ("compartment", "enclosure", "option")
        text = shown(self.field, value, world)
        self.editor.show_text(
            "" if quiet and unknown and isinstance(self.editor, Line) else text, unknown and not quiet, several
        )
        self.editor.setToolTip(tip(self.field, value, world))

    def show_evidence(self, evidence: tuple[Evidence, ...]) -> None:
        """Show how it is known: the first letter of the kind, the number of statements where there are more."""
        self.statements.show_statements(evidence, self.world)
        self.known.setText(known_sign(evidence))
        self.known.setToolTip(known_text(self.field, evidence, self.world))
        self.known.setAccessibleName(tr("How {field} is known").format(field=self.field.title))
        self.known.setAccessibleDescription(self.known.toolTip())

    def _enter(self, text: str) -> None:
        try:
            self.entered.emit(read(self.field, text, self.world))
        except FieldRefusedError as error:
            self._say(str(error))

    def _say(self, why: str) -> None:
        self.why.setText(why)
        self.why.setVisible(bool(why))
        self.editor.setAccessibleDescription(why or self.field.about)

    def _open(self, opened: bool) -> None:
        self.statements.setVisible(opened)

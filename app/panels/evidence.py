"""How a field is known: one block for each statement (what kind, what it says, by whom, when), opened under the field.

Statements that contradict each other are all kept; a finding says that they do.
"""

from __future__ import annotations

from typing import Any

import msgspec
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLineEdit, QToolButton, QVBoxLayout, QWidget

from app.panels.editors import Choice
from app.panels.fields import Field
from app.reading import FieldRefusedError, is_unknown, read, shown
from engine.messages import tr
from engine.model.network import Evidence, EvidenceKind
from engine.units import World

KINDS: tuple[EvidenceKind, ...] = ("design", "nameplate", "label", "traced", "measured", "assumed")
NOTHING = "○"


def kind_word(kind: str) -> str:
    """What a person reads for a kind of evidence."""
    words = {
        "design": tr("design"),
        "nameplate": tr("nameplate"),
        "label": tr("label"),
        "traced": tr("traced"),
        "measured": tr("measured"),
        "assumed": tr("assumed"),
    }
    return words[kind]


def known_sign(evidence: tuple[Evidence, ...]) -> str:
    """The sign beside the field: the kind's first letter, with the number of statements where there are more."""
    if not evidence:
        return NOTHING
    letter = kind_word(evidence[-1].kind)[0].upper()
    return letter if len(evidence) == 1 else f"{letter}{len(evidence)}"


def known_text(field: Field, evidence: tuple[Evidence, ...], world: World) -> str:
    """The statements in words."""
    if not evidence:
        return tr("Not said how this is known. Click to say it.")
    return "\n".join(_statement_text(field, one, world) for one in evidence)


def _statement_text(field: Field, one: Evidence, world: World) -> str:
    says = "" if is_unknown(one.value) else _says(field, one.value, world)
    return " · ".join(text for text in (kind_word(one.kind), says, one.by, one.date, one.note) if text)


def _says(field: Field, value: Any, world: World) -> str:
    """What a statement says; lists are kept as text in a statement."""
    return str(value) if isinstance(value, str) else shown(field, value, world)


class Statements(QWidget):
    """All statements about a field, and an empty block for one more."""

    stated = Signal(object)

    def __init__(self, field: Field, world: World, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field, self.world = field, world
        self.evidence: tuple[Evidence, ...] | None = None
        self.blocks: list[StatementBlock] = []
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(14, 2, 0, 6)
        self._box.setSpacing(4)

    def show_statements(self, evidence: tuple[Evidence, ...], world: World) -> None:
        """Show these, unless they are the ones shown."""
        if evidence == self.evidence and world == self.world:
            return
        self.evidence, self.world = evidence, world
        for old in self.blocks:
            self._box.removeWidget(old)
            old.deleteLater()
        self.blocks = []
        if not self.isHidden():
            self._fill()

    def showEvent(self, event: Any) -> None:  # noqa: N802
        super().showEvent(event)
        self._fill()

    def _fill(self) -> None:
        """Blocks are made when they are first seen: a form of forty fields has none of them open."""
        if self.blocks:
            return
        for number, one in enumerate((*(self.evidence or ()), None)):
            block = StatementBlock(self.field, one, self.world, self)
            block.changed.connect(lambda new, at=number: self._changed(at, new))
            self.blocks.append(block)
            self._box.addWidget(block)

    def _changed(self, at: int, new: Evidence | None) -> None:
        kept = list(self.evidence or ())
        if new is None:
            kept = kept[:at] + kept[at + 1 :]
        elif at < len(kept):
            kept[at] = new
        else:
            kept.append(new)
        self.stated.emit(tuple(kept))


class StatementBlock(QWidget):
    """One statement; `changed` carries it anew, or None when it is taken away."""

    changed = Signal(object)

    def __init__(self, field: Field, statement: Evidence | None, world: World, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field, self.statement, self.world = field, statement, world
        self.kind = Choice(self)
        self.kind.addItems([tr("how known …") if statement is None else "", *(kind_word(kind) for kind in KINDS)])
        self.kind.setAccessibleName(tr("How it is known"))
        self.says, self.by, self.date = (QLineEdit(self) for _ in range(3))
        for line, hint in ((self.says, tr("what it says")), (self.by, tr("by")), (self.date, tr("date"))):
            line.setPlaceholderText(hint)
            line.setAccessibleName(hint)
            line.editingFinished.connect(self._enter)
        self.kind.activated.connect(lambda _at: self._enter())
        self._lay_out()
        if statement is not None:
            self._fill(statement)

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(3)
        grid.addWidget(self.kind, 0, 0)
        grid.addWidget(self.says, 0, 1)
        grid.addWidget(self.by, 1, 0)
        grid.addWidget(self.date, 1, 1)
        away = QToolButton(self)
        away.setObjectName("quiet")
        away.setText("✗")
        away.setToolTip(tr("Take this statement away"))
        away.setAccessibleName(away.toolTip())
        away.setVisible(self.statement is not None)
        away.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        away.clicked.connect(lambda: self.changed.emit(None))
        grid.addWidget(away, 0, 2)
        for line in (self.says, self.by, self.date):
            line.setEnabled(self.statement is not None)

    def _fill(self, statement: Evidence) -> None:
        self.kind.setCurrentIndex(KINDS.index(statement.kind) + 1)
        self.says.setText(self._shown_value(statement))
        self.by.setText(statement.by)
        self.date.setText(statement.date)

    def _shown_value(self, statement: Evidence) -> str:
        return "" if is_unknown(statement.value) else _says(self.field, statement.value, self.world)

    def _enter(self) -> None:
        if self.kind.currentIndex() < 1:
            return
        old = self.statement or Evidence(kind="assumed")
        kind = KINDS[self.kind.currentIndex() - 1]
        try:
            value = self._value()
        except FieldRefusedError as error:
            self.says.setProperty("wrong", "true")
            self.says.setToolTip(str(error))
            self.says.style().polish(self.says)
            return
        new = msgspec.structs.replace(
            old, kind=kind, value=value, by=self.by.text().strip(), date=self.date.text().strip()
        )
        if new != self.statement:
            self.changed.emit(new)

    def _value(self) -> Any:
        """As it was where the text is as it was shown: shown numbers are rounded. Lists are kept as text."""
        if self.statement is not None and self.says.text() == self._shown_value(self.statement):
            return self.statement.value
        if not self.says.text().strip():
            return None
        value = read(self.field, self.says.text(), self.world)
        return ", ".join(value) if self.field.type in ("codes", "names") else value

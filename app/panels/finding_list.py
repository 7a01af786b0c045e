"""The list of findings as a Qt model: mark, number, what it is about, the sentence, the rulebook."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

import msgspec
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, QSize, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from app.marks import SEVERITIES, Severity, mark_icon, severity_word
from engine.graph.boat import Boat
from engine.messages import tr
from engine.pipeline import Analysis
from engine.rules.api import Book, Finding
from engine.rules.wording import sentence, subject_text

Index = QModelIndex | QPersistentModelIndex
FINDING_ROLE = Qt.ItemDataRole.UserRole


class ShownFinding(msgspec.Struct, frozen=True):
    """A finding with its number in the list. Its texts are made when they are asked for: a list shows but a few."""

    number: int
    severity: Severity
    finding: Finding
    boat: Boat

    @property
    def about(self) -> str:
        """The name of what it is about."""
        return subject_text(self.finding, self.boat)

    @property
    def sentence(self) -> str:
        """The finding in one sentence; first of all that it was left as it is."""
        told = sentence(self.finding, self.boat)
        return tr("Left as it is: {sentence}").format(sentence=told) if self.finding.settled else told

    @property
    def identity(self) -> tuple[Any, ...]:
        """The same finding before and after an edit: same rule, rulebook, code and things."""
        outcome = self.finding.outcome
        return (self.finding.rule.id, self.finding.book, outcome.code, outcome.subjects)

    @property
    def keys(self) -> tuple[str, ...]:
        """What is to be shown on the sheet, in order and each once."""
        return tuple(dict.fromkeys((*self.finding.outcome.subjects, *self.finding.outcome.path)))


def shown_severity(finding: Finding) -> Severity:
    """The mark of a finding: what cannot be told has its own."""
    return "unknown" if finding.outcome.verdict == "cannot-tell" else finding.severity


def shown_findings(analysis: Analysis) -> tuple[ShownFinding, ...]:
    """The findings of an analysis, numbered from 1 in their order."""
    return tuple(
        ShownFinding(number, shown_severity(one), one, analysis.boat) for number, one in enumerate(analysis.findings, 1)
    )


def book_word(book: Book) -> str:
    """The rulebook in short."""
    words = {"33cfr183": "33 CFR 183", "e11": "E-11", "iso13297": "ISO 13297", "any": tr("all")}
    return words[book]


class Wrapped(QStyledItemDelegate):
    """The sentence on two lines, the rest of it left to the text beside the list."""

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:  # noqa: N802
        super().initStyleOption(option, index)
        option.features |= QStyleOptionViewItem.ViewItemFeature.WrapText
        option.displayAlignment = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: N802
        return QSize(100, 2 * option.fontMetrics.lineSpacing() + 6)


class FindingList(QAbstractTableModel):
    """The findings of the severities that are let through."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.all: tuple[ShownFinding, ...] = ()
        self.rows: tuple[ShownFinding, ...] = ()
        self._let: Collection[Severity] = SEVERITIES
        self._icons: dict[Severity, QIcon] = {}

    def set_dark(self, dark: bool) -> None:
        """Marks in the colours of the theme."""
        self._icons = {severity: mark_icon(severity, dark) for severity in SEVERITIES}
        if self.rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self.rows) - 1, 0))

    def show(self, findings: tuple[ShownFinding, ...]) -> None:
        """These findings."""
        self.all = findings
        self._refill()

    def only(self, severities: Collection[Severity]) -> None:
        """Let these severities through."""
        self._let = severities
        self._refill()

    def _refill(self) -> None:
        rows = tuple(one for one in self.all if one.severity in self._let)
        if rows != self.rows:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()

    def counts(self) -> dict[Severity, int]:
        """How many there are of each severity, let through or not; what was left as it is does not count."""
        counted = [one.severity for one in self.all if not one.finding.settled]
        return {severity: counted.count(severity) for severity in SEVERITIES}

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: N802, B008
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: N802, B008
        return 0 if parent.isValid() else 4

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # noqa: N802
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return (tr("No."), tr("About"), tr("Finding"), tr("Rules"))[section]
        return None

    @staticmethod
    def _text(one: ShownFinding, column: int) -> str:
        if column == 0:
            return str(one.number)
        if column == 1:
            return one.about
        return one.sentence if column == 2 else book_word(one.finding.book)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        one = self.rows[index.row()]
        if role == FINDING_ROLE:
            return one
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(one, index.column())
        if role == Qt.ItemDataRole.DecorationRole and index.column() == 0:
            return self._icons.get(one.severity)
        if role == Qt.ItemDataRole.ToolTipRole:
            return one.sentence
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{severity_word(one.severity)}: {one.about}. {one.sentence}"
        return None

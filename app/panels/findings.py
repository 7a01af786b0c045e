"""The Findings dock: what the checks say, most serious first; beside it the sum, the clause and the remedy of one.

Knows findings and their wording; no rule and no sheet. `sought` carries a finding that is to be shown on the sheet.
"""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QSplitter,
    QToolButton,
    QTreeView,
    QVBoxLayout,
    QWidget,
)

from app.marks import SEVERITIES, Severity, mark_icon, severity_word
from app.panels.finding_list import FINDING_ROLE, FindingList, ShownFinding, Wrapped, shown_findings
from app.panels.finding_remedies import RemedyList
from app.panels.finding_text import FindingText
from engine.messages import tr
from engine.pipeline import Analysis

WIDTHS = (58, 128, 300, 84)
"""Of the columns, pixels; the sentence takes what is left."""
SHARES = (5, 3, 3)
"""Of the list, the text of the finding and its remedies."""


class FindingsPanel(QWidget):
    """The list with its filters, and the detail of the finding that is picked."""

    sought = Signal(object)
    """The ShownFinding that a person picked; None: none any more."""
    shown = Signal(object)
    """The ShownFinding in front, picked by whom ever; None: none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = FindingList(self)
        self.list, self.text, self.summary = QTreeView(self), FindingText(self), QLabel(self)
        self.remedies = RemedyList(self)
        self.filters = {severity: self._filter_button(severity) for severity in SEVERITIES}
        self.dark = False
        self._filling = False
        self._analysis: Analysis | None = None
        self._lay_out()
        self.list.selectionModel().currentChanged.connect(self._picked)
        self.list.activated.connect(self._picked)
        self.list.clicked.connect(self._picked)
        self.text.placeholder(tr("No check has run yet."))

    def _filter_button(self, severity: Severity) -> QToolButton:
        button = QToolButton(self)
        button.setObjectName("filter")
        button.setCheckable(True)
        button.setChecked(True)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setAccessibleName(tr("Show findings: {severity}").format(severity=severity_word(severity)))
        button.toggled.connect(self._refilter)
        return button

    def _lay_out(self) -> None:
        self.list.setModel(self.model)
        self.list.setAccessibleName(tr("Findings"))
        self.list.setRootIsDecorated(False)
        self.list.setUniformRowHeights(True)
        self.list.setAllColumnsShowFocus(True)
        self.list.setIconSize(QSize(16, 16))
        header = self.list.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        for column, width in enumerate(WIDTHS):
            self.list.setColumnWidth(column, width)
        self.list.setItemDelegateForColumn(2, Wrapped(self.list))
        self.list.setVerticalScrollMode(QTreeView.ScrollMode.ScrollPerPixel)
        self.list.setMinimumWidth(300)
        self.summary.setObjectName("soft")
        self.summary.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        top = QHBoxLayout()
        top.setContentsMargins(8, 4, 10, 4)
        top.setSpacing(4)
        for button in self.filters.values():
            top.addWidget(button)
        top.addSpacing(10)
        top.addWidget(self.summary, 1)
        scroller = QScrollArea(self)
        scroller.setWidgetResizable(True)
        scroller.setWidget(self.text)
        scroller.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroller.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        split = QSplitter(Qt.Orientation.Horizontal, self)
        split.addWidget(self.list)
        split.addWidget(scroller)
        split.addWidget(self.remedies)
        for at, share in enumerate(SHARES):
            split.setStretchFactor(at, share)
        split.setSizes([100 * share for share in SHARES])
        split.setChildrenCollapsible(False)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addLayout(top)
        box.addWidget(split, 1)

    def set_dark(self, dark: bool) -> None:
        """Marks in the colours of the theme."""
        self.dark = dark
        for severity, button in self.filters.items():
            button.setIcon(mark_icon(severity, dark))
        self.model.set_dark(dark)
        self.text.dark = dark
        self.text.again()

    def show_analysis(self, analysis: Analysis) -> None:
        """Show what an analysis found; the finding that was picked stays picked while it is there."""
        kept = self.current()
        self._analysis = analysis
        self._filling = True
        self.model.show(shown_findings(analysis))
        self._count()
        self._refilter()
        self._filling = False
        again = next((row for row, one in enumerate(self.model.rows) if kept and one.identity == kept.identity), -1)
        self._select(again)
        self.summary.setText(summary_text(analysis))
        self.summary.setToolTip(self.summary.text())
        if again < 0 and kept:
            self.sought.emit(None)

    def _count(self) -> None:
        counts = self.model.counts()
        for severity, button in self.filters.items():
            button.setText(f"{counts[severity]} {severity_word(severity)}")

    def _refilter(self) -> None:
        self.model.only({severity for severity, button in self.filters.items() if button.isChecked()})
        if not self._filling:
            self._select(-1)
            self.sought.emit(None)

    def _select(self, row: int) -> None:
        self._filling = True
        index = self.model.index(row, 0) if row >= 0 else QModelIndex()
        flags = QItemSelectionModel.SelectionFlag
        self.list.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)
        self._filling = False
        self._show(self.current())

    def current(self) -> ShownFinding | None:
        """The finding that is picked."""
        found = self.list.currentIndex().data(FINDING_ROLE)
        return found if isinstance(found, ShownFinding) else None

    def step(self, by: int) -> ShownFinding | None:
        """Pick the next or the previous one, round the list; None where there is none."""
        rows = self.model.rowCount()
        if not rows:
            return None
        now = self.list.currentIndex()
        at = (now.row() + by) % rows if now.isValid() else (0 if by > 0 else rows - 1)
        self._select(at)
        self.sought.emit(self.current())
        return self.current()

    def _picked(self, index: QModelIndex, _old: QModelIndex | None = None) -> None:
        if not self._filling and index.isValid():
            self._show(self.current())
            self.sought.emit(self.current())

    def _show(self, finding: ShownFinding | None) -> None:
        self._tell(finding)
        self.shown.emit(finding)

    def _tell(self, finding: ShownFinding | None) -> None:
        if finding and self._analysis:
            self.text.show_finding(finding, self._analysis)
        elif self.model.rows:
            self.text.placeholder(tr("Pick a finding to see its sum, its clause and its remedy."))
        else:
            self.text.placeholder(self._nothing_text())

    def _nothing_text(self) -> str:
        if self._analysis is None:
            return tr("No check has run yet.")
        if not self._analysis.report.checks:
            return tr("Nothing could be checked yet: draw batteries, protection, runs and loads.")
        return tr("None of the checks that ran found anything. They check a drawing, not a boat.")

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if event.key() == Qt.Key.Key_Escape:
            self._select(-1)
            self.sought.emit(None)
            return
        super().keyPressEvent(event)


def summary_text(analysis: Analysis) -> str:
    """How much was checked: never "no findings" where checks could not run."""
    report = analysis.report
    return tr("{checks} checks ran · {met} met · {none} rules not applicable").format(
        checks=report.checks, met=report.meets, none=len(report.not_applicable)
    )

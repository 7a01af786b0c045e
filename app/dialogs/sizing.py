"""Size the boat: what of it, the changes proposed with their reasons, findings before and after; taken as one step."""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QProgressBar,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.sizing_work import SizingWork
from app.panels.editors import Choice
from engine.messages import counted, tr
from engine.model.document import Document
from engine.model.network import Network
from engine.remedies.sizing import Sizing, Wish, sums, texts

if TYPE_CHECKING:
    from app.workbench import Workbench


class SizingDialog(QDialog):
    """A proposal for the boat as it was when it was asked for."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Size the boat"))
        self.resize(860, 640)
        self.bench, self.work = bench, SizingWork(self)
        self.sizing: Sizing | None = None
        self.scope, self.keep = Choice(self), QCheckBox(tr("Never make a conductor thinner"), self)
        self.table, self.progress, self.said = QTableWidget(0, 2, self), QProgressBar(self), QLabel(self)
        self.propose, self.stop = QPushButton(tr("Propose"), self), QPushButton(tr("Stop"), self)
        self.take = QPushButton(tr("Take the changes"), self)
        self._lay_out()
        self._fill()
        self._join()

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        box.setContentsMargins(22, 18, 22, 16)
        box.setSpacing(8)
        row = QHBoxLayout()
        row.addWidget(QLabel(tr("What may be changed"), self))
        for widget in (self.scope, self.keep):
            row.addWidget(widget)
        row.addStretch(1)
        row.addWidget(self.propose)
        box.addLayout(row)
        self._lay_out_table()
        box.addWidget(self.table, 1)
        box.addWidget(self.progress)
        self.said.setWordWrap(True)
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        box.addWidget(self.said)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.stop)
        foot.addWidget(self.take)
        box.addLayout(foot)

    def _lay_out_table(self) -> None:
        self.table.setHorizontalHeaderLabels([tr("Change"), tr("Because")])
        self.table.setAccessibleName(tr("Proposed changes"))
        self.table.setWordWrap(True)
        self.table.setShowGrid(False)
        self.table.setAlternatingRowColors(True)
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.table.verticalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignCenter)
        header = self.table.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        header.sectionResized.connect(self._fit_rows, Qt.ConnectionType.QueuedConnection)
        self.table.setColumnWidth(0, 240)
        self.table.setVerticalScrollBarPolicy(
            Qt.ScrollBarPolicy.ScrollBarAlwaysOn
        )  # so that lines break where they will
        self.scope.setMinimumWidth(190)

    def _fill(self) -> None:
        count = len(self._selected())
        self.scope.setAccessibleName(tr("What may be changed"))
        self.scope.addItem(tr("The whole boat"))
        if count:
            self.scope.addItem(tr("What is selected ({count})").format(count=count))
        self.keep.setChecked(True)
        self.propose.setDefault(True)
        self.take.setEnabled(False)
        self._show_working(False)
        self.said.setText(
            tr("Smaller devices first, then thicker conductors, from the sizes in stock; as little as possible.")
        )

    def _selected(self) -> frozenset[str]:
        keys = (key.replace("position:", "part:").partition("/")[0] for key in self.bench.selection.keys)
        return frozenset(key for key in keys if key.startswith(("part:", "run:")))

    def _join(self) -> None:
        self.propose.clicked.connect(self.begin)
        self.stop.clicked.connect(self.work.stop)
        self.take.clicked.connect(self.take_changes)
        self.work.found.connect(self._count)
        self.work.ended.connect(self._ended)

    def begin(self) -> None:
        """Propose, for the boat as it is now."""
        only = self._selected() if self.scope.currentIndex() == 1 else None
        self.table.setRowCount(0)
        self.take.setEnabled(False)
        self._show_working(True)
        wish = Wish(only=only, thinner=not self.keep.isChecked())
        self.work.start(self.bench.store.document, self.bench.library, wish)

    def _show_working(self, working: bool) -> None:
        self.progress.setRange(0, 0)
        self.progress.setVisible(working)
        self.stop.setVisible(working)
        self.propose.setEnabled(not working)

    def _count(self, changes: int) -> None:
        self.said.setText(counted("1 change so far …", "{count} changes so far …", changes))

    def _ended(self, sizing: Sizing | None) -> None:
        self._show_working(False)
        self.sizing = sizing
        if sizing is None:
            self.said.setText(tr("The sizing failed inside the program. Nothing was changed."))
            return
        self.table.setRowCount(len(sizing.changes))
        for row, (what, change) in enumerate(zip(texts(sizing), sizing.changes, strict=True)):
            self.table.setItem(row, 0, QTableWidgetItem(what[:1].upper() + what[1:]))
            self.table.setItem(row, 1, QTableWidgetItem(change.why))
        self._fit_rows()
        self.said.setText(summary(sizing, self.work.stopped.is_set()))
        self.take.setEnabled(bool(sizing.changes))
        self.take.setDefault(bool(sizing.changes))

    def _fit_rows(self) -> None:
        """Asked again once a column has another width, as when the row numbers appear beside it."""
        for row in range(self.table.rowCount()):
            self.table.setRowHeight(row, self._height(row))

    def _height(self, row: int) -> int:
        """As high as its texts need, with the room that the style keeps at their sides."""
        flags, metrics = int(Qt.TextFlag.TextWordWrap), self.table.fontMetrics()
        heights = [
            metrics.boundingRect(0, 0, self.table.columnWidth(column) - 30, 10_000, flags, cell.text()).height()
            for column in (0, 1)
            if (cell := self.table.item(row, column)) is not None
        ]
        return max(heights) + 12

    def take_changes(self) -> None:
        """All changes, as one step of undo; refused where the boat is another by now."""
        sizing = self.sizing
        if sizing is None or sizing.given.network is not self.bench.store.document.network:
            self.said.setText(tr("The boat was changed meanwhile. Propose again."))
            self.take.setEnabled(False)
            return
        network = sizing.document.network
        self.bench.store.apply(lambda document: with_network_of(document, network), tr("Size the boat"))
        self.close()

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        self.work.stop()
        self.work.wait()
        super().closeEvent(event)


def with_network_of(document: Document, network: Network) -> Document:
    """The same sheets with another network: sizing moves nothing."""
    return msgspec.structs.replace(document, network=network)


def summary(sizing: Sizing, stopped: bool) -> str:
    """Findings before and after, and what is left."""
    left = "\n· ".join((tr("No size cures:"), *sizing.left)) if sizing.left else ""
    return "\n".join(
        text for text in (tr("Stopped.") if stopped else "", sums(sizing), "" if stopped else left) if text
    )

"""The sheets as tabs above the drawing: in front, next, new, in what order. Knows sheets by id and title only."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QTabBar, QToolButton, QWidget

from engine.messages import tr

if TYPE_CHECKING:
    from engine.model.sheets import Sheet


class SheetBar(QWidget):
    """`chosen` carries the id of the sheet that a person brings to the front."""

    chosen = Signal(str)
    wanted = Signal()
    """One more sheet."""

    named = Signal()
    """The sheet in front is to be named (double click)."""

    moved = Signal(str, int)
    """Sheet id and its new place in the order."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("sheetBar")
        self.tabs = QTabBar(self)
        self.tabs.setObjectName("sheetTabs")
        self.tabs.setAccessibleName(tr("Sheets"))
        self.tabs.setExpanding(False)
        self.tabs.setMovable(True)
        self.tabs.setDocumentMode(True)
        self._ids: list[str] = []
        self._filling = False
        more = QToolButton(self)
        more.setObjectName("quiet")
        more.setText("+")
        more.setAccessibleName(tr("New sheet"))
        more.setToolTip(more.accessibleName())
        more.clicked.connect(self.wanted)
        box = QHBoxLayout(self)
        box.setContentsMargins(4, 0, 8, 0)
        box.setSpacing(4)
        box.addWidget(self.tabs)
        box.addWidget(more)
        box.addStretch(1)
        self.tabs.currentChanged.connect(self._chosen)
        self.tabs.tabBarDoubleClicked.connect(lambda at: self.named.emit() if at >= 0 else self.wanted.emit())
        self.tabs.tabMoved.connect(self._moved)

    def show_sheets(self, sheets: tuple[Sheet, ...], front: str) -> None:
        """These sheets, this one in front."""
        self._filling = True
        ids = [sheet.id for sheet in sheets]
        while self.tabs.count() > len(ids):
            self.tabs.removeTab(self.tabs.count() - 1)
        while self.tabs.count() < len(ids):
            self.tabs.addTab("")
        for at, sheet in enumerate(sheets):
            text = f"{at + 1}  {sheet.title or tr('untitled')}"
            if self.tabs.tabText(at) != text:
                self.tabs.setTabText(at, text)
                self.tabs.setTabToolTip(at, f"{sheet.title or tr('untitled')} · {sheet.format}")
        self._ids = ids
        self.tabs.setCurrentIndex(ids.index(front) if front in ids else 0)
        self._filling = False

    def _chosen(self, at: int) -> None:
        if not self._filling and 0 <= at < len(self._ids):
            self.chosen.emit(self._ids[at])

    def _moved(self, start: int, end: int) -> None:
        if not self._filling:
            self.moved.emit(self._ids[start], end)

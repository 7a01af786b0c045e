"""The Schedules dock: circuits, runs, loads and panels as tables in step with the sheet. Knows no particular column."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QTabBar, QToolButton, QVBoxLayout, QWidget

from app.panels.grid import TableView
from app.panels.listings import schedules
from app.panels.tables import RecordTable, Schedule
from app.selection import Selection
from app.store import Store
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document


class SchedulesPanel(QWidget):
    """One table at a time, its filter, and what can be done with it."""

    told = Signal(str)
    """A refusal, for the note bar."""

    sought = Signal(str)
    """A key to show on the sheet."""

    def __init__(
        self, store: Store, selection: Selection, library: Library, parent: QWidget | None = None,
        more: tuple[Schedule, ...] = (),
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self.store, self.selection = store, selection
        self.views = [
            TableView(RecordTable(schedule, store, library, self), self) for schedule in (*schedules(), *more)
        ]
        self.tabs, self.filter = QTabBar(self), QLineEdit(self)
        self.count = QLabel(self)
        self._lay_out()
        for view in self.views:
            view.told.connect(self.told)
            view.picked.connect(self._picked)
        self._stale = set(range(len(self.views)))
        store.changed.connect(self._changed)
        selection.changed.connect(self._follow_selection)
        self._show(0)

    @property
    def view(self) -> TableView:
        """The table in sight."""
        return self.views[self.tabs.currentIndex()]

    def show_table(self, name: str) -> None:
        """Bring one table to the front, by its id."""
        names = [view.table.schedule.id for view in self.views]
        self.tabs.setCurrentIndex(names.index(name))
        self.view.setFocus()

    def _lay_out(self) -> None:
        for view in self.views:
            self.tabs.addTab(view.table.schedule.title)
        self.tabs.setAccessibleName(tr("Schedules"))
        self.tabs.setObjectName("inner")
        self.tabs.setExpanding(False)
        self.tabs.currentChanged.connect(self._show)
        self.filter.setPlaceholderText(tr("Filter"))
        self.filter.setAccessibleName(tr("Filter the table"))
        self.filter.setClearButtonEnabled(True)
        self.filter.setMaximumWidth(220)
        self.filter.textChanged.connect(self._filter)
        self.count.setObjectName("soft")
        top = QHBoxLayout()
        top.setContentsMargins(6, 2, 8, 2)
        top.addWidget(self.tabs)
        top.addStretch(1)
        top.addWidget(self.count)
        top.addSpacing(6)
        top.addWidget(self.filter)
        for button in self._buttons():
            top.addWidget(button)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addLayout(top)
        for view in self.views:
            view.hide()
            box.addWidget(view)

    def _buttons(self) -> list[QToolButton]:
        made = []
        for text, about, act in (
            (tr("Copy"), tr("Copy the selected cells for a spreadsheet"), lambda: self.view.copy()),
            (tr("Paste"), tr("Paste cells from a spreadsheet, from the current cell on"), lambda: self.view.paste()),
        ):
            button = QToolButton(self)
            button.setObjectName("plain")
            button.setText(text)
            button.setToolTip(about)
            button.setAccessibleName(about)
            button.clicked.connect(act)
            made.append(button)
        return made

    def _changed(self, old: Document, new: Document) -> None:
        if old.network is not new.network:
            self._stale = set(range(len(self.views)))
            self._refresh()

    def follow_results(self) -> None:
        """What does not follow from the document alone is another."""
        self._stale.update(range(len(schedules()), len(self.views)))
        self._refresh()

    def _refresh(self) -> None:
        """Only the table in sight is made anew; the others when they come to the front."""
        at = self.tabs.currentIndex()
        if at in self._stale and self.isVisible():
            self._stale.discard(at)
            self.view.table.follow()
        self._count()

    def showEvent(self, event: object) -> None:  # noqa: N802
        super().showEvent(event)  # type: ignore[arg-type]
        self._refresh()

    def _show(self, at: int) -> None:
        for number, view in enumerate(self.views):
            view.setVisible(number == at)
        self._filter(self.filter.text())
        self._refresh()
        self._follow_selection(self.selection.keys)

    def _filter(self, text: str) -> None:
        self.view.filter(text)
        self._count()

    def _count(self) -> None:
        shown, all_rows = self.view.sorter.rowCount(), len(self.view.table.rows)
        self.count.setText(
            tr("{shown} of {all}").format(shown=shown, all=all_rows) if shown != all_rows else str(shown)
        )

    def _picked(self, keys: tuple[str, ...]) -> None:
        self.selection.set(keys)
        if len(keys) == 1:
            self.sought.emit(keys[0])

    def _follow_selection(self, keys: frozenset[str]) -> None:
        if self.isVisible():
            self.view.show_picked(keys)

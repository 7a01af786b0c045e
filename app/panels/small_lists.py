"""Short tables inside the form, with buttons to add, take away and reorder: panel positions, spaces, boxes, options."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from app.panels.grid import TableView
from app.panels.tables import RecordTable, Schedule
from app.store import Store, edit_with
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.boat import Kind, remove
from engine.model.edits.fields import remove_position, set_positions
from engine.model.edits.records import part_of

MOST_ROWS = 14
WIDEST = 132


class SmallList(QWidget):
    """A table as high as its rows, with its buttons."""

    told = Signal(str)
    picked = Signal(object)

    def __init__(self, schedule: Schedule, store: Store, library: Library, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.store = store
        self.view = TableView(RecordTable(schedule, store, library, self), self, WIDEST)
        self.view.told.connect(self.told)
        self.view.picked.connect(self.picked)
        self.view.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self._bar = QHBoxLayout()
        self._bar.setSpacing(3)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 2, 0, 2)
        box.setSpacing(3)
        box.addWidget(self.view)
        box.addLayout(self._bar)
        self.add_button("+", tr("Add one"), self.add)
        self.follow()

    def add_button(self, sign: str, about: str, act: Callable[[], None]) -> QToolButton:
        """One more button under the table."""
        button = QToolButton(self)
        button.setObjectName("plain")
        button.setText(sign)
        button.setToolTip(about)
        button.setAccessibleName(about)
        button.clicked.connect(act)
        self._bar.addWidget(button)
        return button

    def finish(self) -> None:
        """All buttons are there: push them to the left."""
        self._bar.addStretch(1)

    def follow(self) -> None:
        """Show the document as it is now."""
        self.view.table.follow()
        rows = max(1, min(MOST_ROWS, len(self.view.table.rows)))
        heights = (self.view.horizontalHeader().sizeHint(), self.view.horizontalScrollBar().sizeHint())
        row = self.view.verticalHeader().defaultSectionSize()
        self.view.setFixedHeight(rows * row + sum(size.height() for size in heights) + 6)

    def add(self) -> None:
        """One more row at the end."""
        schedule = self.view.table.schedule
        if schedule.append is not None:
            self.store.apply(schedule.append, tr("Add to {list}").format(list=schedule.title))

    def current_name(self) -> str:
        """The id or key of the record of the row one is in."""
        return self.view.current_key().rpartition("/")[2].rpartition(":")[2]


class BoatList(SmallList):
    """Compartments, enclosures or options."""

    def __init__(self, schedule: Schedule, store: Store, library: Library, parent: QWidget | None = None) -> None:
        super().__init__(schedule, store, library, parent)
        self.add_button("−", tr("Take the row away"), self.take_away)
        self.finish()

    def take_away(self) -> None:
        """The row one is in, and every mention of it."""
        kinds: dict[str, Kind] = {"compartments": "compartments", "enclosures": "enclosures", "options": "options"}
        kind, name = kinds[self.view.table.schedule.id], self.current_name()
        if name:
            self.store.apply(edit_with(remove, kind, name), tr("Take away"))


class PositionList(SmallList):
    """The positions of one panel."""

    def __init__(
        self, schedule: Schedule, part_id: str, store: Store, library: Library, parent: QWidget | None = None
    ) -> None:
        super().__init__(schedule, store, library, parent)
        self.part_id = part_id
        self.add_button("−", tr("Take the way away"), self.take_away)
        self.add_button("▲", tr("Move the way up"), lambda: self.shift(-1))
        self.add_button("▽", tr("Move the way down"), lambda: self.shift(1))
        self.finish()

    def take_away(self) -> None:
        """The position one is in."""
        if self.current_name():
            self.store.apply(edit_with(remove_position, self.part_id, self.current_name()), tr("Take way away"))

    def shift(self, by: int) -> None:
        """The position one is in, up or down the board; its number goes along."""
        key = self.current_name()
        if key and self.store.apply(lambda document: moved_position(document, self.part_id, key, by), tr("Move way")):
            row = next(at for at, row in enumerate(self.view.table.rows) if row.record.key == key)
            self.view.setCurrentIndex(self.view.sorter.index(row, 0))


def moved_position(document: Document, part_id: str, key: str, by: int) -> Document:
    """The edit that moves a position along its board; at the end it stays where it is."""
    ways = list(part_of(document, part_id).positions)
    at = next(number for number, way in enumerate(ways) if way.key == key)
    to = min(max(0, at + by), len(ways) - 1)
    ways.insert(to, ways.pop(at))
    return set_positions(document, part_id, tuple(ways))

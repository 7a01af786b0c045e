"""A table of records, editable in step with the document: one Qt model for every schedule and list of the program.

A Schedule says, as functions of the document, which rows there are and which columns; the model shows them and turns a
typed text into an edit. Pasting is app/panels/pasting.py. Knows no particular table.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from app.panels.fields import Field
from app.reading import FieldRefusedError, is_unknown, read, shown, tip
from app.store import Edit, Store
from engine.library.device import Library
from engine.model.document import Document
from engine.model.quantity import low
from engine.units import World

Index = QModelIndex | QPersistentModelIndex
SORT_ROLE = Qt.ItemDataRole.UserRole
KEY_ROLE = Qt.ItemDataRole.UserRole + 1


class Row(msgspec.Struct, frozen=True):
    """One line of a table: the selection key it stands for, its record, and what belongs to it."""

    key: str
    record: Any
    owner: Any = None
    other: Any = None


class Column(msgspec.Struct, frozen=True):
    """One column: what it shows of a row and, where it can be edited, the edit that fills it in."""

    field: Field
    value: Callable[[Row], Any]
    edit: Callable[[Row, Any], Edit] | None = None
    applies: Callable[[Row], bool] | None = None
    """False: the cell is empty and closed (a rating in a blank position)."""

    def open_for(self, row: Row) -> bool:
        """Whether the cell of this row can be filled in."""
        return self.edit is not None and (self.applies is None or self.applies(row))


class Schedule(msgspec.Struct, frozen=True):
    """A table: its name, its rows and its columns as functions of the document."""

    id: str
    title: str
    rows: Callable[[Document, Library], tuple[Row, ...]]
    columns: Callable[[Document, Library], tuple[Column, ...]]
    empty: str = ""
    """What stands in place of rows when there are none."""
    append: Callable[[Document], Document] | None = None
    """The edit that adds one more row, where rows can be added."""


class RecordTable(QAbstractTableModel):
    """The rows of a schedule. `refused` carries the sentence of a text that could not be taken."""

    refused = Signal(str)

    def __init__(self, schedule: Schedule, store: Store, library: Library, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.schedule, self.store, self.library = schedule, store, library
        self.rows: tuple[Row, ...] = ()
        self.columns: tuple[Column, ...] = ()
        self.follow()

    @property
    def world(self) -> World:
        """The boat's units."""
        return self.store.document.network.particulars.units

    def follow(self) -> None:
        """Show the document as it is now; a table of the same shape keeps its selection and open editor."""
        document = self.store.document
        rows, columns = self.schedule.rows(document, self.library), self.schedule.columns(document, self.library)
        same = [row.key for row in rows] == [row.key for row in self.rows] and self._headings(
            columns
        ) == self._headings(self.columns)
        if same:
            self.rows, self.columns = rows, columns
            if rows and columns:
                self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(columns) - 1))
            return
        self.beginResetModel()
        self.rows, self.columns = rows, columns
        self.endResetModel()

    @staticmethod
    def _headings(columns: tuple[Column, ...]) -> list[str]:
        return [column.field.key for column in columns]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: N802, B008
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: N802, B008
        return 0 if parent.isValid() else len(self.columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # noqa: N802
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self.columns):
            return None
        field = self.columns[section].field
        if role == Qt.ItemDataRole.DisplayRole:
            return field.title
        return field.about or None if role == Qt.ItemDataRole.ToolTipRole else None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        row, column = self.rows[index.row()], self.columns[index.column()]
        if role == KEY_ROLE:
            return row.key
        if column.applies is not None and not column.applies(row):
            return "" if role in (Qt.ItemDataRole.DisplayRole, SORT_ROLE) else None
        return self._shown(column, column.value(row), role)

    def _shown(self, column: Column, value: Any, role: int) -> Any:
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return shown(column.field, value, self.world)
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip(column.field, value, self.world) or None
        if role == SORT_ROLE:
            return sort_value(value)
        if role == Qt.ItemDataRole.TextAlignmentRole and column.field.type == "quantity":
            return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            text = shown(column.field, value, self.world)
            return f"{column.field.title}: {text}" if not is_unknown(value) else f"{column.field.title}: ?"
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.isValid() and self.columns[index.column()].open_for(self.rows[index.row()]):
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:  # noqa: N802
        if role != Qt.ItemDataRole.EditRole or not index.isValid():
            return False
        row, column = self.rows[index.row()], self.columns[index.column()]
        if column.edit is None:
            return False
        try:
            edit = column.edit(row, read(column.field, str(value), self.world))
        except FieldRefusedError as error:
            self.refused.emit(str(error))
            return False
        return self.store.apply(edit, column.field.title)


def sort_value(value: Any) -> Any:
    """Numbers sort as numbers (a range by its lower end), unknown first, texts without regard to capitals."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, (int, float)):
        return float(value)
    if isinstance(value, tuple) and len(value) == 2 and all(isinstance(end, float) for end in value):
        return low(value)
    text = ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)
    return float(text) if text.isdecimal() else text.casefold()

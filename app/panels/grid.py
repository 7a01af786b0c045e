"""A table on the screen: sorted, filtered, edited by keyboard, copied and pasted. Knows no particular table."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QSortFilterProxyModel, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.panels.editors import Choice, choice_texts
from app.panels.pasting import Grid, PasteRefusedError, paste_edit
from app.panels.tables import KEY_ROLE, SORT_ROLE, RecordTable
from engine.messages import tr

WIDEST = 260


class CellDelegate(QStyledItemDelegate):
    """Edits a cell with a choice where its column has choices, else with a line."""

    def createEditor(  # noqa: N802
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        field = _table(index).columns[index.column()].field
        if field.type not in ("choice", "flag"):
            editor = super().createEditor(parent, option, index)
            editor.setAccessibleName(field.title)
            return editor
        box = Choice(parent)
        box.setAccessibleName(field.title)
        box.addItems(choice_texts(field))
        box.activated.connect(lambda _index: self._done(box))
        return box

    def _done(self, box: QWidget) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)

    def setEditorData(self, editor: QWidget, index: QModelIndex | QPersistentModelIndex) -> None:  # noqa: N802
        if isinstance(editor, Choice):
            editor.setCurrentIndex(editor.findText(str(index.data())))
        elif isinstance(editor, QLineEdit):
            editor.setText(str(index.data(Qt.ItemDataRole.EditRole) or ""))
            editor.selectAll()

    def setModelData(self, editor: QWidget, model: Any, index: QModelIndex | QPersistentModelIndex) -> None:  # noqa: N802
        text = editor.currentText() if isinstance(editor, Choice) else editor.text()  # type: ignore[attr-defined]
        if text != str(index.data(Qt.ItemDataRole.EditRole) or ""):
            model.setData(index, text)


def _table(index: QModelIndex | QPersistentModelIndex) -> RecordTable:
    model = index.model()
    source = model.sourceModel() if isinstance(model, QSortFilterProxyModel) else model
    assert isinstance(source, RecordTable)
    return source


class TableView(QTableView):
    """The view of a RecordTable. `picked` carries the selection keys of the rows that a person picks here."""

    picked = Signal(object)
    told = Signal(str)

    def __init__(self, table: RecordTable, parent: QWidget | None = None, widest: int = WIDEST) -> None:
        super().__init__(parent)
        self.table, self.widest = table, widest
        self.sorter = QSortFilterProxyModel(self)
        self.sorter.setSourceModel(table)
        self.sorter.setSortRole(SORT_ROLE)
        self.sorter.setFilterKeyColumn(-1)
        self.sorter.setFilterCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.setModel(self.sorter)
        self.setItemDelegate(CellDelegate(self))
        self.setAccessibleName(table.schedule.title)
        self._dress()
        table.refused.connect(self.told)
        table.modelReset.connect(self.fit)
        self.selectionModel().selectionChanged.connect(self._pick)
        self._silent = False
        self.fit()

    def _dress(self) -> None:
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.DoubleClicked | triggers.EditKeyPressed | triggers.AnyKeyPressed | triggers.SelectedClicked
        )
        self.setAlternatingRowColors(True)
        self.setSortingEnabled(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 9)
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setHighlightSections(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setSortIndicatorShown(True)
        header.setSortIndicatorClearable(True)
        header.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        header.setSectionsClickable(True)
        header.sortIndicatorChanged.connect(self.sorter.sort)

    def fit(self) -> None:
        """Columns as wide as their contents, within reason."""
        self.resizeColumnsToContents()
        for column in range(self.sorter.columnCount()):
            self.setColumnWidth(column, min(self.widest, self.columnWidth(column) + 4))

    def filter(self, text: str) -> None:
        """Only rows that say this somewhere."""
        self.sorter.setFilterFixedString(text)

    def show_picked(self, keys: frozenset[str]) -> None:
        """Mark the rows of what is selected elsewhere, without answering."""
        if self.hasFocus():
            return
        self._silent = True
        self.clearSelection()
        for row in range(self.sorter.rowCount()):
            index = self.sorter.index(row, 0)
            if index.data(KEY_ROLE) in keys:
                self.setCurrentIndex(index)
                self.scrollTo(index)
                break
        self._silent = False

    def current_key(self) -> str:
        """The key of the row one is in; "" where there is none."""
        return str(self.currentIndex().data(KEY_ROLE) or "") if self.currentIndex().isValid() else ""

    def seen(self) -> Grid:
        """The rows in the order they are seen."""
        order = (self.sorter.mapToSource(self.sorter.index(row, 0)).row() for row in range(self.sorter.rowCount()))
        return Grid(tuple(self.table.rows[row] for row in order), self.table.columns)

    def copy(self) -> None:
        """The selected cells as tab-separated text, for a spreadsheet."""
        cells = {(index.row(), index.column()): str(index.data() or "") for index in self.selectedIndexes()}
        rows = sorted({row for row, _ in cells})
        columns = sorted({column for _, column in cells})
        lines = ("\t".join(cells.get((row, column), "") for column in columns) for row in rows)
        QGuiApplication.clipboard().setText("\n".join(lines))

    def paste(self) -> None:
        """What a spreadsheet copied, from the current cell on: one step of undo, or a refusal that says why."""
        at = self.currentIndex()
        start = (max(0, at.row()), max(0, at.column()))
        store = self.table.store
        text = QGuiApplication.clipboard().text()
        try:
            edit = paste_edit(text, self.table.schedule, self.seen(), start, store.document, self.table.library)
        except PasteRefusedError as refused:
            self.told.emit(str(refused))
            return
        store.apply(edit, tr("Paste into {table}").format(table=self.table.schedule.title))

    def clear_cells(self) -> None:
        """The selected cells say unknown, in one step."""
        edits = []
        for index in self.selectedIndexes():
            at = self.sorter.mapToSource(index)
            row, column = self.table.rows[at.row()], self.table.columns[at.column()]
            if column.edit and column.open_for(row) and column.field.optional:
                empty = {"text": "", "long": "", "size": "", "codes": (), "names": ()}.get(column.field.type)
                in_list = column.field.key in ("compartment", "enclosure", "option")
                edits.append(column.edit(row, "" if in_list else empty))

        def all_of_them(document: Any) -> Any:
            for edit in edits:
                document = edit(document)
            return document

        self.table.store.apply(all_of_them, tr("Clear cells"))

    def event(self, event: QEvent) -> bool:
        """Copy, paste and clear belong to the table while the keyboard is in it, whatever the menus say."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and self._own_key(event):
            event.accept()
            return True
        return super().event(event)

    @staticmethod
    def _own_key(event: QKeyEvent) -> bool:
        keys = QKeySequence.StandardKey
        return any(event.matches(key) for key in (keys.Copy, keys.Paste, keys.Delete, keys.SelectAll))

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        keys = QKeySequence.StandardKey
        if event.matches(keys.Copy):
            self.copy()
        elif event.matches(keys.Paste):
            self.paste()
        elif event.matches(keys.Delete):
            self.clear_cells()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.state() != self.State.EditingState:
            self.edit(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        super().paintEvent(event)
        if self.sorter.rowCount() == 0:
            painter = QPainter(self.viewport())
            painter.setPen(self.palette().placeholderText().color())
            text = self.table.schedule.empty if not self.table.rows else tr("Nothing here matches the filter.")
            painter.drawText(self.viewport().rect().adjusted(8, 5, -8, 0), Qt.AlignmentFlag.AlignTop, text)
            painter.end()

    def _pick(self) -> None:
        if not self._silent and self.hasFocus():
            rows = dict.fromkeys(index.row() for index in self.selectedIndexes())
            self.picked.emit(tuple(str(self.sorter.index(row, 0).data(KEY_ROLE)) for row in rows))

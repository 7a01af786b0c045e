"""The list of shortcuts, made from the table of actions; and the keys that work on the sheet itself."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from app.actions import actions, menu_titles
from engine.messages import tr


def sheet_keys() -> tuple[tuple[str, str], ...]:
    """What the keys do while the keyboard is in the sheet, and the mouse on it."""
    return (
        (tr("Go from part to part, or from port to port with a run in hand"), "Tab"),
        (tr("Move what is selected, or the crosshair, by one module"), tr("arrow keys")),
        (tr("The same by eight modules"), tr("Shift+arrow keys")),
        (tr("Click at the crosshair; fill in what is selected"), tr("Enter")),
        (tr("Go along the run to its other end"), "J"),
        (tr("Turn, mirror the part in hand"), "R, M"),
        (tr("Give up what is begun"), "Esc"),
        (tr("Zoom at the cursor"), tr("wheel")),
        (tr("Push the sheet"), tr("middle button, or Space and drag")),
    )


class ShortcutsDialog(QDialog):
    """Two columns and a field to narrow them down."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Shortcuts"))
        self.resize(560, 640)
        self.search, self.list = QLineEdit(self), QTreeWidget(self)
        self.search.setPlaceholderText(tr("Filter"))
        self.search.setAccessibleName(tr("Filter the shortcuts"))
        self.search.textChanged.connect(self.narrow)
        self.list.setAccessibleName(tr("Shortcuts"))
        self.list.setColumnCount(2)
        self.list.setHeaderHidden(True)
        self.list.setRootIsDecorated(False)
        self.list.setColumnWidth(0, 350)
        box = QVBoxLayout(self)
        row = QHBoxLayout()
        row.addWidget(self.search)
        box.addLayout(row)
        box.addWidget(self.list)
        self._fill()

    def _fill(self) -> None:
        for menu, title in menu_titles().items():
            rows = [(one.text.rstrip(" …"), QKeySequence(one.shortcut)) for one in actions() if one.menu == menu]
            native = QKeySequence.SequenceFormat.NativeText
            self._group(title.replace("&", ""), [(text, keys.toString(native)) for text, keys in rows])
        self._group(tr("On the sheet"), list(sheet_keys()))
        self.list.expandAll()

    def _group(self, title: str, rows: list[tuple[str, str]]) -> None:
        head = QTreeWidgetItem(self.list, [title, ""])
        font = self.font()
        font.setBold(True)
        head.setFont(0, font)
        head.setFlags(Qt.ItemFlag.ItemIsEnabled)
        for text, keys in rows:
            QTreeWidgetItem(head, [text, keys])

    def narrow(self, text: str) -> None:
        """Only the rows that say this."""
        for at in range(self.list.topLevelItemCount()):
            head = self.list.topLevelItem(at)
            if head is None:
                continue
            rows = [row for n in range(head.childCount()) if (row := head.child(n)) is not None]
            for row in rows:
                row.setHidden(text.casefold() not in f"{row.text(0)} {row.text(1)}".casefold())
            head.setHidden(all(row.isHidden() for row in rows))

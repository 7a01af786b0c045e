"""The list of conditions: as drawn, everything on, and those of the boat, which are named and deleted in it.

Knows conditions as records; makes the edits on them. `chosen` carries a base as in engine/studies/setting.py.
"""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from app.store import Store, edit_with
from engine.messages import tr
from engine.model.edits.boat import add, remove, set_fields
from engine.model.network import Condition

ROLE = Qt.ItemDataRole.UserRole


class ConditionList(QListWidget):
    """F2 or a double click names a condition anew, Del deletes it: each one step of undo."""

    chosen = Signal(str)

    def __init__(self, store: Store, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.store = store
        self._listed: tuple[tuple[str, str], ...] = ()
        self.setAccessibleName(tr("Conditions"))
        self.setUniformItemSizes(True)
        self.currentItemChanged.connect(lambda _now, _old: self.chosen.emit(self.base))
        self.itemChanged.connect(self._renamed)
        store.changed.connect(lambda _old, _new: self.follow())
        self.follow()

    def follow(self) -> None:
        """Show the conditions as they are now; the one that was chosen stays so while it is there."""
        rows = (*plain_rows(), *((each.id, each.name) for each in self.store.document.network.conditions))
        if rows == self._listed:
            return
        kept = self.base
        self._listed = rows
        self.blockSignals(True)
        self.clear()
        for base, name in rows:
            self.addItem(_item(base, name, base not in dict(plain_rows())))
        self.choose(kept if kept in dict(rows) else "drawn")
        self.blockSignals(False)

    @property
    def base(self) -> str:
        """The base that is chosen."""
        item = self.currentItem()
        return str(item.data(ROLE)) if item else "drawn"

    @property
    def condition(self) -> Condition | None:
        """The condition that is chosen; None for what every boat has."""
        return next((each for each in self.store.document.network.conditions if each.id == self.base), None)

    def choose(self, base: str) -> None:
        """Choose one, by its base."""
        for row in range(self.count()):
            if self.item(row).data(ROLE) == base:
                self.setCurrentRow(row)

    def add(self, switches: Mapping[str, str], duty: Mapping[str, float]) -> str:
        """One more condition of the boat; its id, "" where it was refused."""
        name = self._free_name()
        edit = edit_with(add, "conditions", name, switches=dict(switches), duty=dict(duty))
        if not self.store.apply(edit, tr("Add condition {name}").format(name=name)):
            return ""
        return self.store.document.network.conditions[-1].id

    def keep(self, switches: Mapping[str, str], duty: Mapping[str, float]) -> None:
        """The chosen condition says from now on what is set."""
        there = self.condition
        if there is not None:
            edit = edit_with(set_fields, "conditions", there.id, switches=dict(switches), duty=dict(duty))
            self.store.apply(edit, tr("Change condition {name}").format(name=there.name))

    def name_anew(self) -> None:
        """Open the name of the chosen condition."""
        if self.condition is not None:
            self.editItem(self.currentItem())

    def delete(self) -> None:
        """Delete the chosen condition."""
        there = self.condition
        if there is not None:
            text = tr("Delete condition {name}").format(name=there.name)
            self.store.apply(edit_with(remove, "conditions", there.id), text)

    def _free_name(self) -> str:
        taken = {each.name for each in self.store.document.network.conditions}
        return next(name for n in range(1, len(taken) + 2) if (name := tr("Condition {n}").format(n=n)) not in taken)

    def _renamed(self, item: QListWidgetItem) -> None:
        base, name = item.data(ROLE), item.text().strip()
        if name == dict(self._listed).get(base):
            return
        if not self.store.apply(edit_with(set_fields, "conditions", base, name=name), tr("Name of a condition")):
            self._listed = ()  # refused: show the old name again
            self.follow()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if event.key() == Qt.Key.Key_Delete:
            self.delete()
        elif event.key() == Qt.Key.Key_F2:
            self.name_anew()
        else:
            super().keyPressEvent(event)


def plain_rows() -> tuple[tuple[str, str], ...]:
    """What can be chosen of every boat."""
    return ("drawn", tr("As drawn")), ("all", tr("Everything on, no charging"))


def _item(base: str, name: str, named: bool) -> QListWidgetItem:
    item = QListWidgetItem(name)
    item.setData(ROLE, base)
    item.setToolTip(name)
    if named:
        item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
    return item

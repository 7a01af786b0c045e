"""The tree of what can be set in a condition: switches with their positions, sources, the ways of panels.

A switch has a choice; a source or way a tick. Space steps or ticks. Knows the boat and a case; makes no edit.
"""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHeaderView, QTreeWidget, QTreeWidgetItem, QWidget

from app.panels.editors import Choice
from app.style import ui_font
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import Part
from engine.studies.conditions import Case
from engine.studies.setting import state_of, stoppable, switches_of, works

KEY_ROLE = Qt.ItemDataRole.UserRole
TICKS = {True: Qt.CheckState.Checked, False: Qt.CheckState.Unchecked}


class PositionTree(QTreeWidget):
    """`moved` carries a switch (part id, or part id/way) and its position; `stopped` a source's id and whether it works."""

    moved = Signal(str, str)
    source_set = Signal(str, bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.choices: dict[str, Choice] = {}
        self._shape: tuple[object, ...] = ()
        self.setAccessibleName(tr("Switches, sources and ways"))
        self.setHeaderHidden(True)
        self.setColumnCount(2)
        self.setIndentation(12)
        self.setAllColumnsShowFocus(True)
        self.header().setStretchLastSection(False)
        self.header().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.header().setSectionResizeMode(1, QHeaderView.ResizeMode.Fixed)
        self.setColumnWidth(1, 104)
        self.itemChanged.connect(self._ticked)

    def show_case(self, boat: Boat, case: Case) -> None:
        """Where everything stands in the case; the tree is made anew only where the boat has other switches."""
        self.blockSignals(True)
        shape = _shape_of(boat)
        if shape != self._shape:
            self._shape = shape
            self._build(boat)
        for item in self.items():
            self._fill(item, boat, case)
        self.blockSignals(False)

    def _build(self, boat: Boat) -> None:
        self.clear()
        self.choices = {}
        self._head(tr("Switches"), [self._switch(boat, part) for part in switches_of(boat)])
        self._head(tr("Sources"), [_row(boat.name(part), f"source:{part.id}", True) for part in stoppable(boat)])
        for panel in boat.with_role("dc_panel", "ac_panel"):
            ways = [way for way in panel.positions if way.state != "blank" and way.device in ("breaker", "switch")]
            rows = [_row(f"{way.key}  {way.label or tr(way.state)}", f"way:{panel.id}/{way.key}", True) for way in ways]
            self._head(boat.name(panel), rows, opened=False)
        for item in self.items():
            if item.data(0, KEY_ROLE).startswith("switch:"):
                self._add_choice(item, boat)

    def _head(self, title: str, rows: list[QTreeWidgetItem], opened: bool = True) -> None:
        if rows:
            head = QTreeWidgetItem([title])
            head.setFont(0, ui_font(bold=True))
            head.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
            self.addTopLevelItem(head)
            head.setFirstColumnSpanned(True)
            head.addChildren(rows)
            head.setExpanded(opened)

    def _switch(self, boat: Boat, part: Part) -> QTreeWidgetItem:
        return _row(boat.name(part), f"switch:{part.id}", False)

    def _add_choice(self, item: QTreeWidgetItem, boat: Boat) -> None:
        part_id = item.data(0, KEY_ROLE).partition(":")[2]
        kind = boat.kind(boat.parts[part_id])
        choice = Choice(self)
        choice.setAccessibleName(tr("Position of {name}").format(name=item.text(0)))
        choice.addItems([*kind.states] if kind else [])
        choice.activated.connect(lambda _at: self.moved.emit(part_id, choice.currentText()))
        self.setItemWidget(item, 1, choice)
        self.choices[part_id] = choice

    def _fill(self, item: QTreeWidgetItem, boat: Boat, case: Case) -> None:
        sort, _, rest = item.data(0, KEY_ROLE).partition(":")
        if sort == "switch":
            choice = self.choices[rest]
            choice.setCurrentIndex(choice.findText(state_of(boat, case, boat.parts[rest])))
        elif sort == "source":
            item.setCheckState(0, TICKS[works(boat, case, boat.parts[rest])])
            item.setText(1, tr("works") if works(boat, case, boat.parts[rest]) else tr("off"))
        else:
            item.setCheckState(0, TICKS[(case.switches or {}).get(rest, "on") == "on"])

    def items(self) -> list[QTreeWidgetItem]:
        """Every row below a heading."""
        heads = [self.topLevelItem(number) for number in range(self.topLevelItemCount())]
        return [child for head in heads if head is not None for number in range(head.childCount())
                if (child := head.child(number)) is not None]  # fmt: skip

    def item_of(self, key: str) -> QTreeWidgetItem:
        """The row of "switch:p5", "source:p54" or "way:p4/12". KeyError where there is none."""
        for item in self.items():
            if item.data(0, KEY_ROLE) == key:
                return item
        raise KeyError(key)

    def _ticked(self, item: QTreeWidgetItem, _column: int) -> None:
        sort, _, rest = (item.data(0, KEY_ROLE) or "").partition(":")
        on = item.checkState(0) == Qt.CheckState.Checked
        if sort == "source":
            self.source_set.emit(rest, on)
        elif sort == "way":
            self.moved.emit(rest, "on" if on else "off")

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Space and Enter on a switch put it into its next position."""
        item = self.currentItem()
        key = (item.data(0, KEY_ROLE) or "") if item else ""
        if key.startswith("switch:") and event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            choice = self.choices[key.partition(":")[2]]
            choice.setCurrentIndex((choice.currentIndex() + 1) % choice.count())
            choice.activated.emit(choice.currentIndex())
            return
        super().keyPressEvent(event)


def _row(text: str, key: str, ticked: bool) -> QTreeWidgetItem:
    item = QTreeWidgetItem([text, ""])
    item.setData(0, KEY_ROLE, key)
    item.setToolTip(0, text)
    flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
    item.setFlags(flags | Qt.ItemFlag.ItemIsUserCheckable if ticked else flags)
    return item


def _shape_of(boat: Boat) -> tuple[object, ...]:
    """What the rows are made from."""
    switches = tuple((part.id, boat.name(part), part.kind) for part in switches_of(boat))
    sources = tuple((part.id, boat.name(part)) for part in stoppable(boat))
    panels = tuple((part.id, boat.name(part), part.positions) for part in boat.with_role("dc_panel", "ac_panel"))
    return switches, sources, panels

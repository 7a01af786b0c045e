"""The Conditions dock: which condition the boat is in, where its switches stand, what the sheet shows of it.

A view of the Situation (app/situation.py) and the place where conditions are kept, named and deleted.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QTabWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.panels.condition_list import ConditionList
from app.panels.editors import Choice
from app.panels.position_tree import PositionTree
from app.panels.trace_text import TraceText
from app.selection import Selection
from app.situation import Situation
from app.standing import Shown, case_name, device_name, told_of
from app.store import Store
from engine.graph.boat import Boat
from engine.graph.live import can_open
from engine.messages import tr
from engine.rules.wording import key_text
from engine.studies.setting import as_condition, case_for, motors
from engine.studies.trace import trace

ROLE = Qt.ItemDataRole.UserRole


class ConditionsPanel(QWidget):
    """`sought` carries the key of what a person picked a sentence about."""

    sought = Signal(str)

    def __init__(self, store: Store, selection: Selection, situation: Situation, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.store, self.selection, self.situation = store, selection, situation
        self._boat: Boat | None = None
        self._in_sight, self._late = True, False
        self.list, self.tree = ConditionList(store, self), PositionTree(self)
        self.words, self.trace, self.about = QListWidget(self), TraceText(self), QTabWidget(self)
        self.view, self.only, self.motor = Choice(self), Choice(self), Choice(self)
        self.buttons = self._make_buttons()
        self._lay_out()
        self._join()
        self._follow()

    def _make_buttons(self) -> dict[str, QToolButton]:
        situation, conditions = self.situation, self.list
        made = (
            ("keep", tr("Keep"), tr("The condition says from now on what is set"), self._keep),
            ("add", tr("Keep as new"), tr("A new condition of the boat from what is set"), self._add),
            ("name", tr("Name"), tr("Name the condition anew (F2)"), conditions.name_anew),
            ("delete", tr("Delete"), tr("Delete the condition (Del)"), conditions.delete),
            ("back", tr("Take back"), tr("Everything as the condition has it"),
             lambda: situation.choose(situation.setting.base)),
            ("off", tr("Everything off"),
             tr("Every switch as drawn, engines stopped, nothing plugged in: what is still live?"), situation.all_off),
            ("out", tr("Device out"), tr("The selected fuse, breaker, switch or way is open: what goes dead?"),
             self.take_out),
        )  # fmt: skip
        return {name: self._button(text, tip, act) for name, text, tip, act in made}

    def _button(self, text: str, tip: str, act: Callable[[], object]) -> QToolButton:
        button = QToolButton(self)
        button.setObjectName("plain")
        button.setText(text)
        button.setToolTip(tip)
        button.setAccessibleDescription(tip)
        button.clicked.connect(lambda: act())
        return button

    def _lay_out(self) -> None:
        self.buttons["out"].setCheckable(True)
        self.words.setAccessibleName(tr("What it comes to"))
        self.words.setWordWrap(True)
        self.words.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.about.setDocumentMode(True)
        self.about.addTab(self.words, tr("What it comes to"))
        self.about.addTab(self.trace, tr("Where it comes from"))
        for value, text in view_texts():
            self.view.addItem(text, value)
        for choice, name in (
            (self.view, tr("On the sheet")),
            (self.only, tr("Fed from")),
            (self.motor, tr("Starting")),
        ):
            choice.setAccessibleName(name)
        split = QSplitter(Qt.Orientation.Horizontal, self)
        split.addWidget(_column(self.list, _row(self.buttons[name] for name in ("keep", "add", "name", "delete"))))
        split.addWidget(_column(self.tree, _row(self.buttons[name] for name in ("back", "off", "out"))))
        split.addWidget(_column(_row((self.view, self.only, self.motor), 1), self.about))
        split.setChildrenCollapsible(False)
        split.setSizes([250, 270, 460])
        split.setStretchFactor(2, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(split)
        self.setFocusProxy(self.list)

    def _join(self) -> None:
        situation = self.situation
        self.list.chosen.connect(situation.choose)
        self.tree.moved.connect(situation.set_switch)
        self.tree.source_set.connect(situation.set_source)
        self.view.activated.connect(lambda _at: situation.look(self.view.currentData()))
        self.only.activated.connect(lambda _at: situation.look("live", self.only.currentData() or ""))
        self.motor.activated.connect(lambda _at: situation.start(self.motor.currentData() or ""))
        self.words.itemActivated.connect(self._seek)
        self.words.itemClicked.connect(self._seek)
        self.selection.changed.connect(lambda _keys: self._follow_selection())
        situation.changed.connect(self._follow)
        situation.told.connect(self._tell)

    def watch(self, in_sight: bool) -> None:
        """Somebody can see the panel from now on, with what has waited; or nobody can."""
        self._in_sight = in_sight
        if in_sight and self._late:
            self._follow()
        self.situation.watch(in_sight)

    def _follow(self) -> None:
        """Show the situation as it is, or leave it until somebody looks."""
        self._late = not self._in_sight
        if self._late:
            return
        situation = self.situation
        self.list.follow()
        if situation.boat is not None:
            if situation.boat is not self._boat:
                self._boat = situation.boat
                self._fill_choices(situation.boat)
            self.tree.show_case(situation.boat, case_for(situation.boat, situation.setting))
        for choice, value in (
            (self.view, situation.view), (self.only, situation.only), (self.motor, situation.setting.starting)
        ):  # fmt: skip
            choice.setCurrentIndex(max(0, choice.findData(value)))
        self.only.setEnabled(situation.view == "live")
        self.list.blockSignals(True)
        self.list.choose(situation.setting.base)
        self.list.blockSignals(False)
        self._offer()

    def _fill_choices(self, boat: Boat) -> None:
        sources = ((each.part.id, tr("from {name}").format(name=boat.name(each.part))) for each in boat.sources)
        starts = ((part.id, tr("{name} starts").format(name=boat.name(part))) for part in motors(boat))
        for choice, rows in (
            (self.only, (("", tr("from any source")), *dict(sources).items())),
            (self.motor, (("", tr("nothing starts")), *starts)),
        ):
            choice.clear()
            for value, text in rows:
                choice.addItem(text, value)

    def _tell(self) -> None:
        """What it comes to, in sentences."""
        self.words.clear()
        standing = self.situation.standing
        for told in told_of(standing, self.situation.view) if standing else ():
            item = QListWidgetItem(f"!  {told.text}" if told.grave else told.text)
            item.setData(ROLE, told.key)
            self.words.addItem(item)
        self._follow_selection()

    def picked_device(self) -> str:
        """The key of the selected part or way, where it can open."""
        keys, boat = sorted(self.selection.keys), self.situation.boat
        return keys[0] if boat is not None and len(keys) == 1 and can_open(boat, keys[0]) else ""

    def take_out(self) -> None:
        """The selected device opens; where one is out, it is put back."""
        self.situation.open("" if self.situation.opened else self.picked_device())
        self.about.setCurrentWidget(self.words)

    def _offer(self) -> None:
        """Which buttons can be used, and what they are about."""
        situation, named = self.situation, self.list.condition is not None
        by_hand, there = situation.setting.by_hand, situation.boat is not None
        about = situation.opened or self.picked_device()
        for name, usable in (
            ("keep", named and by_hand), ("add", there), ("name", named), ("delete", named), ("back", by_hand),
            ("off", there), ("out", bool(about)),
        ):  # fmt: skip
            self.buttons[name].setEnabled(usable)
        self.buttons["out"].setChecked(bool(situation.opened))
        self.buttons["out"].setText(self._out_text(about))

    def _out_text(self, key: str) -> str:
        if self.situation.boat is None or not key:
            return tr("Device out")
        name = device_name(self.situation.boat, key).partition(" ")[0]
        return (tr("{name} is out") if self.situation.opened else tr("{name} out")).format(name=name)

    def _follow_selection(self) -> None:
        """The trace of what is selected; it comes to the front where the sheet shows values."""
        self._offer()
        keys, standing = sorted(self.selection.keys), self.situation.current
        if standing is None or len(keys) != 1:
            self.trace.show_nothing()
            return
        boat, steps = standing.boat, trace(standing.boat, standing.solution, keys[0])
        self.trace.show_steps(boat, key_text(keys[0], boat), case_name(standing), steps)
        if self.situation.view in ("volts", "loading"):
            self.about.setCurrentWidget(self.trace)

    def _seek(self, item: QListWidgetItem) -> None:
        if item.data(ROLE):
            self.sought.emit(item.data(ROLE))

    def _keep(self) -> None:
        """The condition says what is set; nothing is set by hand any more."""
        situation = self.situation
        if situation.boat is not None:
            self.list.keep(*as_condition(situation.boat, case_for(situation.boat, situation.setting)))

    def _add(self) -> None:
        """A condition of what is set; it is chosen, and its name can be typed over."""
        situation = self.situation
        boat = situation.boat
        if boat is None:
            return
        switches, duty = as_condition(boat, case_for(boat, situation.setting))
        base = self.list.add(switches, duty)
        if base:
            situation.take_base(base)
            self.list.name_anew()


def view_texts() -> tuple[tuple[Shown, str], ...]:
    """What the sheet can show."""
    return (
        ("nothing", tr("Sheet: findings")),
        ("live", tr("Sheet: what is live")),
        ("volts", tr("Sheet: volts and amps")),
        ("loading", tr("Sheet: loading")),
    )


def _row(widgets: object, stretch: int = 0) -> QWidget:
    row = QWidget()
    box = QHBoxLayout(row)
    box.setContentsMargins(6, 4, 6, 5)
    box.setSpacing(4)
    for widget in widgets:  # type: ignore[attr-defined]
        box.addWidget(widget, stretch)
    if not stretch:
        box.addStretch(1)
    return row


def _column(*widgets: QWidget) -> QWidget:
    column = QWidget()
    box = QVBoxLayout(column)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(0)
    for widget in widgets:
        box.addWidget(widget, 1 if isinstance(widget, (QListWidget, PositionTree, QTabWidget)) else 0)
    return column

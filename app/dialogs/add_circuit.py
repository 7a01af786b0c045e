"""Add a circuit: say what it is and where; see at once on which way it goes, with what fuse and wire, and what limits it.

The sheet behind shows the circuit in redline while one types. The engine decides; here it is asked and told.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.panels.editors import Choice
from app.refusals import sentence
from engine.messages import tr
from engine.model.edits.records import EditRefused
from engine.pipeline import Analysis, analyse
from engine.remedies.addition import Plan, Wanted, add_circuit, planned
from engine.remedies.growth import Room, rooms, stays_live
from engine.remedies.growth_words import place_name
from engine.remedies.limit_words import room_text
from engine.remedies.plan_words import device_text, open_lines, plan_run, wire_text
from engine.rules.wording import key_text
from engine.units import QuantityError, parse_quantity

if TYPE_CHECKING:
    from app.workbench import Workbench
    from engine.library.device import DeviceKind, Library
    from engine.model.document import Document

PAUSE_MS = 180
"""After this pause in typing the engine is asked."""
WIDTH = 520
PLAIN_KIND = "load_dc"
USUAL_M = "5 m"


class AddCircuitDialog(QDialog):
    """The form, the answer below it, and the circuit in redline on the sheet behind."""

    def __init__(self, bench: Workbench, position: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Add a circuit"))
        self.setFixedWidth(WIDTH)
        self.bench = bench
        self.document: Document = bench.store.document
        self.analysis = _analysis(bench)
        self.rooms = _dc_rooms(self.analysis)
        self.plan: Plan | None = None
        self.name, self.amount, self.distance = (QLineEdit(self) for _ in range(3))
        self.unit, self.kind, self.place, self.drop, self.way = (Choice(self) for _ in range(5))
        self.engine = QCheckBox(tr("The cable passes the engine space"), self)
        self.room, self.answer, self.detail = (QLabel(self) for _ in range(3))
        self.add, self.cancel = QPushButton(tr("Add the circuit"), self), QPushButton(tr("Cancel"), self)
        self._pause = QTimer(self, interval=PAUSE_MS, singleShot=True)
        self._fill()
        self._lay_out()
        self._join()
        self.choose(position)

    def _fill(self) -> None:
        self.unit.addItems(["W", "A"])
        for kind in _kinds(self.bench.library):
            self.kind.addItem(tr(kind.title), kind.id)
        self.kind.setCurrentIndex(self.kind.findData(PLAIN_KIND))
        self.place.addItem(tr("not said"), "")
        for space in self.document.network.compartments:
            self.place.addItem(space.name, space.id)
        self.drop.addItem(tr("ordinary: at most 10 %"), False)
        self.drop.addItem(tr("critical: at most 3 %"), True)
        self.way.addItem(tr("the first spare way that takes it"), "")
        for room in self.rooms:
            self.way.addItem(_way_title(self.analysis, room), room.key)
        self.distance.setText("16 ft" if self.document.network.particulars.units == "us" else USUAL_M)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setSpacing(8)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        draws = QHBoxLayout()
        draws.addWidget(self.amount, 1)
        draws.addWidget(self.unit)
        for text, widget, row in (
            (tr("Name"), self.name, self.name), (tr("What it is"), self.kind, self.kind),
            (tr("Draws"), self.amount, draws), (tr("Cable, one way"), self.distance, self.distance),
            (tr("Voltage drop"), self.drop, self.drop), (tr("Place of the load"), self.place, self.place),
            (tr("On way"), self.way, self.way),
        ):  # fmt: skip
            widget.setAccessibleName(text)
            form.addRow(text, row)
        form.insertRow(6, "", self.engine)
        self.unit.setAccessibleName(tr("Watts or amperes"))
        self.name.setPlaceholderText(tr("Reading lamp"))
        box = QVBoxLayout(self)
        box.setContentsMargins(22, 18, 22, 16)
        box.setSpacing(10)
        box.addLayout(form)
        box.addWidget(self.room)
        box.addWidget(self._answer_frame())
        box.addLayout(self._buttons())

    def _answer_frame(self) -> QFrame:
        """The answer in a frame of a set height, so that the buttons stay where they are."""
        frame = QFrame(self)
        frame.setObjectName("caution")
        frame.setMinimumHeight(168)
        inside = QVBoxLayout(frame)
        inside.setContentsMargins(12, 10, 12, 10)
        for label in (self.room, self.answer, self.detail):
            label.setWordWrap(True)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.room.setObjectName("soft")
        self.room.setAccessibleName(tr("What may be added"))
        self.answer.setAccessibleName(tr("What would be added"))
        self.detail.setObjectName("soft")
        inside.addWidget(self.answer)
        inside.addWidget(self.detail)
        inside.addStretch(1)
        return frame

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.cancel)
        row.addWidget(self.add)
        self.add.setDefault(True)
        self.add.setEnabled(False)
        return row

    def _join(self) -> None:
        for line in (self.name, self.amount, self.distance):
            line.textChanged.connect(lambda _text: self._later())
        for choice in (self.unit, self.kind, self.place, self.drop, self.way):
            choice.currentIndexChanged.connect(lambda _index: self._later())
        self.engine.toggled.connect(lambda _on: self._later())
        self.way.currentIndexChanged.connect(lambda _index: self._tell_room())
        self._pause.timeout.connect(self.ask)
        self.add.clicked.connect(self.take)
        self.cancel.clicked.connect(self.close)

    def choose(self, position: str) -> None:
        """A way picked on the sheet: it is set, and what may be added there is said."""
        self.way.setCurrentIndex(max(0, self.way.findData(position)))
        self._tell_room()
        self.ask()

    def _later(self) -> None:
        """The answer no longer fits what is asked."""
        self.plan = None
        self.add.setEnabled(False)
        self._pause.start()

    def _tell_room(self) -> None:
        room = next((each for each in self.rooms if each.key == self.way.currentData()), None)
        if room is not None:
            text = room_text(self.analysis.boat, room)
            self.room.setText(f"{place_name(self.analysis.boat, room)}: {text}.")
        elif self.rooms:
            boat = self.analysis.boat
            best = max(self.rooms, key=lambda each: (not stays_live(boat, each.part), each.amps.least))
            text = room_text(self.analysis.boat, best)
            self.room.setText(tr("Most on {way}: {room}.").format(way=place_name(self.analysis.boat, best), room=text))
        else:
            self.room.setText(tr("The boat has no spare way for direct current."))

    def wanted(self) -> Wanted:
        """What the form says. Raises QuantityError for a text that is no number."""
        amount = _number(self.amount.text(), self.unit.currentText(), self.unit.currentText())
        bare = "ft" if self.document.network.particulars.units == "us" else "m"
        return Wanted(
            label=self.name.text().strip() or self.kind.currentText(),
            distance_m=_number(self.distance.text(), "m", bare) or 0.0,
            current_a=amount if self.unit.currentText() == "A" else None,
            power_w=amount if self.unit.currentText() == "W" else None,
            critical=bool(self.drop.currentData()),
            kind=self.kind.currentData(),
            position=self.way.currentData(),
            compartment=self.place.currentData(),
            engine_space=self.engine.isChecked(),
        )

    def ask(self) -> None:
        """Ask the engine, and show the answer here and on the sheet."""
        self._pause.stop()
        self.plan = None
        self._follow()
        if not self.amount.text().strip():
            self._say(tr("Say what it draws."), "")
            return
        try:
            self.plan = self._planned()
        except QuantityError as error:
            self._say(str(error), "", wrong=True)
        except EditRefused as refused:
            self._say(sentence(refused), "", wrong=True)
        else:
            self._show(self.plan)

    def _planned(self) -> Plan:
        bench = self.bench
        return planned(self.document, self.wanted(), bench.library, bench.symbols, None, self.analysis)

    def _follow(self) -> None:
        """Look at the boat anew where somebody has changed it meanwhile."""
        if self.document is not self.bench.store.document:
            self.document = self.bench.store.document
            self.analysis = _analysis(self.bench)
            self.rooms = _dc_rooms(self.analysis)
            self._tell_room()

    def _show(self, plan: Plan) -> None:
        run, boat = plan_run(plan), self.analysis.boat
        told = [
            device_text(plan),
            wire_text(plan, run),
            tr("No thinner, since {reason}.").format(reason=plan.fit.reason),
        ]
        told += [f"{text[:1].upper()}{text[1:]}." for text in open_lines(plan, boat)]
        told.append(tr("Checked: nothing breaks that did not break before."))
        self._say(
            tr("On {where}").format(where=key_text(plan.room.key, boat)), "\n".join(_sentence(text) for text in told)
        )
        self.add.setEnabled(True)
        keys = (plan.room.key, f"part:{plan.part_id}", f"run:{plan.run_id}")
        self.bench.show_sheet(plan.sheet_id)
        self.bench.view.bench.preview(lambda _document: plan.document, keys)

    def _say(self, answer: str, detail: str, wrong: bool = False) -> None:
        self.answer.setObjectName("problem" if wrong else "headline")
        self.answer.style().unpolish(self.answer)
        self.answer.style().polish(self.answer)
        self.answer.setText(answer)
        self.detail.setText(detail)
        if self.plan is None:
            self.add.setEnabled(False)
            self.bench.view.bench.preview(None)

    def take(self) -> None:
        """Do it, in one step of undo; the load is selected."""
        if self.plan is None or self.bench.store.document is not self.document:
            self.ask()
        plan = self.plan
        if plan is None:
            return
        bench, wanted, before = self.bench, self.wanted(), self.document

        def edit(document: Document) -> Document:
            return plan.document if document is before else add_circuit(document, wanted, bench.library, bench.symbols)

        if bench.store.apply(edit, tr("Add a circuit: {name}").format(name=wanted.label)):
            bench.going(f"part:{plan.part_id}")()
            self.close()

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        self._pause.stop()
        self.bench.view.bench.preview(None)
        super().closeEvent(event)


def _analysis(bench: Workbench) -> Analysis:
    kept = bench.analyst.analysis if bench.analyst.current else None
    return kept or analyse(bench.store.document.network, bench.library)


def _dc_rooms(analysis: Analysis) -> list[Room]:
    return [room for room in rooms(analysis.boat, analysis.report.books) if room.is_dc]


def _kinds(library: Library) -> list[DeviceKind]:
    """What a circuit can end in, by title."""
    found = [kind for kind in library.values() if kind.role == "load_dc" and _has_supply(kind)]
    return sorted(found, key=lambda kind: kind.title)


def _has_supply(kind: DeviceKind) -> bool:
    return any(port.name == "supply" for port in kind.port)


def _way_title(analysis: Analysis, room: Room) -> str:
    label = room.position.label if room.position else ""
    state = tr("prepared") if room.position and room.position.state == "prepared" else tr("spare")
    return " · ".join(text for text in (place_name(analysis.boat, room), state, label) if text)


def _number(text: str, unit: str, bare: str) -> float | None:
    """One number as typed, with or without its unit; of a range the larger end. None for nothing."""
    value = parse_quantity(text, unit, bare)
    number = max(value) if isinstance(value, tuple) else value
    return None if number is None or math.isnan(number) else number


def _sentence(text: str) -> str:
    plain = text.rstrip(".")
    return f"{plain[:1].upper()}{plain[1:]}."

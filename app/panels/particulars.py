"""The Particulars dock: a form of what is selected, filled in place. Knows subjects and fields; no particular field."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.panels.boat_lists import boat_lists
from app.panels.editors import Choice
from app.panels.listings import positions_of
from app.panels.rows import FieldRow
from app.panels.small_lists import BoatList, PositionList, SmallList
from app.selection import Selection
from app.store import Store, edit_with
from app.subjects import (
    Subject,
    boat_subject,
    common_value,
    evidence_of,
    filled,
    poles_kind,
    sheet_subject,
    subject_of,
    with_evidence,
)
from engine.library.device import Library, Preset
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.fields import set_values
from engine.model.network import Evidence


class ParticularsPanel(QWidget):
    """The form. Another selection makes another form; a change of the document only fills the form anew."""

    told = Signal(str)
    """A refusal, for the note bar."""

    def __init__(self, store: Store, selection: Selection, library: Library, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.store, self.selection, self.library = store, selection, library
        self.sheet_id = store.document.sheets[0].id
        self.title, self.about = QLabel(self), QLabel(self)
        self.scroller = QScrollArea(self)
        self.rows: dict[tuple[str, str], FieldRow] = {}
        self.lists: list[SmallList] = []
        self.subjects: tuple[Subject, ...] = ()
        self._lay_out()
        store.changed.connect(self._changed)
        selection.changed.connect(lambda _keys: self.follow())
        self.follow()

    def _lay_out(self) -> None:
        self.title.setObjectName("headline")
        self.about.setObjectName("soft")
        for label in (self.title, self.about):
            label.setWordWrap(True)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.scroller.setWidgetResizable(True)
        self.scroller.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.scroller.setFrameShape(QFrame.Shape.NoFrame)
        head = QVBoxLayout()
        head.setContentsMargins(12, 10, 12, 6)
        head.setSpacing(1)
        head.addWidget(self.title)
        head.addWidget(self.about)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addLayout(head)
        box.addWidget(self.scroller, 1)

    def show_sheet(self, sheet_id: str) -> None:
        """Another sheet is in front; with nothing selected its fields are shown below the boat's."""
        self.sheet_id = sheet_id
        self.follow()

    def focus_field(self, key: str) -> bool:
        """Put the keyboard into a field of the form, by the field's key; False where it has none."""
        for (_, name), row in self.rows.items():
            if name == key or name.removeprefix("values.") == key:
                row.editor.setFocus(Qt.FocusReason.ShortcutFocusReason)
                self.scroller.ensureWidgetVisible(row)
                return True
        return False

    def focus_first(self) -> None:
        """Put the keyboard into the form."""
        row = next(iter(self.rows.values()), None)
        if row:
            row.editor.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _changed(self, old: Document, new: Document) -> None:
        if old.network is not new.network or old.sheets is not new.sheets:
            self.follow()

    def follow(self) -> None:
        """Show what is selected now."""
        subjects = self._subjects()
        same = [one.identity for one in subjects] == [one.identity for one in self.subjects]
        self.subjects = subjects
        self.title.setText(subjects[0].title or tr("Unnamed"))
        self.about.setText(subjects[0].about)
        if not same:
            self._build()
        self._fill()

    def _subjects(self) -> tuple[Subject, ...]:
        document = self.store.document
        subject = subject_of(document, tuple(sorted(self.selection.keys)), self.library)
        if subject.kind != "boat":
            return (subject,)
        known = {sheet.id for sheet in document.sheets}
        sheet_id = self.sheet_id if self.sheet_id in known else document.sheets[0].id
        return (boat_subject(document), sheet_subject(document, sheet_id))

    def _build(self) -> None:
        body = QWidget()
        body.setObjectName("scrollBody")
        self._form = QVBoxLayout(body)
        self._form.setContentsMargins(12, 2, 12, 14)
        self._form.setSpacing(5)
        self.rows, self.lists = {}, []
        for subject in self.subjects:
            self._build_subject(subject, body)
        self._form.addStretch(1)
        self.scroller.setWidget(body)

    def _build_subject(self, subject: Subject, body: QWidget) -> None:
        if subject.kind == "sheet":
            self._heading(tr("This sheet"), body)
        self._add_presets(subject, body)
        group = ""
        positions_done = False
        for field in subject.fields:
            if field.group != group:
                if group and not positions_done:
                    positions_done = self._add_positions(subject, body)
                group = field.group
                self._heading(group, body)
            row = FieldRow(field, self.store.document.network.particulars.units, body)
            row.entered.connect(lambda value, s=subject, f=field: self._enter(s, f, value))
            row.stated.connect(lambda evidence, s=subject, f=field: self._state(s, f, evidence))
            self.rows[subject.keys[0], field.key] = row
            self._form.addWidget(row)
        if subject.kind == "boat":
            for schedule in boat_lists():
                self._add_list(BoatList(schedule, self.store, self.library, body), body)
        if not positions_done:
            self._add_positions(subject, body)

    def _heading(self, text: str, body: QWidget) -> None:
        if text:
            label = QLabel(text, body)
            label.setObjectName("group")
            self._form.addWidget(label)

    def _add_positions(self, subject: Subject, body: QWidget) -> bool:
        if subject.kind == "part" and poles_kind(self.library.get(subject.records[0].kind)):
            part_id = subject.records[0].id
            made = PositionList(positions_of(part_id), part_id, self.store, self.library, body)
            made.picked.connect(self.selection.set)
            self._add_list(made, body)
        return True

    def _add_list(self, made: SmallList, body: QWidget) -> None:
        self._heading(made.view.table.schedule.title, body)
        made.told.connect(self.told)
        self.lists.append(made)
        self._form.addWidget(made)

    def _add_presets(self, subject: Subject, body: QWidget) -> None:
        kind = self.library.get(subject.records[0].kind) if subject.kind == "part" else None
        if kind is None or not kind.preset:
            return
        box = Choice(body)
        box.setAccessibleName(tr("Usual values"))
        box.addItem(tr("Take usual values …"))
        for number, preset in enumerate(kind.preset, 1):
            box.addItem(preset.title)
            box.setItemData(number, preset.source, Qt.ItemDataRole.ToolTipRole)
        box.activated.connect(lambda at, s=subject, k=kind: self._take_preset(box, s, k.preset[at - 1] if at else None))
        self._form.addWidget(box)

    def _take_preset(self, box: QComboBox, subject: Subject, preset: Preset | None) -> None:
        box.setCurrentIndex(0)
        if preset:
            text = tr("Usual values: {preset}").format(preset=preset.title)
            self.store.apply(edit_with(set_values, subject.records[0].id, dict(preset.values)), text)

    def _fill(self) -> None:
        world = self.store.document.network.particulars.units
        for subject in self.subjects:
            for field in subject.fields:
                same, value = common_value(subject, field)
                row = self.rows[subject.keys[0], field.key]
                row.show_value(value, world, several=not same)
                row.show_evidence(evidence_of(subject, field))
        for made in self.lists:
            made.follow()

    def _enter(self, subject: Subject, field: Any, value: Any) -> None:
        if not self.store.apply(lambda document: filled(document, subject.keys, field.key, value), field.title):
            self._fill()

    def _state(self, subject: Subject, field: Any, evidence: tuple[Evidence, ...]) -> None:
        key = subject.keys[0]
        text = tr("How {field} is known").format(field=field.title)
        self.store.apply(lambda document: with_evidence(document, key, field, evidence), text)

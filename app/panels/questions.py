"""The Questions dock: what to measure or look up next, and what to look at aboard, with a place for the answers.

Knows questions and answers; no rule and no sheet. `sought` carries the key of what a question is about.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QDoubleValidator, QIcon
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QToolButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.marks import Severity, mark_icon, severity_word
from app.store import Store, edit_with
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.edits.answering import answer, unanswer
from engine.model.network import Answer
from engine.pipeline import Analysis
from engine.rules.inspection.questions import Question, inspection_list
from engine.rules.missing import Ask, what_next
from engine.rules.wording import field_of, key_text

ROLE = Qt.ItemDataRole.UserRole


class QuestionsPanel(QWidget):
    """The list, and under it how to look and the buttons that take an answer."""

    sought = Signal(str)
    """The key of what a person picked a question about."""

    def __init__(self, store: Store, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.store, self.dark = store, False
        self.list, self.how, self.summary = QTreeWidget(self), QLabel(self), QLabel(self)
        self.value, self.by, self.date = QLineEdit(self), QLineEdit(self), QLineEdit(self)
        self.buttons = {
            "yes": self._button(tr("Yes"), lambda: self.give(True)),
            "no": self._button(tr("No"), lambda: self.give(False)),
            "value": self._button(tr("Enter"), self._give_value),
            "back": self._button(tr("Take back"), self._take_back),
        }
        self._analysis: Analysis | None = None
        self._late: Analysis | None = None
        self._in_sight = True
        self._icons: dict[tuple[Severity, bool], QIcon] = {}
        self._lay_out()
        self.list.currentItemChanged.connect(lambda _now, _old: self._picked())
        self.value.returnPressed.connect(self._give_value)
        self._picked()

    def _button(self, text: str, act: Callable[[], None]) -> QToolButton:
        button = QToolButton(self)
        button.setObjectName("plain")
        button.setText(text)
        button.clicked.connect(act)
        return button

    def _lay_out(self) -> None:
        self.list.setAccessibleName(tr("Questions"))
        self.list.setHeaderLabels([tr("Grave"), tr("Of"), tr("Question"), tr("Answer")])
        self.list.setUniformRowHeights(True)
        self.list.setAllColumnsShowFocus(True)
        self.list.header().setStretchLastSection(False)
        self.list.header().setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        self.list.setIndentation(10)
        for column, width in enumerate((132, 180, 400, 150)):
            self.list.setColumnWidth(column, width)
        for field, hint, width in (
            (self.value, tr("measured"), 90),
            (self.by, tr("by"), 130),
            (self.date, tr("date"), 100),
        ):
            field.setPlaceholderText(hint)
            field.setAccessibleName(hint)
            field.setFixedWidth(width)
        self.value.setValidator(QDoubleValidator(self))
        for label in (self.how, self.summary):
            label.setObjectName("soft")
        self.how.setWordWrap(True)
        row = QHBoxLayout()
        row.setContentsMargins(8, 2, 8, 6)
        row.setSpacing(5)
        row.addWidget(self.how, 1)
        for widget in (
            self.value,
            self.buttons["value"],
            self.buttons["yes"],
            self.buttons["no"],
            self.buttons["back"],
        ):
            row.addWidget(widget)
        row.addWidget(self.by)
        row.addWidget(self.date)
        self.summary.setContentsMargins(8, 4, 8, 4)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.summary)
        box.addWidget(self.list, 1)
        box.addLayout(row)

    def set_dark(self, dark: bool) -> None:
        """Marks in the colours of the theme."""
        self.dark = dark
        if self._analysis is not None:
            self.show_analysis(self._analysis)

    def take_analysis(self, analysis: Analysis) -> None:
        """Show what is open, or keep it until somebody looks."""
        self._late = None if self._in_sight else analysis
        if self._late is None:
            self.show_analysis(analysis)

    def watch(self, in_sight: bool) -> None:
        """Somebody can see the panel from now on, with what has waited; or nobody can."""
        self._in_sight = in_sight
        if in_sight and self._late is not None:
            self.take_analysis(self._late)

    def show_analysis(self, analysis: Analysis) -> None:
        """Show what is open; what was picked stays picked while it is there."""
        self._analysis, kept = analysis, self._identity()
        asks, questions = what_next(analysis.report), inspection_list(analysis.boat, analysis.report.books)
        unseen = sum(question.answer is None for question in questions)
        self.list.blockSignals(True)
        self.list.clear()
        self._group(tr("To measure or look up"), [self._ask_item(ask, analysis.boat) for ask in asks])
        self._group(tr("To look at aboard"), [self._question_item(each, analysis.boat) for each in questions])
        self._pick(kept)
        self.list.blockSignals(False)
        self.summary.setText(
            tr(
                "{asks} fields keep checks open · {unseen} of {all} questions for eyes and meters are not answered"
            ).format(asks=len(asks), unseen=unseen, all=len(questions))
        )
        self._picked(seek=False)

    def _group(self, title: str, items: list[QTreeWidgetItem]) -> None:
        head = QTreeWidgetItem([title])
        head.setFirstColumnSpanned(True)
        self.list.addTopLevelItem(head)
        head.addChildren(items)
        head.setExpanded(True)
        head.setFirstColumnSpanned(True)

    def _icon(self, severity: Severity) -> QIcon:
        """The mark of a severity, drawn once for each theme."""
        if (severity, self.dark) not in self._icons:
            self._icons[severity, self.dark] = mark_icon(severity, self.dark)
        return self._icons[severity, self.dark]

    def _ask_item(self, ask: Ask, boat: Boat) -> QTreeWidgetItem:
        settles = tr("settles {settles}, {alone} alone").format(settles=ask.settles, alone=ask.alone)
        item = QTreeWidgetItem(
            [severity_word(ask.worst), key_text(ask.key, boat), field_of(ask.key, ask.field, boat), settles]
        )
        item.setIcon(0, self._icon(ask.worst))
        item.setData(0, ROLE, ask)
        return item

    def _question_item(self, question: Question, boat: Boat) -> QTreeWidgetItem:
        grave, about = question.item.severity, key_text(question.subject, boat)
        item = QTreeWidgetItem([severity_word(grave), about, question.item.question, answer_text(question)])
        item.setIcon(0, self._icon(grave))
        item.setToolTip(2, question.item.question)
        item.setData(0, ROLE, question)
        return item

    def current(self) -> Ask | Question | None:
        """What is picked."""
        item = self.list.currentItem()
        found = item.data(0, ROLE) if item is not None else None
        return found if isinstance(found, (Ask, Question)) else None

    def _identity(self) -> tuple[str, str] | None:
        return identity(self.current())

    def _pick(self, wanted: tuple[str, str] | None) -> None:
        for item in self.items():
            if wanted is not None and identity(item.data(0, ROLE)) == wanted:
                self.list.setCurrentItem(item)

    def items(self) -> list[QTreeWidgetItem]:
        """Every row below the two heads."""
        heads = [self.list.topLevelItem(number) for number in range(self.list.topLevelItemCount())]
        return [child for head in heads if head is not None for number in range(head.childCount())
                if (child := head.child(number)) is not None]  # fmt: skip

    def _picked(self, seek: bool = True) -> None:
        picked = self.current()
        question = picked if isinstance(picked, Question) else None
        measured = question is not None and bool(question.item.unit)
        for name, shown in (("yes", question and not measured), ("no", question and not measured), ("value", measured),
                            ("back", question is not None and question.answer is not None)):  # fmt: skip
            self.buttons[name].setVisible(bool(shown))
        self.value.setVisible(measured)
        for field in (self.by, self.date):
            field.setVisible(question is not None)
        self.how.setText(f"{question.item.how} {question.item.unit and f'({question.item.unit})'}" if question else "")
        if seek and picked is not None:
            self.sought.emit(picked.subject if isinstance(picked, Question) else picked.key)

    def give(self, value: bool | float) -> None:
        """Take an answer to the question that is picked into the document."""
        question = self.current()
        if isinstance(question, Question):
            given = Answer(item=question.item.id, subject=question.subject, answer=value, by=self.by.text().strip(),
                           date=self.date.text().strip())  # fmt: skip
            self.store.apply(edit_with(answer, given), tr("Answer: {text}").format(text=question.item.question))

    def _give_value(self) -> None:
        if self.value.hasAcceptableInput():
            self.give(self.value.locale().toDouble(self.value.text())[0])
            self.value.clear()

    def _take_back(self) -> None:
        question = self.current()
        if isinstance(question, Question):
            edit = edit_with(unanswer, question.item.id, question.subject)
            self.store.apply(edit, tr("Take an answer back"))


def identity(picked: object) -> tuple[str, str] | None:
    """The same question before and after an edit."""
    if isinstance(picked, Question):
        return picked.item.id, picked.subject
    return (picked.field, picked.key) if isinstance(picked, Ask) else None


def answer_text(question: Question) -> str:
    """What was answered, by whom and when; nothing where nobody has looked."""
    given = question.answer
    if given is None:
        return ""
    told = (
        tr("yes")
        if given.answer is True
        else tr("no")
        if given.answer is False
        else f"{given.answer:g} {question.item.unit}"
    )
    return " · ".join(text for text in (told, given.by, given.date) if text)

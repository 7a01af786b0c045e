"""One finding at length: the sentence, the sum with its numbers, the clause and how well it is known, the remedy."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from app.marks import mark, severity_word
from app.panels.finding_list import ShownFinding
from engine.messages import tr
from engine.pipeline import Analysis
from engine.rules.runner import failed
from engine.rules.standing import standing
from engine.rules.wording import basis_text, decided_text, formula, remedy, status_text


class FindingText(QWidget):
    """The detail beside the list; every text can be selected and copied."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("scrollBody")
        self.dark = False
        self._finding: ShownFinding | None = None
        self._analysis: Analysis | None = None
        self._mark, self._head, self._sentence = QLabel(self), QLabel(self), QLabel(self)
        self._lines = QGridLayout()
        self._labels: list[QLabel] = []
        self._lay_out()

    def _lay_out(self) -> None:
        self._head.setObjectName("headline")
        self._head.setWordWrap(True)
        self._sentence.setWordWrap(True)
        for label in (self._head, self._sentence):
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._mark.setFixedWidth(22)
        self._lines.setHorizontalSpacing(10)
        self._lines.setVerticalSpacing(5)
        self._lines.setColumnStretch(1, 1)
        top = QGridLayout()
        top.setHorizontalSpacing(6)
        top.addWidget(self._mark, 0, 0, Qt.AlignmentFlag.AlignTop)
        top.addWidget(self._head, 0, 1)
        top.addWidget(self._sentence, 1, 1)
        top.setColumnStretch(1, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 10, 14, 12)
        box.setSpacing(9)
        box.addLayout(top)
        box.addLayout(self._lines)
        box.addStretch(1)

    def placeholder(self, text: str) -> None:
        """Nothing is picked: say what could be."""
        self._finding = None
        self._mark.clear()
        self._head.hide()
        self._sentence.setObjectName("soft")
        self._sentence.setText(text)
        self._restyle()
        self._clear()

    def show_finding(self, finding: ShownFinding, analysis: Analysis) -> None:
        """All there is to say about a finding."""
        self._finding, self._analysis = finding, analysis
        self._mark.setPixmap(mark(finding.severity, self.dark))
        self._head.setText(f"{severity_word(finding.severity).capitalize()} · {tr(finding.finding.rule.title)}")
        self._head.show()
        self._sentence.setObjectName("")
        self._sentence.setText(finding.sentence)
        self._restyle()
        self._clear()
        for title, text in texts_of(finding, analysis):
            self._add(title, text)

    def again(self) -> None:
        """The same once more, after a change of theme."""
        if self._finding and self._analysis:
            self.show_finding(self._finding, self._analysis)

    def _restyle(self) -> None:
        self._sentence.style().unpolish(self._sentence)
        self._sentence.style().polish(self._sentence)

    def _clear(self) -> None:
        for label in self._labels:
            self._lines.removeWidget(label)
            label.hide()  # until it is deleted, when the program is next idle
            label.deleteLater()
        self._labels = []

    def _add(self, title: str, text: str) -> None:
        row = len(self._labels) // 2
        name, value = QLabel(title, self), QLabel(text, self)
        name.setObjectName("soft")
        value.setWordWrap(True)
        value.setTextFormat(Qt.TextFormat.PlainText)
        value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._lines.addWidget(name, row, 0, Qt.AlignmentFlag.AlignTop)
        self._lines.addWidget(value, row, 1, Qt.AlignmentFlag.AlignTop)
        self._labels += [name, value]


def texts_of(finding: ShownFinding, analysis: Analysis) -> list[tuple[str, str]]:
    """(title, text) of what is known about a finding, without what is empty."""
    one = finding.finding
    if failed(one):
        return [
            (tr("Remedy"), tr("Report this to whoever keeps the program. The question stays open.")),
            (tr("Rule"), one.rule.id),
        ]
    told = [
        (tr("Decided"), "\n".join(decided_text(one))),
        (tr("Sum"), formula(one)),
        (tr("Remedy"), remedy(one, analysis.boat)),
        (tr("Binding"), standing(one.book, analysis.boat.network.particulars)),
        (tr("Basis"), "\n".join(basis_text(basis) for basis in one.basis)),
        (tr("Numbers"), "\n".join(one.outcome.sources)),
        (tr("Known"), status_text(one.outcome.status) if one.outcome.status else ""),
        (tr("Why"), tr(one.rule.why)),
        (tr("Rule"), one.rule.id),
    ]
    return [(title, text) for title, text in told if text]

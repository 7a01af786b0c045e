"""Leave a finding as it is: why, who says so, and when. Without all three nothing is written."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from engine.messages import tr
from engine.model.edits.house import deviate
from engine.model.house import Deviation

if TYPE_CHECKING:
    from app.panels.finding_list import ShownFinding
    from app.workbench import Workbench

WIDTH = 520


class DeviationDialog(QDialog):
    """The finding in words, three fields, and what the deviation does and does not do."""

    def __init__(self, bench: Workbench, found: ShownFinding, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Leave it as it is"))
        self.setFixedWidth(WIDTH)
        self.bench, self.found = bench, found
        self.reason, self.by, self.date = (QLineEdit(self) for _ in range(3))
        self.by.setText(bench.store.document.network.particulars.drawn_by)
        self.date.setText(date.today().isoformat())
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel, self)
        self.leave = self.buttons.addButton(tr("Leave it as it is"), QDialogButtonBox.ButtonRole.AcceptRole)
        self._lay_out()
        for field in (self.reason, self.by, self.date):
            field.textChanged.connect(self._judge)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self._judge()
        self.reason.setFocus()

    def _lay_out(self) -> None:
        said, note = QLabel(self.found.sentence, self), QLabel(_consequence(self.found), self)
        said.setObjectName("strong")
        note.setObjectName("soft")
        form = QFormLayout()
        form.setSpacing(10)
        for title, field in ((tr("Reason"), self.reason), (tr("Name"), self.by), (tr("Date"), self.date)):
            field.setAccessibleName(title)
            form.addRow(title, field)
        box = QVBoxLayout(self)
        box.setContentsMargins(22, 20, 22, 18)
        box.setSpacing(14)
        for label in (said, note):
            label.setWordWrap(True)
        box.addWidget(said)
        box.addLayout(form)
        box.addWidget(note)
        box.addWidget(self.buttons)

    def _judge(self) -> None:
        self.leave.setEnabled(all(field.text().strip() for field in (self.reason, self.by, self.date)))

    def accept(self) -> None:
        """One step of undo."""
        outcome = self.found.finding.outcome
        stated = Deviation(
            rule=self.found.finding.rule.id, code=outcome.code, subject=outcome.subjects[0], reason=self.reason.text().strip(),
            by=self.by.text().strip(), date=self.date.text().strip(),
        )  # fmt: skip
        if self.bench.store.apply(lambda document: deviate(document, stated), tr("Leave it as it is")):
            super().accept()


def _consequence(found: ShownFinding) -> str:
    if found.finding.severity == "danger":
        return tr("This is a danger: the deviation is printed with it, and it stays on the list and in the count.")
    return tr(
        "It is no longer counted, stands last in the list, and is printed in the report with reason, name and date."
    )

"""The house rules that the boat is checked by: their lines as a yard writes them, taken from a file, or taken out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFileDialog, QLabel, QPlainTextEdit, QVBoxLayout, QWidget

from engine.files.opening import OpenError, open_boat
from engine.messages import tr
from engine.model.edits.house import set_house
from engine.model.house import House
from engine.sketch.house import write_house

if TYPE_CHECKING:
    from app.workbench import Workbench

SIZE = (760, 420)


class HouseDialog(QDialog):
    """What is asked besides the rulebooks, and two buttons."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("House rules"))
        self.resize(*SIZE)
        self.bench = bench
        self.text, self.said = QPlainTextEdit(self), QLabel(self)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        self.take = self.buttons.addButton(tr("Take from a file …"), QDialogButtonBox.ButtonRole.ActionRole)
        self.drop = self.buttons.addButton(tr("Take out"), QDialogButtonBox.ButtonRole.ActionRole)
        self._lay_out()
        self.take.clicked.connect(self._ask)
        self.drop.clicked.connect(lambda: self._set(House()))
        self.buttons.rejected.connect(self.reject)
        bench.store.changed.connect(self._show)
        self._show()

    def _lay_out(self) -> None:
        about = QLabel(tr("A yard may ask more of its boats than the rulebooks do: lower voltage drops, free ways, sizes in stock, "
                          "colours, numbers. It never makes a danger less than one."), self)  # fmt: skip
        about.setWordWrap(True)
        self.said.setWordWrap(True)
        self.said.setObjectName("soft")
        self.text.setReadOnly(True)
        self.text.setAccessibleName(tr("House rules"))
        self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.WidgetWidth)
        box = QVBoxLayout(self)
        box.setContentsMargins(22, 20, 22, 18)
        box.setSpacing(12)
        box.addWidget(about)
        box.addWidget(self.text, 1)
        box.addWidget(self.said)
        box.addWidget(self.buttons)

    def _show(self, *_documents: object) -> None:
        house = self.bench.store.document.network.house
        self.text.setPlainText("\n".join(write_house(house)) or tr("This boat has no house rules."))
        self.drop.setEnabled(house != House())

    def _ask(self) -> None:
        kinds = tr("House rules and boats (*.txt *.boat)")
        name, _ = QFileDialog.getOpenFileName(self, tr("Take house rules from"), "", kinds)
        if name:
            self.read(Path(name))

    def read(self, path: Path) -> None:
        """The house rules that stand in this file, in place of what the boat has."""
        try:
            house = open_boat(path, self.bench.library).network.house
        except OpenError as error:
            self.said.setText(tr("{name} was not read. {why}").format(name=path.name, why=error))
            return
        if house == House():
            self.said.setText(tr("There are no house rules in {name}.").format(name=path.name))
            return
        self._set(house)

    def _set(self, house: House) -> None:
        self.said.setText("")
        self.bench.store.apply(lambda document: set_house(document, house), tr("House rules"))

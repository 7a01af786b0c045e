"""What the program is, what it is not, and which rulebooks it knows how well."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.icons import program_icon
from app.start_card import caution
from engine.cli import VERSION
from engine.messages import tr


class AboutDialog(QDialog):
    """A page of text."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("About and caution"))
        self.setFixedWidth(560)
        sign, name = QLabel(self), QLabel(f"Loomwright {VERSION}", self)
        sign.setPixmap(program_icon().pixmap(36, 36))
        name.setObjectName("bigName")
        head = QHBoxLayout()
        head.setSpacing(12)
        head.addWidget(sign)
        head.addWidget(name, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(28, 24, 28, 20)
        box.setSpacing(12)
        box.addLayout(head)
        for text in (caution(), *paragraphs()):
            label = QLabel(text, self)
            label.setWordWrap(True)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            box.addWidget(label)
        box.addStretch(1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        box.addWidget(buttons)
        self.setFixedHeight(box.heightForWidth(self.width()))


def paragraphs() -> tuple[str, ...]:
    """What else is to be said."""
    return (
        tr(
            "Each finding names its rule, the document and edition it rests on, and whether that was read in the source, "
            "quoted second hand or written down from memory. A check that lacks a field says so; what is missing never passes."
        ),
        tr(
            "What was not drawn was not checked. The list of findings says how many checks ran and how many could not answer."
        ),
        tr("Letters: Loomwright Sans, under the SIL Open Font License 1.1."),
    )

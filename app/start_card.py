"""What stands over an empty sheet: what the program is and is not, the last boats, and how to begin."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QToolButton, QVBoxLayout, QWidget

from app.icons import program_icon
from engine.messages import tr


def caution() -> str:
    """The words on the first screen and in the About box."""
    return tr(
        "Loomwright checks a drawing, not a boat. It knows what the drawing says and nothing else. The standards themselves, "
        "local codes and a qualified marine electrician come first; numbers marked as quoted second hand or from memory "
        "are to be confirmed before anyone relies on them."
    )


class StartCard(QFrame):
    """`opened` carries the path of a recent boat."""

    begun = Signal()
    asked = Signal()
    opened = Signal(str)

    def __init__(self, recent: Sequence[str], parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("caution")
        self.setAccessibleName(tr("Welcome"))
        self.setFixedWidth(520)
        box = QVBoxLayout(self)
        box.setContentsMargins(28, 24, 28, 22)
        box.setSpacing(10)
        box.addLayout(self._head())
        words = QLabel(caution(), self)
        words.setWordWrap(True)
        box.addWidget(words)
        box.addSpacing(4)
        box.addLayout(self._buttons())
        self._list_recent(recent, box)
        box.addStretch(1)
        self.setFixedHeight(box.heightForWidth(self.width()))

    def _head(self) -> QHBoxLayout:
        sign, name = QLabel(self), QLabel("Loomwright", self)
        sign.setPixmap(program_icon().pixmap(36, 36))
        name.setObjectName("bigName")
        head = QHBoxLayout()
        head.setSpacing(12)
        head.addWidget(sign)
        head.addWidget(name, 1)
        return head

    def _buttons(self) -> QHBoxLayout:
        draw, load = QPushButton(tr("Draw a new boat"), self), QPushButton(tr("Open a boat …"), self)
        draw.setDefault(True)
        draw.clicked.connect(self.begun)
        load.clicked.connect(self.asked)
        row = QHBoxLayout()
        row.addWidget(draw)
        row.addWidget(load)
        row.addStretch(1)
        return row

    def _list_recent(self, recent: Sequence[str], box: QVBoxLayout) -> None:
        shown = [path for path in recent if Path(path).exists()][:5]
        if shown:
            title = QLabel(tr("Recent boats"), self)
            title.setObjectName("group")
            box.addWidget(title)
        for path in shown:
            button = QToolButton(self)
            button.setObjectName("quiet")
            button.setText(f"{Path(path).stem}    {Path(path).parent}")
            button.setToolTip(path)
            button.setCursor(Qt.CursorShape.PointingHandCursor)
            button.clicked.connect(lambda _on, name=path: self.opened.emit(name))
            box.addWidget(button)

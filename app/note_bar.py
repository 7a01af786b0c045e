"""A line above the sheet that says what, where and what to do; never a box in the way. Knows no document."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton, QWidget

from engine.messages import tr

Offer = tuple[str, Callable[[], object]]


class NoteBar(QFrame):
    """Says one thing at a time. A refusal goes with the next change; an offer stays until it is answered."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("noteBar")
        self.setAccessibleName(tr("Note"))
        self._text = QLabel(self)
        self._text.setWordWrap(True)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._buttons: list[QToolButton] = []
        self._stays = False
        self._box = QHBoxLayout(self)
        self._box.setContentsMargins(10, 4, 8, 4)
        self._box.addWidget(self._text, 1)
        self._box.addWidget(self._button("✗", tr("Close this note"), self.hide, "quiet"))
        self.hide()

    @property
    def text(self) -> str:
        """What it says; "" when it is not shown."""
        return "" if self.isHidden() else self._text.text()

    def say(self, text: str) -> None:
        """A refusal or a notice. It does not push an open offer away."""
        if self._stays and not self.isHidden():
            return
        self._show(text, (), False)

    def offer(self, text: str, offers: Sequence[Offer]) -> None:
        """Something to decide, whenever it suits."""
        self._show(text, offers, True)

    def settle(self) -> None:
        """What was refused is history: the document has changed since."""
        if not self._stays:
            self.hide()

    def _show(self, text: str, offers: Sequence[Offer], stays: bool) -> None:
        for old in self._buttons:
            self._box.removeWidget(old)
            old.deleteLater()
        self._stays = stays
        self._text.setText(text)
        self._buttons = [self._button(name, name, self._answer(act), "plain") for name, act in offers]
        for number, button in enumerate(self._buttons):
            self._box.insertWidget(1 + number, button)
        self.setAccessibleDescription(text)
        self.show()

    def _answer(self, act: Callable[[], object]) -> Callable[[], None]:
        def answered() -> None:
            self._stays = False
            self.hide()
            act()

        return answered

    def _button(self, text: str, about: str, act: Callable[[], object], look: str) -> QToolButton:
        button = QToolButton(self)
        button.setObjectName(look)
        button.setText(text)
        button.setAccessibleName(about)
        button.setToolTip(about)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.clicked.connect(lambda: act())
        return button

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if event.key() == Qt.Key.Key_Escape:
            self.hide()
            return
        super().keyPressEvent(event)

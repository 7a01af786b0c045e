"""The line at the foot: what the next click does; findings counted by severity; zoom; whether it is saved."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QLabel, QStatusBar, QToolButton, QWidget

from engine.drawing.severity import SEVERITIES, Severity
from engine.messages import counted, tr


class StatusLine(QStatusBar):
    """`findings_wanted` comes when the counts are clicked."""

    findings_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizeGripEnabled(False)
        self.next_click, self.checked, self.zoom, self.saved = (QLabel(self) for _ in range(4))
        self.next_click.setAccessibleName(tr("What the next click does"))
        self.next_click.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self.addWidget(self.next_click, 1)
        self.counts = {severity: self._count_button() for severity in SEVERITIES}
        self._dark: bool | None = None
        for label in (self.checked, self.zoom, self.saved):
            self.addPermanentWidget(label)
        self.show_saved(True, "")

    def say(self, text: str) -> None:
        """What the next click does. Kept to one line: the whole of it is in the tip."""
        self.next_click.setText(text)
        self.next_click.setToolTip(text)

    def show_counts(self, counts: Mapping[Severity, int], summary: str, dark: bool) -> None:
        """The findings by severity, as marks with numbers."""
        from app.marks import mark_icon, severity_word

        for severity, button in self.counts.items():
            if dark is not self._dark:
                button.setIcon(mark_icon(severity, dark))
            button.setText(str(counts[severity]))
            words = counted("1 finding: {severity}", "{count} findings: {severity}", counts[severity])
            words = words.format(severity=severity_word(severity))
            button.setToolTip(words)
            button.setAccessibleName(words)
            button.show()
        self._dark = dark
        self.checked.setToolTip(summary)

    def _count_button(self) -> QToolButton:
        button = QToolButton(self)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setIconSize(QSize(14, 14))
        button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        button.clicked.connect(self.findings_wanted)
        self.addPermanentWidget(button)
        button.hide()
        return button

    def show_checked(self, text: str) -> None:
        """How many checks ran, or that they are running."""
        self.checked.setText(text)

    def show_zoom(self, scale: float, points_per_mm: float) -> None:
        """The zoom against life size."""
        self.zoom.setText(f"{round(100 * scale / points_per_mm)} %")

    def show_saved(self, clean: bool, name: str) -> None:
        """Whether the file is as the drawing."""
        self.saved.setText(tr("saved") if clean else tr("not saved"))
        self.saved.setToolTip(name)

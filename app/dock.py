"""A dock with our own title line. Knows nothing of what is in it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDockWidget, QHBoxLayout, QLabel, QToolButton, QWidget

from engine.messages import tr


class Dock(QDockWidget):
    """`plain`: no title line, for docks that share a place and have tabs."""

    def __init__(self, name: str, title: str, plain: bool, parent: QWidget) -> None:
        super().__init__(title, parent)
        self.setObjectName(f"dock-{name}")
        self.setAccessibleName(title)
        self.setTitleBarWidget(QWidget(self) if plain else self._title_line(title))
        self.setWidget(QWidget(self))

    def _title_line(self, title: str) -> QWidget:
        line = QWidget(self)
        line.setObjectName("dockTitle")
        line.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        close = QToolButton(line)
        close.setText("✗")
        close.setAccessibleName(tr("Put {dock} away").format(dock=title))
        close.setToolTip(close.accessibleName())
        close.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        close.clicked.connect(self.close)
        box = QHBoxLayout(line)
        box.setContentsMargins(0, 0, 6, 0)
        box.addWidget(QLabel(title, line), 1)
        box.addWidget(close)
        return line

    def fill(self, content: QWidget) -> None:
        """Put in what it is for."""
        old = self.widget()
        self.setWidget(content)
        self.setFocusProxy(content)
        if old:
            old.deleteLater()

    def is_in_sight(self) -> bool:
        """Shown, and not behind another tab."""
        return self.isVisible() and not self.visibleRegion().isEmpty()

    def show_only(self) -> None:
        """In sight, with the keyboard left where it is."""
        self.show()
        self.raise_()

    def bring(self) -> None:
        """In sight, with the keyboard in it."""
        self.show_only()
        content = self.widget()
        if content:
            content.setFocus(Qt.FocusReason.ShortcutFocusReason)

"""Menus, tool strip and shortcuts made from the table of actions; which of them can be used is asked again and again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu, QToolBar

from app.actions import Action, actions, menu_titles
from app.icons import icon
from app.style import Theme
from engine.messages import tr

if TYPE_CHECKING:
    from app.workbench import Workbench


class Menus:
    """The QActions of a window, by action id."""

    def __init__(self, window: QMainWindow) -> None:
        self.table: Mapping[str, Action] = {action.id: action for action in actions()}
        self.bench: Workbench | None = None
        self._theme: Theme | None = None
        self.made = {action.id: self._made(action, window) for action in self.table.values()}
        self.recent = QMenu(tr("Recent boats"), window)
        self._fill_menus(window)
        self.strip = self._strip(window)

    def _made(self, action: Action, window: QMainWindow) -> QAction:
        made = QAction(action.text, window)
        made.setObjectName(f"action-{action.id}")
        made.setShortcut(QKeySequence(action.shortcut))
        made.setCheckable(action.checked is not None)
        made.setEnabled(False)
        plain = action.text.rstrip(" …")
        made.setToolTip(f"{plain}  ({made.shortcut().toString(QKeySequence.SequenceFormat.NativeText)})")
        made.triggered.connect(lambda: self.run(action.id))
        window.addAction(made)
        return made

    def _fill_menus(self, window: QMainWindow) -> None:
        for name, title in menu_titles().items():
            menu = window.menuBar().addMenu(title)
            menu.aboutToShow.connect(self.refresh)
            group = 0
            for action in self.table.values():
                if action.menu == name:
                    if action.group != group:
                        menu.addSeparator()
                    group = action.group
                    menu.addAction(self.made[action.id])
                    if action.id == "open":
                        menu.addMenu(self.recent)

    def _strip(self, window: QMainWindow) -> QToolBar:
        strip = QToolBar(tr("Tools"), window)
        strip.setObjectName("strip")
        strip.setMovable(False)
        strip.setFloatable(False)
        strip.setIconSize(QSize(20, 20))
        strip.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
        bar = ""
        for action in self.table.values():
            if action.bar:
                if bar and action.bar != bar:
                    strip.addSeparator()
                bar = action.bar
                strip.addAction(self.made[action.id])
        window.addToolBar(strip)
        return strip

    def set_theme(self, theme: Theme) -> None:
        """Signs in the colours of the theme; before the window is filled those of the strip, which are all that is seen."""
        self._theme = theme
        self._draw_signs(in_strip=True)
        if self.bench is not None:
            self._draw_signs(in_strip=False)

    def _draw_signs(self, in_strip: bool) -> None:
        for action in self.table.values():
            if action.icon and self._theme and bool(action.bar) == in_strip:
                self.made[action.id].setIcon(icon(action.icon, self._theme))

    def attach(self, bench: Workbench) -> None:
        """From now on the actions have something to act on."""
        self.bench = bench
        self._draw_signs(in_strip=False)
        self.refresh()

    def detach(self) -> None:
        """The window goes: nothing is left to act on."""
        self.bench = None

    def usable(self, action_id: str) -> bool:
        """Whether the action can be used now."""
        return self.bench is not None and self.table[action_id].when(self.bench)

    def run(self, action_id: str) -> None:
        """Do it, if it can be done."""
        if self.bench is not None and self.usable(action_id):
            self.table[action_id].run(self.bench)
        self.refresh()

    def refresh(self) -> None:
        """Which can be used, which are on, and what undo would undo."""
        if self.bench is None:
            return
        for action in self.table.values():
            made = self.made[action.id]
            made.setEnabled(action.when(self.bench))
            if action.checked is not None:
                made.setChecked(action.checked(self.bench))
        stack = self.bench.store.undo_stack
        self.made["undo"].setText(_named(self.table["undo"].text, stack.undoText()))
        self.made["redo"].setText(_named(self.table["redo"].text, stack.redoText()))


def _named(verb: str, text: str) -> str:
    return f"{verb}: {text}" if text else verb

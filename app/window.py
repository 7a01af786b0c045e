"""The window: menus, strip, sheets as tabs, the sheet in the middle, docks round it, the line at the foot.

A shell that is on the screen before anything heavy is loaded; app/workbench.py fills it. Knows no document.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec
from PySide6.QtCore import QByteArray, QEvent, QObject, Qt, Signal
from PySide6.QtGui import QCloseEvent, QShowEvent
from PySide6.QtWidgets import QApplication, QMainWindow, QSizePolicy, QVBoxLayout, QWidget

from app.dock import Dock
from app.finder import Finder
from app.icons import program_icon
from app.menus import Menus
from app.note_bar import NoteBar
from app.settings import Settings, read_settings, write_settings
from app.sheet_bar import SheetBar
from app.status_line import StatusLine
from app.style import THEMES, Theme, apply
from engine.messages import tr

Area = Qt.DockWidgetArea
PLACES = {
    "stores": Area.LeftDockWidgetArea,
    "particulars": Area.RightDockWidgetArea,
    "findings": Area.BottomDockWidgetArea,
    "schedules": Area.BottomDockWidgetArea,
    "questions": Area.BottomDockWidgetArea,
    "conditions": Area.BottomDockWidgetArea,
}


class Window(QMainWindow):
    """`look_changed` comes when theme or grid are others; `closing` before the window goes."""

    look_changed = Signal()
    closing = Signal()

    def __init__(self, settings_file: Path) -> None:
        super().__init__()
        self._settings_file = settings_file
        self.settings: Settings = read_settings(settings_file)
        self.setWindowIcon(program_icon())
        self.setWindowTitle("Loomwright")
        self.resize(1440, 900)
        self.setDockOptions(QMainWindow.DockOption.AllowTabbedDocks | QMainWindow.DockOption.AnimatedDocks)
        self.menus = Menus(self)
        self.sheets, self.notes, self.offers = SheetBar(self), NoteBar(self), NoteBar(self)
        self.desk = QWidget(self)
        self.card: QWidget | None = None
        self._lay_out_middle()
        self.docks = self._docks()
        self.foot = StatusLine(self)
        self.setStatusBar(self.foot)
        self.finder = self._add_finder()
        self._restore()
        self.set_look()

    def _lay_out_middle(self) -> None:
        self.desk.setObjectName("graph")
        self.desk.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.desk.installEventFilter(self)
        inner = QVBoxLayout(self.desk)
        inner.setContentsMargins(0, 0, 0, 0)
        middle = QWidget(self)
        box = QVBoxLayout(middle)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        for widget in (self.sheets, self.offers, self.notes):
            box.addWidget(widget)
        box.addWidget(self.desk, 1)
        self.setCentralWidget(middle)

    def _docks(self) -> dict[str, Dock]:
        titles = {
            "stores": tr("Stores"),
            "particulars": tr("Particulars"),
            "findings": tr("Findings"),
            "schedules": tr("Schedules"),
            "questions": tr("Questions"),
            "conditions": tr("Conditions"),
        }
        made = {
            name: Dock(name, titles[name], area == Area.BottomDockWidgetArea, self) for name, area in PLACES.items()
        }
        for name, dock in made.items():
            self.addDockWidget(PLACES[name], dock)
        self.tabifyDockWidget(made["findings"], made["schedules"])
        self.tabifyDockWidget(made["schedules"], made["questions"])
        self.tabifyDockWidget(made["questions"], made["conditions"])
        made["findings"].raise_()
        self.setTabPosition(Area.BottomDockWidgetArea, self._north())
        self.setCorner(Qt.Corner.BottomLeftCorner, Area.LeftDockWidgetArea)
        self.setCorner(Qt.Corner.BottomRightCorner, Area.BottomDockWidgetArea)  # the tables below want the width
        return made

    def _first_sizes(self) -> None:
        """Docks as wide as their contents want at first; a window that is remembered keeps its own."""
        if not self.settings.layout:
            sides = [self.docks["stores"], self.docks["particulars"]]
            self.resizeDocks(sides, [286, 360], Qt.Orientation.Horizontal)
            self.resizeDocks([self.docks["findings"]], [272], Qt.Orientation.Vertical)

    @staticmethod
    def _north() -> Any:
        from PySide6.QtWidgets import QTabWidget

        return QTabWidget.TabPosition.North

    def _add_finder(self) -> Finder:
        finder = Finder(self)
        gap = QWidget(self)
        gap.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.menus.strip.addWidget(gap)
        self.menus.strip.addWidget(finder)
        return finder

    def dock(self, name: str) -> Dock:
        """A dock by name: stores, particulars, findings, schedules, questions, conditions."""
        return self.docks[name]

    def stops(self) -> list[QWidget]:
        """Where F6 goes, in order: the sheet, Stores, Particulars, the dock at the foot."""
        found = [self.desk, *(dock for dock in self.docks.values() if dock.is_in_sight())]
        return [stop for stop in found if stop.focusProxy() is not None]

    @property
    def theme(self) -> Theme:
        """The theme in use."""
        return THEMES["dark" if self.settings.dark else "light"]

    def set_look(self, **changes: bool) -> None:
        """Theme and grid, remembered for the next start."""
        self.settings = msgspec.structs.replace(self.settings, **changes)
        application = QApplication.instance()
        if isinstance(application, QApplication) and (not changes or "dark" in changes):
            apply(application, self.theme)
            self.menus.set_theme(self.theme)
        self.look_changed.emit()

    def put_on_desk(self, view: QWidget) -> None:
        """The sheet takes its place."""
        layout = self.desk.layout()
        assert layout is not None
        layout.addWidget(view)
        self.desk.setFocusProxy(view)

    def show_card(self, card: QWidget | None) -> None:
        """A card over the middle of the sheet, or none any more."""
        if self.card is not None:
            self.card.hide()
            self.card.deleteLater()
        self.card = card
        if card is not None:
            card.show()
            self._centre_card()

    def _centre_card(self) -> None:
        if self.card is not None:
            free = self.desk.size() - self.card.size()
            self.card.move(max(0, free.width() // 2), max(0, free.height() // 3))
            self.card.raise_()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """The card keeps to the middle of the desk."""
        if event.type() == QEvent.Type.Resize:
            self._centre_card()
        return super().eventFilter(watched, event)

    def remember(self, settings: Settings) -> None:
        """Other settings (recent files, say)."""
        self.settings = settings
        write_settings(self._settings_file, settings)

    def _restore(self) -> None:
        if self.settings.geometry:
            self.restoreGeometry(QByteArray.fromBase64(self.settings.geometry.encode()))
        if self.settings.layout:
            self.restoreState(QByteArray.fromBase64(self.settings.layout.encode()))

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        super().showEvent(event)
        self._first_sizes()

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        self.closing.emit()
        geometry, layout = (
            bytes(state.toBase64().data()).decode() for state in (self.saveGeometry(), self.saveState())
        )
        self.remember(msgspec.structs.replace(self.settings, geometry=geometry, layout=layout))
        super().closeEvent(event)

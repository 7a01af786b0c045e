"""Starts the editor, and is the only place that builds things: first the window, then, once it is seen, the rest."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from app.settings import settings_path
from app.window import Window

if TYPE_CHECKING:
    from app.selection import Selection
    from app.situation import Situation
    from app.store import Store
    from app.workbench import Panes, Workbench
    from engine.library.device import Library


def main(path: str | None = None) -> int:
    """Open the editor, with a boat where a path is given; the exit status when it is closed."""
    application = QApplication.instance()
    if not isinstance(application, QApplication):
        application = QApplication(sys.argv[:1])
    application.setApplicationName("loomwright")
    application.setApplicationDisplayName("Loomwright")
    window = open_window(settings_path())
    QTimer.singleShot(0, lambda: furnish(window, path))
    return application.exec()


def open_window(settings_file: Path) -> Window:
    """The window as it is first seen: nothing heavy is loaded for it."""
    from app.letters import register_font

    register_font()
    window = Window(settings_file)
    window.show()
    QApplication.processEvents()
    return window


def furnish(window: Window, path: str | None, recovery: Path | None = None) -> Workbench:
    """Load the library and fill the window; then open the boat, offer what was recovered, or show how to begin."""
    from app.analyst import Analyst
    from app.canvas.view import View
    from app.files import Files
    from app.selection import Selection
    from app.situation import Situation
    from app.store import Store
    from app.sweeping import Sweeper
    from app.workbench import Workbench
    from engine.drawing.sheet import Draughtsman
    from engine.files.recovery import recovery_folder
    from engine.library.device import load_library
    from engine.library.expand import ports_of
    from engine.library.symbol import load_symbols
    from engine.model.network import Part

    library, symbols = load_library(), load_symbols()

    def port_names(part: Part) -> set[str]:
        kind = library.get(part.kind)
        return {port.name for port in ports_of(part, kind)} if kind else set()

    store, selection = Store(ports=port_names, parent=window), Selection(window)
    draughtsman = Draughtsman(library, symbols)
    view = View(store, selection, library, draughtsman, store.document.sheets[0].id)
    analyst = Analyst(store, library, window)
    panes = _panes(window, store, selection, library, Situation(analyst, window))
    files = Files(window, store, library, symbols, recovery or recovery_folder())
    window.put_on_desk(view)
    bench = Workbench(window, store, selection, library, symbols, draughtsman, view, panes, analyst, files)
    window.menus.attach(bench)
    window.finder.bench = bench
    sweeper = Sweeper(window)
    sweeper.begin()
    window.closing.connect(analyst.wait)
    window.closing.connect(sweeper.end)
    window.closing.connect(window.menus.detach)
    files.begin(path)
    return bench


def _panes(window: Window, store: Store, selection: Selection, library: Library, situation: Situation) -> Panes:
    from app.panels.conditions import ConditionsPanel
    from app.panels.findings import FindingsPanel
    from app.panels.particulars import ParticularsPanel
    from app.panels.questions import QuestionsPanel
    from app.panels.result_schedule import result_schedule
    from app.panels.schedules import SchedulesPanel
    from app.panels.stores import StoresPanel
    from app.workbench import Panes

    panes = Panes(
        StoresPanel(window),
        ParticularsPanel(store, selection, library, window),
        FindingsPanel(window),
        SchedulesPanel(store, selection, library, window, (result_schedule(situation),)),
        QuestionsPanel(store, window),
        ConditionsPanel(store, selection, situation, window),
    )
    panes.stores.setMinimumWidth(190)
    panes.particulars.setMinimumWidth(290)
    for name in ("stores", "particulars", "findings", "schedules", "questions", "conditions"):
        window.dock(name).fill(getattr(panes, name))
    return panes

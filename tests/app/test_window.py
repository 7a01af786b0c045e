"""The window: it builds, its parts have names for a screen reader, themes and docks work, and nothing heavy is loaded."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QComboBox, QLineEdit, QMainWindow, QWidget
from pytestqt.qtbot import QtBot

from app.menus import Menus
from app.style import LIGHT
from app.workbench import Workbench


def test_first_window_loads_nothing_heavy() -> None:
    script = (
        "import sys, app.window; "
        "heavy = {'pint', 'reportlab', 'shapely', 'scipy', 'openpyxl', 'networkx', 'numpy'} & set(sys.modules); "
        "print(','.join(sorted(heavy)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


def test_first_window_is_painted_before_boats_and_drawings_are_loaded(tmp_path: Path) -> None:
    script = (
        "import sys; from pathlib import Path; from PySide6.QtWidgets import QApplication; "
        "application = QApplication([]); from app.main import open_window; "
        f"window = open_window(Path({str(tmp_path / 'settings.json')!r})); assert window.isVisible(); "
        "later = ('engine.model', 'engine.graph', 'engine.rules', 'engine.files', 'engine.library.device', "
        "'engine.drawing.annotate', 'app.canvas', 'app.panels', 'app.dialogs'); "
        "print(','.join(sorted(name for name in sys.modules if name.startswith(later))))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


def test_signs_of_the_strip_come_first_and_the_others_with_the_workbench(qtbot: QtBot, bench: Workbench) -> None:
    host = QMainWindow()
    qtbot.addWidget(host)
    menus = Menus(host)
    menus.set_theme(LIGHT)
    with_sign = {action.id for action in menus.table.values() if action.icon}
    strip = {action.id for action in menus.table.values() if action.icon and action.bar}
    assert {name for name, made in menus.made.items() if not made.icon().isNull()} == strip < with_sign
    filled = bench.window.menus.made
    assert {name for name, made in filled.items() if not made.icon().isNull()} == with_sign


def test_window_has_all_its_parts(bench: Workbench) -> None:
    window = bench.window
    assert window.isVisible()
    assert {name for name, dock in window.docks.items() if dock.isVisible()} >= {"stores", "particulars", "findings"}
    assert window.sheets.tabs.count() == len(bench.store.document.sheets)
    assert window.desk.focusProxy() is bench.view


def test_every_control_has_a_name_for_a_screen_reader(bench: Workbench) -> None:
    bench.selection.set(("part:p4",))
    nameless = [
        f"{type(widget).__name__} in {type(widget.parentWidget()).__name__}"
        for widget in bench.window.findChildren(QWidget)
        if isinstance(widget, (QLineEdit, QComboBox, QAbstractItemView, QAbstractButton))
        and widget.focusPolicy() != Qt.FocusPolicy.NoFocus
        and widget.isVisible()
        and not (widget.accessibleName() or (isinstance(widget, QAbstractButton) and widget.text()))
        and not widget.objectName().startswith("qt_")
    ]
    assert nameless == []


def test_dark_and_light_are_remembered(bench: Workbench, qtbot: QtBot) -> None:
    light = bench.window.grab().toImage().pixelColor(5, 5)
    bench.window.menus.run("dark")
    assert bench.window.settings.dark
    assert bench.window.grab().toImage().pixelColor(5, 5) != light
    bench.window.menus.run("dark")
    assert not bench.window.settings.dark
    bench.window.menus.run("grid")
    assert not bench.window.settings.grid


def test_f6_goes_round_the_window(bench: Workbench, qtbot: QtBot) -> None:
    bench.window.activateWindow()
    bench.view.setFocus()
    seen = []
    for _ in bench.window.stops():
        bench.window.menus.run("next-pane")
        focus = bench.window.focusWidget()
        seen.append(next(n for n, stop in enumerate(bench.window.stops()) if stop is focus or stop.isAncestorOf(focus)))
    assert sorted(seen) == list(range(len(bench.window.stops())))


def test_a_refusal_is_said_above_the_sheet_and_goes_with_the_next_change(bench: Workbench) -> None:
    from app.store import edit_with
    from engine.model.edits.fields import rename

    first, second = bench.store.document.network.parts[:2]
    assert not bench.store.apply(edit_with(rename, first.id, second.designation), "Rename")
    assert second.designation in bench.window.notes.text
    bench.store.apply(edit_with(rename, first.id, "X99"), "Rename")
    assert bench.window.notes.text == ""


def test_sheets_are_tabs(bench: Workbench) -> None:
    bench.window.menus.run("sheet-new")
    assert len(bench.store.document.sheets) == 2
    assert bench.sheet_id == bench.store.document.sheets[1].id
    assert bench.window.sheets.tabs.currentIndex() == 1
    bench.window.menus.run("sheet-previous")
    assert bench.sheet_id == bench.store.document.sheets[0].id
    bench.window.sheets.tabs.setCurrentIndex(1)
    bench.window.menus.run("sheet-remove")
    assert len(bench.store.document.sheets) == 1


def test_undo_names_what_it_undoes(bench: Workbench) -> None:
    bench.selection.set(("part:p4",))
    bench.window.menus.run("turn")
    assert "Turn" in bench.window.menus.made["undo"].text()
    bench.window.menus.run("undo")
    assert "Turn" in bench.window.menus.made["redo"].text()

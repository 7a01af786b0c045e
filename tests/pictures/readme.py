"""The pictures of the README, made again: `python -m tests.pictures.readme`. Not collected as a test."""

from __future__ import annotations

import os
import subprocess
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog

from app.dialogs.add_circuit import AddCircuitDialog
from app.dialogs.curves import CurvesDialog
from app.dialogs.energy import EnergyDialog
from app.main import furnish, open_window
from app.workbench import Workbench

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "sample_boats" / "pictures"


def spin(seconds: float) -> None:
    """Let the window work."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        QApplication.processEvents()
        time.sleep(0.01)


def opened(boat: str, folder: Path) -> Workbench:
    """The window with a sample boat."""
    window = open_window(folder / "settings.ini")
    window.resize(1600, 1000)
    bench = furnish(window, str(ROOT / "sample_boats" / boat), folder / "recovery")
    spin(2.5)
    return bench


def shoot(bench: Workbench, name: str) -> None:
    """Write what the window shows."""
    spin(0.6)
    bench.window.grab().save(str(FOLDER / name))


def shorted(bench: Workbench, wire: str, name: str) -> None:
    """Select a wire, press the keys, write the answer's window."""
    run = next(run for run in bench.store.document.network.runs if run.number == wire)
    bench.selection.set((f"run:{run.id}",))
    QTest.keyClick(bench.window, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    spin(0.6)
    dialog = bench.window.findChild(CurvesDialog)
    assert dialog is not None
    dialog.grab().save(str(FOLDER / name))
    dialog.close()


def starting(bench: Workbench, motor: str, name: str) -> None:
    """Everything on, the motor starts, volts on the sheet, the sentence in the Conditions dock."""
    panel = bench.panes.conditions
    bench.window.dock("conditions").bring()
    panel.list.setCurrentRow(1)
    part = next(part for part in bench.store.document.network.parts if part.designation == motor)
    for choice, value in ((panel.motor, part.id), (panel.view, "volts")):
        choice.setCurrentIndex(choice.findData(value))
        choice.activated.emit(choice.currentIndex())
        spin(1.0)
    bench.selection.clear()
    panel.about.setCurrentWidget(panel.words)
    shoot(bench, name)
    panel.view.setCurrentIndex(0)
    panel.view.activated.emit(0)


def asked(bench: Workbench, action: str, dialog: type[QDialog], name: str) -> None:
    """Run an action and write the window that answers."""
    bench.window.menus.run(action)
    spin(1.5)
    shown = bench.window.findChild(dialog)
    assert isinstance(shown, dialog)
    if isinstance(shown, AddCircuitDialog):
        shown.name.setText("Reading lamp")
        shown.amount.setText("10")
        spin(2.0)
    shown.grab().save(str(FOLDER / name))
    shown.close()


def pages(folder: Path) -> None:
    """Pages of the papers as pictures."""
    from engine.cli import main

    main(["export", str(ROOT / "sample_boats" / "quill_34.boat"), "--out", str(folder), "--paper", "A4"])
    for paper, page, name in (("panel-schedule", 1, "panel_schedule"), ("owners-drawing", 6, "owners_index")):
        source = folder / f"quill_34-{paper}.pdf"
        target = FOLDER / name
        page_only = ["-f", str(page), "-l", str(page), "-singlefile"]
        subprocess.run(["pdftoppm", "-r", "75", "-png", *page_only, str(source), str(target)], check=True)


def main() -> None:
    """Make every picture."""
    FOLDER.mkdir(exist_ok=True)
    application = QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        bench = opened("quill_34.boat", Path(folder) / "a")
        shoot(bench, "quill_34.png")
        shorted(bench, "103", "masthead_shorted.png")
        starting(bench, "M2", "windlass_starting.png")
        asked(bench, "how-long", EnergyDialog, "at_anchor.png")
        panel = next(part for part in bench.store.document.network.parts if part.designation == "A1")
        bench.selection.set((f"position:{panel.id}/22",))
        asked(bench, "add-circuit", AddCircuitDialog, "add_a_circuit.png")
        bench.window.close()
        bench = opened("marguerite_as_built.boat", Path(folder) / "b")
        bench.panes.findings.step(1)
        shoot(bench, "marguerite_finding.png")
        bench.window.close()
        pages(Path(folder))
    application.quit()


if __name__ == "__main__":
    main()

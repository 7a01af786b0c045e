"""From an edit to its findings in the real window: the 500-run boat, one thing changed, the findings shown and drawn.

Counted from the end of the pause that the program waits for further edits.

python -m tests.bench.edit
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEventLoop
from PySide6.QtWidgets import QApplication

from app.analyst import PAUSE_MS
from app.main import furnish, open_window
from app.store import Edit
from app.workbench import Workbench
from engine.drawing.layout import lay_out
from engine.model.edits.fields import set_position, set_run_fields, set_value
from engine.model.edits.placing import delete
from tests.bench.boat import big_boat
from tests.bench.rounds import ROUNDS

SIZES = ("16 AWG", "12 AWG")
GOAL_MS = 100


def main() -> int:
    """Print the row."""
    application = QApplication.instance() or QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        bench = _window(Path(folder))
        print(f"edit to findings, {len(bench.store.document.network.runs)} runs, after the pause of {PAUSE_MS} ms")
        for name, edit_of in _edits(bench).items():
            found = sorted(_one(bench, edit_of(number)) for number in range(ROUNDS))
            least, middle = 1e3 * found[0], 1e3 * found[len(found) // 2]
            print(
                f"    {name:<28} least {least - PAUSE_MS:4.0f} ms, median {middle - PAUSE_MS:4.0f} ms   goal {GOAL_MS} ms"
            )
        bench.store.mark_clean()
        bench.window.close()
    application.processEvents()
    return 0


def _window(folder: Path) -> Workbench:
    window = open_window(folder / "settings.json")
    window.resize(1600, 1000)
    bench = furnish(window, None, folder / "recovery")
    window.show_card(None)
    bench.store.load(lay_out(big_boat(bench.library), bench.library, bench.symbols))
    _until_checked(bench)
    return bench


def _until_checked(bench: Workbench) -> None:
    """Wait as the event loop waits: a loop that only asks would keep the worker thread from its work."""
    while not bench.analyst.current:
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    QApplication.processEvents()


def _edits(bench: Workbench) -> dict[str, Callable[[int], Edit]]:
    """By name the edit of each round, every one another."""
    document = bench.store.document
    shown = {place.part for place in document.sheets[0].places}
    runs = [run.id for run in document.network.runs if {run.a.part, run.b.part} <= shown]
    fuse = next(part.id for part in document.network.parts if part.id in shown and "rating_a" in part.values)
    loads = [part.id for part in document.network.parts if "running_a" in part.values]
    panel = next(part for part in document.network.parts if part.positions)
    way = panel.positions[0].key
    return {
        "size of a conductor": lambda number: lambda boat: set_run_fields(boat, runs[5], size=SIZES[number % 2]),
        "rating of a fuse": lambda number: lambda boat: set_value(boat, fuse, "rating_a", 30.0 + number),
        "label of a way": lambda number: lambda boat: set_position(boat, panel.id, way, label=f"Circuit {number}"),
        "one run less": lambda number: lambda boat: delete(boat, [f"run:{runs[number]}"]),
        "one load with its runs less": lambda number: lambda boat: delete(boat, [f"part:{loads[number]}"]),
    }


def _one(bench: Workbench, edit: Edit) -> float:
    """Seconds from the edit to the findings on the screen."""
    begun = time.perf_counter()
    bench.store.apply(edit, "Edit")
    _until_checked(bench)
    return time.perf_counter() - begun


if __name__ == "__main__":
    sys.exit(main())

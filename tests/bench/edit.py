"""From an edit to its findings in the real window: the 500-run boat, one size changed, the findings shown and drawn.

Counted from the end of the pause that the program waits for further edits; least of the rounds.

python -m tests.bench.edit
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEventLoop
from PySide6.QtWidgets import QApplication

from app.analyst import PAUSE_MS
from app.main import furnish, open_window
from app.workbench import Workbench
from engine.drawing.layout import lay_out
from engine.model.edits.fields import set_run_fields
from tests.bench.boat import big_boat
from tests.bench.rounds import ROUNDS

SIZES = ("16 AWG", "12 AWG")
GOAL_MS = 100


def main() -> int:
    """Print the row."""
    application = QApplication.instance() or QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        bench = _window(Path(folder))
        found = sorted(_one(bench, SIZES[number % 2]) for number in range(ROUNDS))
        least, middle = 1e3 * found[0], 1e3 * found[len(found) // 2]
        print(f"edit to findings, {len(bench.store.document.network.runs)} runs, after the pause of {PAUSE_MS} ms: "
              f"least {least - PAUSE_MS:.0f} ms, median {middle - PAUSE_MS:.0f} ms   goal {GOAL_MS} ms")  # fmt: skip
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


def _one(bench: Workbench, size: str) -> float:
    """Seconds from the edit to the findings on the screen."""
    run = bench.store.document.network.runs[-1].id
    begun = time.perf_counter()
    bench.store.apply(lambda document: set_run_fields(document, run, size=size), "Size")
    _until_checked(bench)
    return time.perf_counter() - begun


if __name__ == "__main__":
    sys.exit(main())

"""Lets Python look for its garbage in the window's own thread only.

Left to itself the collector runs in whichever thread happens to allocate; a worker thread would then delete widgets and pixmaps
that belong to the window, and the program crashes. Knows no widget.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 1000
YOUNG, MIDDLE, OLD = (700, 10, 10)
"""As Python's own thresholds: so many new objects, so many young sweeps, so many middle sweeps."""


class Sweeper(QObject):
    """From `begin` to `end` the collector runs when this object's timer says so."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._was_on = False
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self.sweep)

    def begin(self) -> None:
        """Take over."""
        self._was_on = gc.isenabled()
        gc.disable()
        self._timer.start()

    def sweep(self) -> None:
        """Collect the oldest generation that is due."""
        young, middle, old = gc.get_count()
        if old > OLD:
            gc.collect(2)
        elif middle > MIDDLE:
            gc.collect(1)
        elif young > YOUNG:
            gc.collect(0)

    def end(self) -> None:
        """Give it back; when the window goes."""
        self._timer.stop()
        if self._was_on:
            gc.enable()

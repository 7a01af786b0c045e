"""Sizes a boat in a worker thread, and can be stopped after any change. Knows no widget; all that it is given is immutable."""

from __future__ import annotations

from threading import Event

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from engine.library.device import Library
from engine.model.document import Document
from engine.remedies.sizing import Sizing, Wish, size_boat


class _Job(QRunnable):
    """The worker's part."""

    def __init__(self, work: SizingWork, document: Document, library: Library, wish: Wish) -> None:
        super().__init__()
        self._work, self._document, self._library, self._wish = work, document, library, wish

    def run(self) -> None:
        """Size; what fails inside the program proposes nothing."""
        found: Sizing | None = None
        try:
            found = size_boat(self._document, self._library, wish=self._wish, watch=self._watch)
        finally:
            self._work.ended.emit(found)

    def _watch(self, changes: int) -> bool:
        self._work.found.emit(changes)
        return not self._work.stopped.is_set()


class SizingWork(QObject):
    """`found` carries how many changes there are so far, `ended` the Sizing, or None where it failed."""

    found = Signal(int)
    ended = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.stopped = Event()
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)

    def start(self, document: Document, library: Library, wish: Wish) -> None:
        """Begin."""
        self.stopped.clear()
        self._pool.start(_Job(self, document, library, wish))

    def stop(self) -> None:
        """End after the change that is being tried."""
        self.stopped.set()

    def wait(self) -> None:
        """Until the worker has ended."""
        self._pool.waitForDone()

"""Tries the remedies of one finding in a worker thread, and what each would change among the findings.

Everything it is given is immutable, so the window may go on drawing meanwhile. Another finding, or none, ends the work on
the one before between two remedies. Knows no widget.
"""

from __future__ import annotations

from collections.abc import Callable
from threading import Event

import msgspec
from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, QTimer, Signal

from engine.library.device import Library
from engine.model.document import Document
from engine.pipeline import Analysis
from engine.remedies.changes import changed_keys
from engine.remedies.remedy import Preview, Remedy, preview, tried
from engine.remedies.stock import Stock, stock_of
from engine.rules.api import Finding

PAUSE_MS = 120
"""Who walks through the findings by key does not set off a search at each."""


class Offer(msgspec.Struct, frozen=True):
    """A remedy, what it would change among the findings, and the keys of what it touches."""

    remedy: Remedy
    preview: Preview
    keys: tuple[str, ...]

    @property
    def breaks(self) -> int:
        """How many findings it would bring that break a rule."""
        return sum(each.outcome.verdict == "breaks" for each in self.preview.added)


class Case(msgspec.Struct, frozen=True):
    """A finding of a boat."""

    analysis: Analysis
    finding: Finding
    document: Document


def offers(case: Case, library: Library, stock: Stock, stopped: Callable[[], bool]) -> tuple[Offer, ...]:
    """The remedies that were tried, those that bring nothing first; as far as it came where it is stopped."""
    found = []
    for remedy in tried(case.analysis, case.finding, case.document, library, stock):
        if stopped():
            break
        shown = preview(case.analysis, case.document, remedy, library)
        found.append(Offer(remedy, shown, changed_keys(case.document, remedy.edit(case.document))))
    return tuple(sorted(found, key=lambda offer: (offer.breaks, len(offer.preview.added))))


class _Search(QRunnable):
    """The worker's part."""

    def __init__(self, case: Case, library: Library, stopped: Event, done: Callable[[object, object], None]) -> None:
        super().__init__()
        self._case, self._library, self._stopped, self._done = case, library, stopped, done

    def run(self) -> None:
        """Try all of them; what fails inside the program offers nothing, and the finding stays."""
        found: tuple[Offer, ...] = ()
        try:
            found = offers(self._case, self._library, stock_of(self._case.document.network.house), self._stopped.is_set)
        finally:
            self._done(self._stopped, found)


class Mender(QObject):
    """`begun` says that remedies are being tried, `offered` carries a tuple of Offer for the finding last asked for."""

    begun = Signal()
    offered = Signal(object)
    _finished = Signal(object, object)

    def __init__(self, library: Library, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.library = library
        self._wanted: Case | None = None
        self._stopped = Event()
        self._pause = QTimer(self, interval=PAUSE_MS, singleShot=True)
        self._pause.timeout.connect(self._start)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._finished.connect(self._finish, Qt.ConnectionType.QueuedConnection)

    def seek(self, case: Case | None) -> None:
        """Try the remedies of this finding; None: of none."""
        self._stop()
        self._wanted = case
        if case is not None:
            self.begun.emit()
            self._pause.start()

    def _start(self) -> None:
        if self._wanted is not None:
            self._stopped = Event()
            self._pool.start(_Search(self._wanted, self.library, self._stopped, self._finished.emit))

    def _finish(self, stopped: object, found: object) -> None:
        if stopped is self._stopped and not self._stopped.is_set():
            self.offered.emit(found)

    def _stop(self) -> None:
        self._pause.stop()
        self._stopped.set()

    def wait(self) -> None:
        """End the work; before the window goes."""
        self._stop()
        self._wanted = None
        self._pool.waitForDone()

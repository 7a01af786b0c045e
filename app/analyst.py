"""Keeps the analysis in step with the boat: after a short pause, here when it is quick, else in a worker thread.

Everything it hands to the thread is immutable, so nothing is locked. Knows no widget and no rule.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, QTimer, Signal

from app.store import Store
from engine.library.device import Library
from engine.model.document import Document
from engine.model.network import Network
from engine.pipeline import Analysis, analyse
from engine.rules.runner import load_rules

PAUSE_MS = 60
QUICK_S = 0.05
"""What took no longer last time is done in the window's own thread: it is there before the next frame is missed."""


class _Work(QRunnable):
    """One analysis in a worker thread."""

    def __init__(self, network: Network, library: Library, done: Callable[[Network, Analysis, float], None]) -> None:
        super().__init__()
        self._network, self._library, self._done = network, library, done

    def run(self) -> None:
        """Analyse, and say how long it took."""
        begun = perf_counter()
        analysis = analyse(self._network, self._library)
        self._done(self._network, analysis, perf_counter() - begun)


class Analyst(QObject):
    """`done` carries the Analysis of the boat as it is; what belongs to an older boat is dropped."""

    done = Signal(object)
    begun = Signal()
    _finished = Signal(object, object, float)

    def __init__(self, store: Store, library: Library, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.store, self.library = store, library
        self.analysis: Analysis | None = None
        self._took_s = 0.0
        self._working = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self.analyse)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        store.changed.connect(self._changed)
        self._finished.connect(self._finish, Qt.ConnectionType.QueuedConnection)

    @property
    def current(self) -> bool:
        """Whether the analysis is of the boat as it is."""
        return self.analysis is not None and self.analysis.boat.network is self.store.document.network

    def _changed(self, old: Document, new: Document) -> None:
        if old.network is not new.network:
            self._pause.start()

    def analyse(self) -> None:
        """Analyse the boat as it is."""
        self._pause.stop()
        if self.current or self._working:
            return
        self.begun.emit()
        network = self.store.document.network
        if self._took_s > QUICK_S:
            self._working = True
            self._pool.start(_Work(network, self.library, self._finished.emit))
            return
        load_rules()  # once, and no measure of how long this boat takes
        begun = perf_counter()
        self._show(network, analyse(network, self.library), perf_counter() - begun)

    def _finish(self, network: Network, analysis: Analysis, took_s: float) -> None:
        self._working = False
        self._show(network, analysis, took_s)

    def _show(self, network: Network, analysis: Analysis, took_s: float) -> None:
        self._took_s = took_s
        if network is self.store.document.network:
            self.analysis = analysis
            self.done.emit(analysis)
        else:
            self._pause.start()

    def wait(self) -> None:
        """Let a running analysis end; before the window goes."""
        self._pause.stop()
        self._pool.waitForDone()

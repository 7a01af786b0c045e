"""Keeps the analysis in step with the boat: here, after a short pause, when it is quick; else at once in a process of its own.

Where no such process can be had, a worker thread does it. Everything it hands on is immutable, so nothing is locked.
Knows no widget and no rule.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter
from typing import Any

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, QTimer, Signal

from app.checker import Checker
from app.store import Store
from engine.graph.boat import Boat
from engine.library.device import Library
from engine.model.document import Document
from engine.pipeline import Analysis, analyse
from engine.rules.runner import load_rules

Work = Callable[[], object]
"""A piece of work for the worker thread; everything that it takes is immutable."""

PAUSE_MS = 60
LATER_MS = 1500
"""So long after the last answer the rules that take long are asked as well."""
QUICK_S = 0.05
"""What took no longer last time is done in the window's own thread: it is there before the next frame is missed."""


class _Job(QRunnable):
    """A piece of work in a worker thread, and where it goes with its result; None where it failed."""

    def __init__(self, work: Work, done: Callable[[Work, Any], None]) -> None:
        super().__init__()
        self._work, self._done = work, done

    def run(self) -> None:
        """Work it out; what fails is told all the same, so that the next is not kept waiting for it."""
        result = None
        try:
            result = self._work()
        finally:
            self._done(self._work, result)


class Analyst(QObject):
    """`done` carries the Analysis of the boat as it is; what belongs to an older boat is dropped.

    `report.met` of that Analysis may be empty: who lists what meets its rule analyses the boat anew.
    """

    done = Signal(object)
    begun = Signal()
    _finished = Signal(object, object)
    _studied = Signal(object, object)

    def __init__(self, store: Store, library: Library, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.store, self.library = store, library
        self.analysis: Analysis | None = None
        self.checker = Checker(library, self)
        self._took_s, self._begun_s = 0.0, 0.0
        self._working = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self.analyse)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        store.changed.connect(self._changed)
        self._finished.connect(self._finish, Qt.ConnectionType.QueuedConnection)
        self._study: Work | None = None
        self._take: Callable[[object], None] = lambda _result: None
        self._at_study = False
        self._studied.connect(self._take_study, Qt.ConnectionType.QueuedConnection)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(LATER_MS)
        self._later.timeout.connect(self.ask_slowly)
        self.checker.told.connect(self._told)
        self.checker.lost.connect(self.analyse)

    @property
    def current(self) -> bool:
        """Whether the analysis is of the boat as it is."""
        return self.analysis is not None and self._is_of_now(self.analysis)

    def _is_of_now(self, analysis: Analysis) -> bool:
        return analysis.boat.network is self.store.document.network

    @property
    def boat(self) -> Boat:
        """The boat as it is; that of the last check where it still is, with all that was derived from it."""
        if self.analysis is not None and self.current:
            return self.analysis.boat
        return Boat(self.store.document.network, self.library)

    @property
    def _is_slow(self) -> bool:
        return self._took_s > QUICK_S

    def _changed(self, old: Document, new: Document) -> None:
        if old.network is new.network:
            return
        self._later.stop()
        if self._is_slow and self.checker.usable:
            self.analyse()
        else:
            self._pause.start()

    def analyse(self) -> None:
        """Analyse the boat as it is."""
        self._pause.stop()
        if self.current or self._working:
            return
        self.begun.emit()
        network, self._begun_s = self.store.document.network, perf_counter()
        if not self._is_slow:
            load_rules()  # once, and no measure of how long this boat takes
            self._begun_s = perf_counter()
            self._show(analyse(network, self.library))
        elif self.checker.usable:
            self.checker.check(network)
        else:
            self._working = True
            self._pool.start(_Job(lambda: analyse(network, self.library), self._finished.emit))

    def _finish(self, _work: Work, analysis: Analysis | None) -> None:
        self._working = False
        if analysis is not None:
            self._show(analysis)

    def _show(self, analysis: Analysis) -> None:
        self._took_s = perf_counter() - self._begun_s
        if self._is_slow:
            self.checker.begin()
        if self._is_of_now(analysis):
            self.analysis = analysis
            self.done.emit(analysis)
            self._later.start()
        else:
            self._pause.start()

    def ask_slowly(self) -> None:
        """Ask the rules that take long as well, where a process can do it."""
        if self.current and self.checker.usable:
            self.checker.check(self.store.document.network, slow=True)

    def _told(self, analysis: Analysis, slowly: bool) -> None:
        if not slowly:
            self._show(analysis)
        elif self._is_of_now(analysis):
            known = self.analysis.findings if self.analysis is not None else ()
            self.analysis = analysis
            if len(known) != len(analysis.findings):
                self.done.emit(analysis)

    def study(self, work: Work, take: Callable[[object], None]) -> None:
        """Work something out in the worker thread and give it to `take` in the window's; what was asked before it and is
        not done yet is dropped."""
        self._study, self._take = work, take
        if not self._at_study:
            self._at_study = True
            self._pool.start(_Job(work, self._studied.emit))

    def _take_study(self, work: Work, result: object) -> None:
        self._at_study = False
        if work is self._study:
            self._study = None
            self._take(result)
        elif self._study is not None:
            self.study(self._study, self._take)

    def wait(self) -> None:
        """Let a running analysis end; before the window goes."""
        self._pause.stop()
        self._later.stop()
        self.checker.end()
        self._pool.waitForDone()

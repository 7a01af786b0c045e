"""Keeps the work in hand against a crash: a little after each change, in a worker thread, so that no frame is missed.

A kill loses no more than the pause. What is saved is forgotten here. How it is written is engine/files/recovery.py.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QRunnable, QThreadPool, QTimer, Signal

from app.store import Store
from engine.files import lock
from engine.files.errors import SaveError
from engine.files.recovery import discard, new_session, write_recovery
from engine.model.document import Document

PAUSE_MS = 1500


class _Writing(QRunnable):
    """One writing in a worker thread."""

    def __init__(self, write: Callable[[], None]) -> None:
        super().__init__()
        self._write = write

    def run(self) -> None:
        """Write."""
        self._write()


class Keeper(QObject):
    """`failed` says that the work cannot be kept, and why."""

    failed = Signal(str)

    def __init__(self, store: Store, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.store, self.folder = store, folder
        self.original: Path | None = None
        self.session = new_session()
        self._told = ""
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self._keep_aside)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        store.changed.connect(self._changed)

    def _changed(self, _old: Document, _new: Document) -> None:
        """The pause is not begun anew by each change: work that never rests is kept all the same."""
        if not self._pause.isActive():
            self._pause.start()

    def _keep_aside(self) -> None:
        if self.store.clean:
            self.forget()
            return
        document, original, session = self.store.document, self.original, self.session
        self._pool.start(_Writing(lambda: self._write(document, original, session)))

    def keep(self) -> None:
        """Keep it now, and wait for it."""
        self._pool.waitForDone()
        self._write(self.store.document, self.original, self.session)

    def _write(self, document: Document, original: Path | None, session: str) -> None:
        try:
            write_recovery(document, original, session, self.folder)
            if original is not None:
                lock.renew(original)
        except SaveError as error:
            if str(error) != self._told:
                self._told = str(error)
                self.failed.emit(self._told)

    def forget(self) -> None:
        """The work is saved: nothing need be kept."""
        self._pause.stop()
        self._pool.waitForDone()
        discard(self.session, self.folder)

    def start_anew(self) -> None:
        """Another boat in the window: what was kept of the one before stays only where it was not saved."""
        if self.store.clean:
            self.forget()
        else:
            self.keep()
        self.session = new_session()

    def end(self) -> None:
        """The window closes."""
        self._pause.stop()
        if self.store.clean:
            self.forget()
        else:
            self.keep()

"""The boat's file as the window handles it: open, save, recent ones, work kept against a crash, and the lock.

Asks with the system's own file dialogs; says everything else in the lines above the sheet. How a file is written is
engine/files.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject

from app.store import Store
from app.window import Window
from engine.model.document import Document

KEEP_AFTER_MS = 1500
"""How long after a change the work in hand is kept, ms: a crash loses no more than this."""


class Files(QObject):
    """One window's file."""

    def __init__(self, window: Window, store: Store, recovery: Path) -> None:
        super().__init__(window)
        self.window, self.store, self.recovery = window, store, recovery
        self.path: Path | None = None

    def begin(self, path: str | None) -> None:
        """Start: with a boat, with what was recovered, or with how to begin."""
        if path:
            self.open(Path(path))
        else:
            self.store.load(Document())

    def new(self) -> None:
        self.store.load(Document())

    def open(self, path: Path) -> None:
        pass

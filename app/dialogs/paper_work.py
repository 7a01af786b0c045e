"""Makes papers in a worker thread, one after the other, and can be stopped between two. Knows no widget.

Everything it is given is immutable, so the window may go on drawing meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from engine.files.errors import SaveError

if TYPE_CHECKING:
    from engine.papers.catalogue import Paper
    from engine.papers.subject import Subject


class _Job(QRunnable):
    """The worker's part."""

    def __init__(
        self, work: PaperWork, papers: Sequence[Paper], subject_of: Callable[[], Subject], stem: str, folder: Path
    ) -> None:
        super().__init__()
        self._work, self._papers, self._subject_of, self._stem, self._folder = work, papers, subject_of, stem, folder

    def run(self) -> None:
        """Check the boat, then all papers; a paper whose files cannot be written ends the work."""
        why = ""
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            subject = self._subject_of()
            for number, paper in enumerate(self._papers):
                if self._work.stopped.is_set():
                    break
                self._work.begun.emit(number, paper.title)
                self._make(paper, subject)
        except OSError as error:
            why = f"{self._folder}: {error.strerror or error}"
        except SaveError as error:
            why = str(error)
        self._work.ended.emit(why)

    def _make(self, paper: Paper, subject: Subject) -> None:
        from engine.files.save import write_safely

        for made in paper.files(subject):
            path = self._folder / f"{self._stem}-{made.ending}"
            write_safely(path, made.content, keep_previous=False)
            self._work.written.emit(str(path))


class PaperWork(QObject):
    """`begun` carries number and title of a paper, `written` a path, `ended` why it ended early, or ""."""

    begun = Signal(int, str)
    written = Signal(str)
    ended = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.stopped = Event()
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)

    def start(self, papers: Sequence[Paper], subject_of: Callable[[], Subject], stem: str, folder: Path) -> None:
        """Begin; `subject_of` checks the boat, which is the worker's part too."""
        self.stopped.clear()
        self._pool.start(_Job(self, papers, subject_of, stem, folder))

    def stop(self) -> None:
        """End after the paper that is being made."""
        self.stopped.set()

    def wait(self) -> None:
        """Until the worker has ended."""
        self._pool.waitForDone()

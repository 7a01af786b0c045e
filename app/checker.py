"""Asks for checks in a process of its own, so that a long one neither waits for the window nor makes it stutter.

When that process cannot be started or ends, it says so once, and the analyst goes on without it. Knows no widget.
"""

from __future__ import annotations

import sys

import msgspec
from PySide6.QtCore import QObject, QProcess, Signal

from engine.checking import LENGTH, Asked, Told, analysis_of, first_body, message
from engine.library.device import Library
from engine.model.network import Network

GOODBYE_MS = 500


class Checker(QObject):
    """`told` carries an Analysis and whether the slow rules were asked; `lost` that the process is gone."""

    told = Signal(object, bool)
    lost = Signal()

    def __init__(self, library: Library, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._library = library
        self._asked: Asked | None = None
        self._buffer = bytearray()
        self._decoder = msgspec.msgpack.Decoder(Told)
        self._process = QProcess(self)
        self._process.setProcessChannelMode(QProcess.ProcessChannelMode.ForwardedErrorChannel)
        self._process.readyReadStandardOutput.connect(self._read)
        self._process.errorOccurred.connect(lambda _error: self._lose())
        self._process.finished.connect(lambda *_how: self._lose())
        self.usable = True

    def begin(self) -> None:
        """Start the process, so that it is ready when it is first asked."""
        if self.usable and self._process.state() == QProcess.ProcessState.NotRunning:
            self._process.start(sys.executable, ["-m", "engine.checking"])

    def check(self, network: Network, *, slow: bool = False) -> None:
        """Ask for a check, `slow`: also by the rules that take long; what was asked before it is given up."""
        self.begin()
        self._asked = Asked(self._asked.number + 1 if self._asked else 1, network, slow)
        self._process.write(message(self._asked))

    def _read(self) -> None:
        self._buffer += self._process.readAllStandardOutput().data()
        while (body := first_body(bytes(self._buffer))) is not None:
            del self._buffer[: LENGTH.size + len(body)]
            self._tell(self._decoder.decode(body))

    def _tell(self, answer: Told) -> None:
        if self._asked is not None and answer.number == self._asked.number:
            self.told.emit(analysis_of(answer, self._asked.network, self._library), self._asked.slow)

    def _lose(self) -> None:
        if self.usable:
            self.usable = False
            self.lost.emit()

    def end(self) -> None:
        """Let the process go; before the window goes."""
        self.usable = False
        self._process.closeWriteChannel()
        if self._process.state() != QProcess.ProcessState.NotRunning and not self._process.waitForFinished(GOODBYE_MS):
            self._process.kill()
            self._process.waitForFinished(GOODBYE_MS)

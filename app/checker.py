"""Asks for checks in processes of their own, so that a long one neither waits for the window nor makes it stutter.

Each asks a share of the rules; where the machine can do one thing at a time only, one asks them all. When a process cannot be
started or ends, the checker says so once, and the analyst goes on without it. Knows no widget.
"""

from __future__ import annotations

import os
import sys

import msgspec
from PySide6.QtCore import QObject, QProcess, Signal

from engine.checking import LENGTH, Line, Told, analysis_of, first_body
from engine.library.device import Library
from engine.model.network import Network
from engine.rules.shares import SHARES

GOODBYE_MS = 500


class Checker(QObject):
    """`told` carries an Analysis and whether the slow rules were asked; `lost` that a process is gone."""

    told = Signal(object, bool)
    lost = Signal()

    def __init__(self, library: Library, parent: QObject | None = None, shares: int | None = None) -> None:
        super().__init__(parent)
        self._library = library
        self._number = 0
        self._network, self._slow = Network(), False
        count = min(SHARES, os.cpu_count() or 1) if shares is None else shares
        self._askers = [_Asker(self) for _ in range(count)]
        for asker in self._askers:
            asker.told.connect(self._tell)
            asker.lost.connect(self._lose)
        self.usable = True

    def begin(self) -> None:
        """Start the processes, so that they are ready when they are first asked."""
        for asker in self._askers if self.usable else ():
            asker.begin()

    def check(self, network: Network, *, slow: bool = False) -> None:
        """Ask for a check, `slow`: also by the rules that take long; what was asked before it is given up."""
        self.begin()
        self._number, self._network, self._slow = self._number + 1, network, slow
        for share, asker in enumerate(self._askers):
            asker.ask(self._number, network, slow, share, len(self._askers))

    def _tell(self) -> None:
        answers = [asker.answer for asker in self._askers if asker.answer and asker.answer.number == self._number]
        if len(answers) == len(self._askers):
            self.told.emit(analysis_of(answers, self._network, self._library), self._slow)

    def _lose(self) -> None:
        if self.usable:
            self.end()
            self.lost.emit()

    def end(self) -> None:
        """Let the processes go; before the window goes."""
        self.usable = False
        for asker in self._askers:
            asker.end()


class _Asker(QObject):
    """One process, and the last answer that has come from it."""

    told = Signal()
    lost = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.answer: Told | None = None
        self._buffer = bytearray()
        self._line = Line()
        self._decoder = msgspec.msgpack.Decoder(Told)
        self.process = QProcess(self)
        self.process.setProcessChannelMode(QProcess.ProcessChannelMode.ForwardedErrorChannel)
        self.process.readyReadStandardOutput.connect(self._read)
        self.process.errorOccurred.connect(self.lost)
        self.process.finished.connect(self.lost)

    def begin(self) -> None:
        """Start the process where it does not run yet."""
        if self.process.state() == QProcess.ProcessState.NotRunning:
            self._line = Line()
            self.process.start(sys.executable, ["-m", "engine.checking"])

    def ask(self, number: int, network: Network, slow: bool, share: int, shares: int) -> None:
        """Send it a boat."""
        self.process.write(self._line.asking(number, network, slow=slow, share=share, shares=shares))

    def _read(self) -> None:
        self._buffer += self.process.readAllStandardOutput().data()
        while (body := first_body(bytes(self._buffer))) is not None:
            del self._buffer[: LENGTH.size + len(body)]
            self.answer = self._decoder.decode(body)
            self.told.emit()

    def end(self) -> None:
        """Let it end by itself, or see that it does."""
        self.process.closeWriteChannel()
        if self.process.state() != QProcess.ProcessState.NotRunning and not self.process.waitForFinished(GOODBYE_MS):
            self.process.kill()
            self.process.waitForFinished(GOODBYE_MS)

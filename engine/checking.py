"""A check in a process of its own: boats come in on standard input, what a person must see goes out on standard output.

    python -m engine.checking

A message is its length in four bytes and a record in MessagePack; of a boat it holds what is not as it was in the message
before (`Line` writes them). It can ask for a share of the rules, so that another such process asks the others at the same time;
`analysis_of` puts the answers together. Of the boats that wait only the newest is checked; a check that another boat overtakes
is given up. Knows nothing of who asks.
"""

from __future__ import annotations

import struct
import sys
from collections.abc import Callable, Mapping, Sequence
from threading import Condition, Thread
from typing import BinaryIO

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library, load_library
from engine.model import kept
from engine.model.house import Deviation
from engine.model.network import Network
from engine.model.slices import Change, change_of, changed_by
from engine.pipeline import Analysis, analyse
from engine.rules.api import Book, Finding, Outcome, Rule, Severity
from engine.rules.recall import Recall, spelt_out
from engine.rules.runner import Report, SupersededError, Tally, load_rules
from engine.rules.shares import joined, share

LENGTH = struct.Struct(">I")


class Asked(msgspec.Struct, frozen=True):
    """A boat to check, with the number by which its answer is told from others."""

    number: int
    change: Change
    slow: bool = False
    """Whether the rules that take long are asked as well."""
    share: int = 0
    shares: int = 1


class Line:
    """What is written to one such process, in the order in which it goes there."""

    def __init__(self) -> None:
        self._sent: Network | None = None

    def asking(self, number: int, network: Network, *, slow: bool = False, share: int = 0, shares: int = 1) -> bytes:
        """The message that asks for a check."""
        change, self._sent = change_of(self._sent, network), network
        return message(Asked(number, change, slow, share, shares))


class Seen(msgspec.Struct, frozen=True):
    """A finding without its rule, which both sides have."""

    rule: str
    book: Book
    severity: Severity
    outcome: Outcome
    graded: str
    deviation: Deviation | None


class Told(msgspec.Struct, frozen=True):
    """The answer: findings, and the count of what was checked. What meets its rule is counted, not listed."""

    number: int
    findings: tuple[Seen, ...]
    tallies: tuple[Tally, ...]
    books: tuple[Book, ...]
    idle: tuple[Deviation, ...]


def message(record: Asked | Told) -> bytes:
    """A record as it goes through a pipe."""
    body = msgspec.msgpack.encode(record)
    return LENGTH.pack(len(body)) + body


def first_body(stream: bytes) -> bytes | None:
    """The first message of what has come in so far, without its length; None while it is not whole."""
    if len(stream) < LENGTH.size:
        return None
    (length,) = LENGTH.unpack_from(stream)
    whole = LENGTH.size + length
    return stream[LENGTH.size : whole] if len(stream) >= whole else None


def told(number: int, report: Report) -> Told:
    """A report as it goes through a pipe."""
    return Told(number, tuple(map(_seen, report.findings)), report.tallies, report.books, report.idle)


def _seen(each: Finding) -> Seen:
    return Seen(each.rule.id, each.book, each.severity, spelt_out(each.outcome), each.graded, each.deviation)


def analysis_of(answers: Sequence[Told], network: Network, library: Library) -> Analysis:
    """The answers of all shares as the Analysis of the whole, but that `report.met` is empty."""
    return Analysis(Boat(network, library), joined([_report(each) for each in answers]))


def _report(answer: Told) -> Report:
    rules: Mapping[str, Rule] = {each.id: each for each in load_rules()}
    findings = tuple(
        Finding(
            rule=rules[seen.rule], book=seen.book, severity=seen.severity, outcome=seen.outcome, graded=seen.graded,
            deviation=seen.deviation,
        )
        for seen in answer.findings
    )  # fmt: skip
    return Report(findings=findings, tallies=answer.tallies, books=answer.books, met=(), idle=answer.idle)


class _Inbox:
    """The newest boat that waits; filled by a thread that reads."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._decoder = msgspec.msgpack.Decoder(Asked)
        self._network = Network()
        self._newest: tuple[Asked, Network] | None = None
        self._ended = False
        self._changed = Condition()
        Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        while True:
            head = self._stream.read(LENGTH.size)
            body = self._stream.read(LENGTH.unpack(head)[0]) if len(head) == LENGTH.size else b""
            newest = self._waiting(body) if body else self._newest
            with self._changed:
                self._newest, self._ended = newest, not body
                self._changed.notify()
            if not body:
                return

    def _waiting(self, body: bytes) -> tuple[Asked, Network]:
        """With the boat whole, whether or not the one before it was taken."""
        asked = self._decoder.decode(body)
        self._network = changed_by(asked.change, self._network)
        return asked, self._network

    def waits(self) -> bool:
        """Whether another boat has come in, or the other side is gone."""
        return self._newest is not None or self._ended

    def take(self) -> tuple[Asked, Network] | None:
        """The newest boat, when there is one; None: no more will come."""
        with self._changed:
            self._changed.wait_for(self.waits)
            newest, self._newest = self._newest, None
            return newest


def serve(incoming: BinaryIO, outgoing: BinaryIO) -> None:
    """Check what comes in until the other side ends."""
    library = load_library()
    load_rules()
    inbox, recall = _Inbox(incoming), Recall()
    while (newest := inbox.take()) is not None:
        asked, network = newest
        analysis = _analysis(asked, network, library, inbox.waits, recall)
        if analysis is not None:
            outgoing.write(message(told(asked.number, analysis.report)))
            outgoing.flush()
        del analysis  # only now: letting go of it takes a while
        recall.settle()


def _analysis(
    asked: Asked, network: Network, library: Library, superseded: Callable[[], bool], recall: Recall
) -> Analysis | None:
    """What was said before counts for the quick answer only; with the slow rules all are asked, from nothing."""
    if asked.slow:
        recall.forget()
        kept.forget()
    try:
        rules = share(asked.share, asked.shares, slow=asked.slow)
        return analyse(network, library, superseded=superseded, rules=rules, recall=recall)
    except SupersededError:
        return None


if __name__ == "__main__":
    serve(sys.stdin.buffer, sys.stdout.buffer)

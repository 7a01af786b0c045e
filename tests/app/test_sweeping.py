"""Garbage is looked for in the window's own thread: a worker that allocates must never delete what belongs to the window."""

from __future__ import annotations

import gc
import threading
import weakref

from pytestqt.qtbot import QtBot

from app.sweeping import Sweeper
from app.workbench import Workbench


class Ring:
    """Something only the collector can let go of."""

    def __init__(self) -> None:
        self.me = self


def allocate() -> None:
    """What makes the collector run where it is left to itself."""
    for _ in range(50):
        kept = [Ring() for _ in range(1000)]
        del kept


def test_a_worker_that_allocates_collects_nothing(qtbot: QtBot) -> None:
    sweeper = Sweeper()
    sweeper.begin()
    try:
        ring = Ring()
        gone = weakref.ref(ring)
        del ring
        worker = threading.Thread(target=allocate)
        worker.start()
        worker.join()
        assert gone() is not None
        sweeper.sweep()
        assert gone() is None
    finally:
        sweeper.end()
    assert gc.isenabled()


def test_the_window_takes_the_collector_over_and_gives_it_back(empty_bench: Workbench, qtbot: QtBot) -> None:
    assert not gc.isenabled()
    empty_bench.store.mark_clean()
    empty_bench.window.close()
    assert gc.isenabled()

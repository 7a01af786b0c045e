"""A whole window without a screen, with settings and recovery in a folder of the test's own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.main import furnish, open_window
from app.workbench import Workbench
from engine.model.document import Document
from tests.model.boats import small_boat


@pytest.fixture
def empty_bench(qtbot: QtBot, tmp_path: Path) -> Iterator[Workbench]:
    """The window as it is after a first start, the card put away."""
    window = open_window(tmp_path / "settings.json")
    qtbot.addWidget(window, before_close_func=lambda _window: made.store.mark_clean())
    made = furnish(window, None, tmp_path / "recovery")
    window.show_card(None)
    yield made
    made.analyst.wait()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)  # else every later window is styled with this one


@pytest.fixture
def bench(empty_bench: Workbench, qtbot: QtBot) -> Workbench:
    """The window with the small boat, checked."""
    return with_boat(empty_bench, small_boat(), qtbot)


def with_boat(bench: Workbench, document: Document, qtbot: QtBot) -> Workbench:
    """This boat in the window, checked."""
    bench.store.load(document)
    checked(bench, qtbot)
    return bench


def checked(bench: Workbench, qtbot: QtBot) -> None:
    """Wait until the boat as it is has been checked."""
    bench.analyst.analyse()
    qtbot.waitUntil(lambda: bench.analyst.current, timeout=20_000)

"""The stage that the tests of canvas and tools play on."""

import pytest
from pytestqt.qtbot import QtBot

from tests.app.canvas.stage import Stage, boat_with_note


@pytest.fixture
def stage(qtbot: QtBot) -> Stage:
    return Stage(qtbot, boat_with_note())

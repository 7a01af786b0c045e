"""What is selected."""

import pytest
from pytestqt.qtbot import QtBot

from app.selection import Selection, existing_keys
from engine.model.edits.placing import delete
from tests.model.boats import small_boat

pytestmark = pytest.mark.usefixtures("qapp")


def test_the_signal_comes_when_something_changes(qtbot: QtBot) -> None:
    selection = Selection()
    with qtbot.waitSignal(selection.changed) as told:
        selection.set(("part:p2", "run:w6"))
    assert told.args == [frozenset({"part:p2", "run:w6"})]
    with qtbot.assertNotEmitted(selection.changed):
        selection.set(["run:w6", "part:p2"])


def test_adding_toggling_and_sorting_by_kind() -> None:
    selection = Selection()
    selection.add(("part:p2",))
    selection.toggle("run:w6")
    selection.toggle("part:p2")
    selection.add(("position:p4/12",))
    assert selection.keys == {"run:w6", "position:p4/12"}
    assert selection.ids("position") == {"p4/12"}
    selection.clear()
    assert selection.keys == frozenset()


def test_what_is_gone_is_not_selected() -> None:
    selection, boat = Selection(), small_boat()
    selection.set(("part:p3", "part:p2", "run:w6", "run:w8", "position:p4/1", "note:n1"))
    assert selection.keys - existing_keys(boat) == {"note:n1"}
    selection.keep(delete(boat, {"part:p3"}))
    assert selection.keys == {"part:p2", "run:w8", "position:p4/1"}

"""The store: one command, one signal, refusals as sentences, steps that merge, and when a document is saved."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from app.store import Change, Store, edit_with
from engine.model.document import Document
from engine.model.edits.arranging import move
from engine.model.edits.fields import rename, set_value
from engine.model.edits.placing import place_part
from engine.model.edits.wiring import reconnect
from engine.model.network import End
from tests.model.boats import SHEET, kind, port_names, small_boat

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def store() -> Store:
    return Store(small_boat(), port_names)


def test_an_edit_is_one_step_and_one_signal(store: Store, qtbot: QtBot) -> None:
    before = store.document
    with qtbot.waitSignal(store.changed) as told:
        assert store.apply(edit_with(rename, "p3", "F9"), "Rename")
    assert told.args is not None
    assert told.args[0] is before
    assert told.args[1] is store.document
    assert store.undo_stack.count() == 1
    assert type(store.undo_stack.command(0)) is Change
    assert store.undo_stack.undoText() == "Rename"


def test_undo_and_redo_give_the_very_same_documents(store: Store) -> None:
    before = store.document
    store.apply(edit_with(rename, "p3", "F9"), "Rename")
    after = store.document
    store.undo()
    assert store.document is before
    store.redo()
    assert store.document is after


def test_an_edit_that_changes_nothing_leaves_no_trace(store: Store, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(store.changed):
        assert not store.apply(edit_with(rename, "p3", "F1"), "Rename")
    assert store.clean
    assert store.undo_stack.count() == 0


def test_a_refused_edit_says_why(store: Store, qtbot: QtBot) -> None:
    before = store.document
    with qtbot.waitSignal(store.refused) as said:
        assert not store.apply(edit_with(rename, "p3", "W1"), "Rename")
    assert said.args is not None
    assert "W1" in said.args[0]
    assert store.document is before


def test_taking_a_stud_away_from_under_a_run_is_refused(store: Store, qtbot: QtBot) -> None:
    store.apply(edit_with(reconnect, "w6", "a", End(part="p2", port="s5")), "Connect")
    assert store.apply(edit_with(set_value, "p2", "studs", 5.0), "Studs")
    with qtbot.waitSignal(store.refused) as said:
        assert not store.apply(edit_with(set_value, "p2", "studs", 4.0), "Studs")
    assert said.args is not None
    assert "W1" in said.args[0]
    assert "s5" in said.args[0]


def test_moves_by_arrow_keys_are_one_step(store: Store) -> None:
    before = store.document
    for _ in range(4):
        store.apply(edit_with(move, SHEET, {"part:p3"}, 2.5, 0), "Move", merge="arrows:part:p3")
    assert store.undo_stack.count() == 1
    assert store.document.sheets[0].places[1].x_mm == 110.0
    store.undo()
    assert store.document is before


def test_moves_of_other_things_are_other_steps(store: Store) -> None:
    store.apply(edit_with(move, SHEET, {"part:p3"}, 2.5, 0), "Move", merge="arrows:part:p3")
    store.apply(edit_with(move, SHEET, {"part:p2"}, 2.5, 0), "Move", merge="arrows:part:p2")
    store.apply(edit_with(rename, "p3", "F9"), "Rename")
    store.apply(edit_with(move, SHEET, {"part:p3"}, 2.5, 0), "Move", merge="arrows:part:p3")
    assert store.undo_stack.count() == 4


def test_a_step_before_a_save_is_not_changed_by_one_after_it(store: Store) -> None:
    store.apply(edit_with(move, SHEET, {"part:p3"}, 2.5, 0), "Move", merge="arrows")
    store.mark_clean()
    store.apply(edit_with(move, SHEET, {"part:p3"}, 2.5, 0), "Move", merge="arrows")
    assert not store.clean
    store.undo()
    assert store.clean


def test_clean_follows_undo_and_redo(store: Store, qtbot: QtBot) -> None:
    with qtbot.waitSignal(store.clean_changed) as told:
        store.apply(edit_with(rename, "p3", "F9"), "Rename")
    assert told.args == [False]
    store.mark_clean()
    store.undo()
    assert not store.clean
    store.redo()
    assert store.clean
    store.mark_unsaved()
    assert not store.clean


def test_loading_starts_anew(store: Store, qtbot: QtBot) -> None:
    store.apply(edit_with(rename, "p3", "F9"), "Rename")
    with qtbot.waitSignals([store.changed, store.loaded]):
        store.load(Document())
    assert store.document == Document()
    assert store.clean
    assert store.undo_stack.count() == 0


def test_placing_after_undo_uses_the_same_id_again(store: Store) -> None:
    place = edit_with(place_part, kind("load_dc"), SHEET, 50, 200)
    store.apply(place, "Place")
    placed = store.document.network.parts[-1]
    store.undo()
    store.apply(place, "Place")
    assert store.document.network.parts[-1] == placed

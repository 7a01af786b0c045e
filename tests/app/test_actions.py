"""The table of actions: each has a shortcut of its own that the menus show, and can be used just when it makes sense."""

from __future__ import annotations

from collections import Counter

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QMenu

from app.actions import MENUS, actions, menu_titles
from app.icons import PATHS
from app.workbench import Workbench

USUAL = {
    "Ctrl+N",
    "Ctrl+O",
    "Ctrl+S",
    "Ctrl+Shift+S",
    "Ctrl+Q",
    "Ctrl+Z",
    "Ctrl+X",
    "Ctrl+C",
    "Ctrl+V",
    "Del",
    "Ctrl+A",
}
"""What every desktop program has: these mean here what they mean everywhere."""


def test_every_action_has_a_shortcut_of_its_own() -> None:
    keys = [QKeySequence(action.shortcut).toString() for action in actions()]
    assert "" not in keys
    assert [key for key, count in Counter(keys).items() if count > 1] == []


def test_no_plain_letter_is_a_shortcut() -> None:
    """Letters are for typing; those of the sheet belong to the sheet alone."""
    plain = [action.shortcut for action in actions() if len(action.shortcut) == 1]
    assert plain == []


def test_the_usual_keys_do_the_usual() -> None:
    assert {action.shortcut for action in actions()} >= USUAL


def test_ids_menus_and_signs_are_sound() -> None:
    listed = actions()
    assert len({action.id for action in listed}) == len(listed)
    assert {action.menu for action in listed} == set(MENUS) == set(menu_titles())
    assert {action.icon for action in listed if action.icon} <= set(PATHS)
    assert all(action.icon for action in listed if action.bar)


def test_menus_show_every_action_with_its_shortcut(bench: Workbench) -> None:
    shown = {}
    for top in bench.window.menuBar().actions():
        menu = top.menu()
        assert isinstance(menu, QMenu)
        shown.update({one.objectName(): one for one in menu.actions() if one.objectName()})
    for action in actions():
        one = shown[f"action-{action.id}"]
        assert one.shortcut() == QKeySequence(action.shortcut), action.id
        assert one.isShortcutVisibleInContextMenu() or not one.shortcut().isEmpty()


NEEDS_SELECTION = ("cut", "copy", "duplicate", "delete", "none", "to-selection", "turn", "mirror", "take-off")
NEEDS_TWO = ("left", "right", "top", "foot", "column", "row")
NEEDS_THREE = ("across", "down")


@pytest.mark.parametrize("parts", [0, 1, 2, 3])
def test_what_needs_a_selection_waits_for_it(bench: Workbench, parts: int) -> None:
    bench.selection.set(f"part:{part.id}" for part in bench.store.document.network.parts[:parts])
    made = bench.window.menus.made
    assert {made[name].isEnabled() for name in NEEDS_SELECTION} == {parts >= 1}
    assert {made[name].isEnabled() for name in NEEDS_TWO} == {parts >= 2}
    assert {made[name].isEnabled() for name in NEEDS_THREE} == {parts >= 3}


def test_undo_and_redo_wait_for_a_step(bench: Workbench) -> None:
    made = bench.window.menus.made
    assert not made["undo"].isEnabled()
    bench.selection.set(("part:p4",))
    bench.window.menus.run("turn")
    assert made["undo"].isEnabled()
    assert not made["redo"].isEnabled()
    bench.window.menus.run("undo")
    assert made["redo"].isEnabled()
    assert not made["undo"].isEnabled()


def test_runs_are_led_anew_only_when_one_is_selected(bench: Workbench) -> None:
    made = bench.window.menus.made
    assert not made["lead-anew"].isEnabled()
    bench.selection.set(("run:w6",))
    assert made["lead-anew"].isEnabled()
    bench.window.menus.run("lead-anew")
    assert bench.store.document.sheets[0].routes == ()


def test_sheet_actions_wait_for_a_second_sheet(bench: Workbench) -> None:
    made = bench.window.menus.made
    assert not made["sheet-remove"].isEnabled()
    bench.window.menus.run("sheet-new")
    assert made["sheet-remove"].isEnabled()
    assert made["sheet-next"].isEnabled()


def test_the_tool_in_hand_is_checked(bench: Workbench) -> None:
    made = bench.window.menus.made
    assert made["point"].isChecked()
    bench.window.menus.run("run")
    assert made["run"].isChecked()
    assert not made["point"].isChecked()
    bench.take("fuse_bolt")
    assert made["place"].isChecked()
    bench.window.menus.run("point")
    assert made["point"].isChecked()


def test_every_enabled_action_runs(bench: Workbench, monkeypatch: pytest.MonkeyPatch) -> None:
    """With three parts selected, everything that does not ask for a file or end the program."""
    for action in actions():
        if action.id in ("open", "save", "save-as", "new", "quit", "papers"):
            continue
        bench.selection.set(f"part:{part.id}" for part in bench.store.document.network.parts[:3])
        if bench.window.menus.usable(action.id):
            bench.window.menus.run(action.id)
    for name in ("undo",) * 40:
        bench.window.menus.run(name)
    assert bench.store.document.network.parts

"""The table of actions: id, text, shortcut, menu, when it can be used, what it does.

Menus, tool strip, search and the list of shortcuts are all made from it. The functions are in app/deeds; an action is
given the workbench and nothing else.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec

from app import deeds
from app.deeds import boat, conditions, decisions, draw, energy, faults, grow, help, look, sheets
from engine.messages import tr

if TYPE_CHECKING:
    from app.workbench import Workbench

MENUS = ("boat", "edit", "draw", "sheet", "check", "view", "help")


class Action(msgspec.Struct, frozen=True):
    """One thing a person can do. `bar` names the group of the tool strip it stands in; "" keeps it out."""

    id: str
    text: str
    shortcut: str
    menu: str
    run: Callable[[Workbench], object]
    when: Callable[[Workbench], bool] = deeds.always
    icon: str = ""
    bar: str = ""
    checked: Callable[[Workbench], bool] | None = None
    """For what is on or off: whether it is on."""
    group: int = 0
    """A change of group within a menu draws a line."""


def menu_titles() -> dict[str, str]:
    """The menus in order."""
    return {
        "boat": tr("&Boat"),
        "edit": tr("&Edit"),
        "draw": tr("&Draw"),
        "sheet": tr("&Sheet"),
        "check": tr("&Check"),
        "view": tr("&View"),
        "help": tr("&Help"),
    }


def actions() -> tuple[Action, ...]:
    """Every action, in the order of the menus."""
    return (*_boat(), *_edit(), *_draw(), *_sheet(), *_check(), *_conditions(), *_faults(), *_view(), *_help())


def _boat() -> tuple[Action, ...]:
    return (
        Action("new", tr("New boat"), "Ctrl+N", "boat", boat.new, icon="new", bar="file"),
        Action("open", tr("Open …"), "Ctrl+O", "boat", boat.open_boat, icon="open", bar="file"),
        Action("save", tr("Save"), "Ctrl+S", "boat", boat.save, boat.can_save, icon="save", bar="file"),
        Action("save-as", tr("Save as …"), "Ctrl+Shift+S", "boat", boat.save_as),
        Action("particulars", tr("Particulars of the boat"), "Ctrl+B", "boat", boat.particulars, icon="boat",
               group=1),
        Action("size", tr("Size the boat …"), "Ctrl+Shift+B", "boat", boat.size, boat.has_runs, group=1),
        Action("preview", tr("Print preview"), "Ctrl+P", "boat", boat.preview, icon="preview", bar="paper", group=2),
        Action("papers", tr("Papers …"), "Ctrl+Shift+P", "boat", boat.papers, icon="papers", bar="paper", group=2),
        Action("quit", tr("Quit"), "Ctrl+Q", "boat", boat.quit_program, group=3),
    )  # fmt: skip


def _edit() -> tuple[Action, ...]:
    return (
        Action("undo", tr("Undo"), "Ctrl+Z", "edit", draw.undo, draw.can_undo, icon="undo", bar="undo"),
        Action("redo", tr("Redo"), "Ctrl+Shift+Z", "edit", draw.redo, draw.can_redo, icon="redo", bar="undo"),
        Action("cut", tr("Cut"), "Ctrl+X", "edit", draw.cut, deeds.some_selected, group=1),
        Action("copy", tr("Copy"), "Ctrl+C", "edit", draw.copy, deeds.some_selected, group=1),
        Action("paste", tr("Paste"), "Ctrl+V", "edit", draw.paste, group=1),
        Action("duplicate", tr("Duplicate"), "Ctrl+D", "edit", draw.duplicate, deeds.some_selected, group=1),
        Action("delete", tr("Delete"), "Del", "edit", draw.delete, deeds.some_selected, icon="delete", group=1),
        Action("all", tr("Select all on the sheet"), "Ctrl+A", "edit", draw.select_all, group=2),
        Action("none", tr("Select nothing"), "Ctrl+Shift+A", "edit", draw.select_none, deeds.some_selected, group=2),
        Action("fill-in", tr("Fill in what is selected"), "F2", "edit", look.fill_in, group=2),
        Action("find", tr("Find action, part, wire or circuit"), "Ctrl+E", "edit", look.find, icon="search", group=3),
    )  # fmt: skip


def _draw() -> tuple[Action, ...]:
    two, three = deeds.parts_selected(2), deeds.parts_selected(3)
    return (
        Action("point", tr("Select and move"), "Ctrl+1", "draw", draw.point, icon="point", bar="tool",
               checked=draw.pointing),
        Action("run", tr("Lead a run"), "Ctrl+2", "draw", draw.lead_run, icon="run", bar="tool",
               checked=draw.leading),
        Action("place", tr("Place from Stores"), "Ctrl+3", "draw", look.stores, icon="stores", bar="tool",
               checked=draw.placing_now),
        Action("note", tr("Write a note"), "Ctrl+4", "draw", draw.note, icon="note", bar="tool"),
        Action("add-circuit", tr("Add a circuit …"), "Ctrl+Shift+D", "draw", grow.add_circuit, grow.has_ways),
        Action("turn", tr("Turn"), "Ctrl+.", "draw", draw.turn, deeds.parts_selected(1), icon="turn",
               bar="form", group=1),
        Action("mirror", tr("Mirror"), "Ctrl+,", "draw", draw.mirrored, deeds.parts_selected(1), icon="mirror",
               bar="form", group=1),
        Action("left", tr("Align left edges"), "Ctrl+Alt+Left", "draw", draw.align("left"), two, group=2),
        Action("right", tr("Align right edges"), "Ctrl+Alt+Right", "draw", draw.align("right"), two, group=2),
        Action("top", tr("Align upper edges"), "Ctrl+Alt+Up", "draw", draw.align("top"), two, group=2),
        Action("foot", tr("Align lower edges"), "Ctrl+Alt+Down", "draw", draw.align("bottom"), two, group=2),
        Action("column", tr("Align in a column"), "Ctrl+Alt+C", "draw", draw.align("centre"), two, group=2),
        Action("row", tr("Align in a row"), "Ctrl+Alt+R", "draw", draw.align("middle"), two, group=2),
        Action("across", tr("Space evenly across"), "Ctrl+Alt+A", "draw", draw.distribute("across"), three, group=2),
        Action("down", tr("Space evenly down"), "Ctrl+Alt+D", "draw", draw.distribute("down"), three, group=2),
        Action("lead-anew", tr("Lead the runs anew"), "Ctrl+Shift+R", "draw", draw.lead_anew,
               draw.runs_selected, group=3),
        Action("take-out", tr("Take out of the run, and join it"), "Ctrl+Shift+J", "draw", draw.take_out,
               draw.inline_selected, group=3),
        Action("renumber", tr("Number the wires anew"), "Ctrl+Shift+W", "draw", draw.renumber, draw.has_runs,
               group=3),
    )  # fmt: skip


def _sheet() -> tuple[Action, ...]:
    several = sheets.several
    return (
        Action("sheet-new", tr("New sheet"), "Ctrl+T", "sheet", sheets.add, icon="add"),
        Action("sheet-name", tr("Name and paper of the sheet"), "Ctrl+Shift+F2", "sheet", sheets.name),
        Action("sheet-remove", tr("Remove the sheet"), "Ctrl+Shift+Del", "sheet", sheets.remove, several),
        Action("sheet-next", tr("Next sheet"), "Ctrl+PgDown", "sheet", sheets.step(1), several, group=1),
        Action("sheet-previous", tr("Previous sheet"), "Ctrl+PgUp", "sheet", sheets.step(-1), several, group=1),
        Action("sheet-later", tr("Move the sheet back"), "Ctrl+Shift+PgDown", "sheet", sheets.move(1), several,
               group=1),
        Action("sheet-earlier", tr("Move the sheet forward"), "Ctrl+Shift+PgUp", "sheet", sheets.move(-1),
               several, group=1),
        Action("place-again", tr("Place the selected part on this sheet too"), "Ctrl+Shift+T", "sheet",
               sheets.place_again, sheets.one_from_elsewhere, group=2),
        Action("take-off", tr("Take off this sheet only"), "Alt+Del", "sheet", sheets.take_off,
               deeds.parts_selected(1), group=2),
    )  # fmt: skip


def _check() -> tuple[Action, ...]:
    some = deeds.some_findings
    return (
        Action("finding-next", tr("Next finding"), "F8", "check", look.finding(1), some, icon="next", bar="check"),
        Action("finding-previous", tr("Previous finding"), "Shift+F8", "check", look.finding(-1), some,
               icon="previous", bar="check"),
        Action("remedies", tr("Look at the remedies of the finding"), "Alt+F8", "check", look.remedies, look.has_remedies,
               group=1),
        Action("remedy-first", tr("Take the first remedy"), "Ctrl+Shift+F8", "check", look.take_remedy,
               look.has_remedies, group=1),
        Action("deviate", tr("Leave the finding as it is …"), "F9", "check", decisions.deviate,
               decisions.can_deviate, group=1),
        Action("withdraw", tr("Withdraw the deviation"), "Shift+F9", "check", decisions.take_back,
               decisions.has_deviation, group=1),
        Action("measure", tr("Fill in what the finding lacks"), "Ctrl+F8", "check", look.lacking, look.finding_lacks,
               group=1),
        Action("house", tr("House rules …"), "Ctrl+Shift+H", "check", decisions.house_rules, group=1),
    )  # fmt: skip


def _conditions() -> tuple[Action, ...]:
    show, shows = conditions.show, conditions.shows
    return (
        Action("show-live", tr("Show what is live"), "Ctrl+6", "check", show("live"), checked=shows("live"), group=2),
        Action("show-volts", tr("Show volts and amps"), "Ctrl+7", "check", show("volts"), checked=shows("volts"), group=2),
        Action("show-loading", tr("Show how full the runs are"), "Ctrl+8", "check", show("loading"),
               checked=shows("loading"), group=2),
        Action("all-off", tr("Everything off: what is still live"), "Ctrl+Shift+6", "check", conditions.all_off, group=3),
        Action("take-device-out", tr("The selected device out: what goes dead"), "Ctrl+Shift+7", "check",
               conditions.take_out, conditions.can_take_out, checked=conditions.is_out, group=3),
        Action("how-long", tr("How long at anchor"), "Ctrl+H", "check", energy.how_long, energy.has_conditions, group=4),
    )  # fmt: skip


def _faults() -> tuple[Action, ...]:
    return (
        Action("shorted", tr("What opens first if this is shorted"), "Ctrl+K", "check", faults.ask, faults.can_ask, group=4),
    )  # fmt: skip


def _view() -> tuple[Action, ...]:
    return (
        Action("nearer", tr("Zoom in"), "Ctrl++", "view", look.nearer, icon="nearer", bar="zoom"),
        Action("further", tr("Zoom out"), "Ctrl+-", "view", look.further, icon="further", bar="zoom"),
        Action("fit", tr("Whole sheet"), "Ctrl+0", "view", look.fit, icon="fit", bar="zoom"),
        Action("to-selection", tr("Show what is selected"), "Ctrl+Shift+0", "view", look.to_selection,
               deeds.some_selected),
        Action("grid", tr("Grid"), "Ctrl+Shift+G", "view", look.grid, icon="grid", bar="zoom",
               checked=look.has_grid, group=1),
        Action("dark", tr("Dark window"), "Ctrl+Shift+L", "view", look.dark, icon="theme",
               checked=look.is_dark, group=1),
        Action("dark-sheet", tr("Dark sheet too"), "Ctrl+Shift+K", "view", look.dark_sheet, look.is_dark,
               checked=look.is_sheet_dark, group=1),
        Action("dock-stores", tr("Stores"), "Alt+1", "view", look.dock("stores"),
               checked=look.docked("stores"), group=2),
        Action("dock-particulars", tr("Particulars"), "Alt+2", "view", look.dock("particulars"),
               checked=look.docked("particulars"), group=2),
        Action("dock-findings", tr("Findings"), "Alt+3", "view", look.dock("findings"),
               checked=look.docked("findings"), group=2),
        Action("dock-schedules", tr("Schedules"), "Alt+4", "view", look.dock("schedules"),
               checked=look.docked("schedules"), group=2),
        Action("dock-questions", tr("Questions"), "Alt+5", "view", look.dock("questions"),
               checked=look.docked("questions"), group=2),
        Action("dock-conditions", tr("Conditions"), "Alt+6", "view", look.dock("conditions"),
               checked=look.docked("conditions"), group=2),
        Action("next-pane", tr("Next part of the window"), "F6", "view", look.pane(1), group=3),
        Action("previous-pane", tr("Previous part of the window"), "Shift+F6", "view", look.pane(-1), group=3),
    )  # fmt: skip


def _help() -> tuple[Action, ...]:
    return (
        Action("shortcuts", tr("Shortcuts"), "F1", "help", help.shortcuts, icon="shortcuts"),
        Action("about", tr("About and caution"), "Ctrl+F1", "help", help.about),
    )  # fmt: skip

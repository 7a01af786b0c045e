"""Everything of one open window, under one name: what the actions are given. Built by app/main.py.

It joins the pieces by their signals and moves the eye: which sheet is in front, what is brought into sight.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

import msgspec
from PySide6.QtCore import QPoint

from app.analyst import Analyst
from app.canvas.view import View
from app.marking import annotation
from app.mending import Mending
from app.panels.conditions import ConditionsPanel
from app.panels.finding_list import ShownFinding
from app.panels.findings import FindingsPanel, summary_text
from app.panels.particulars import ParticularsPanel
from app.panels.questions import QuestionsPanel
from app.panels.schedules import SchedulesPanel
from app.panels.stores import StoresPanel
from app.selection import Selection
from app.store import Store
from app.window import Window
from engine.drawing.sheet import Draughtsman
from engine.drawing.theme import DARK, PAPER, WINDOWS
from engine.library.device import Library
from engine.library.symbol import Symbol
from engine.messages import tr
from engine.model.document import Document
from engine.model.sheets import Sheet
from engine.pipeline import Analysis

if TYPE_CHECKING:
    from app.files import Files

MM_PER_INCH = 25.4


class Panes(msgspec.Struct, frozen=True):
    """What is in the docks."""

    stores: StoresPanel
    particulars: ParticularsPanel
    findings: FindingsPanel
    schedules: SchedulesPanel
    questions: QuestionsPanel
    conditions: ConditionsPanel


class Workbench:
    """The pieces, joined."""

    def __init__(
        self,
        window: Window,
        store: Store,
        selection: Selection,
        library: Library,
        symbols: Mapping[str, Symbol],
        draughtsman: Draughtsman,
        view: View,
        panes: Panes,
        analyst: Analyst,
        files: Files,
    ) -> None:
        self.window, self.store, self.selection = window, store, selection
        self.library, self.symbols, self.draughtsman = library, symbols, draughtsman
        self.view, self.panes, self.analyst, self.files = view, panes, analyst, files
        self.tool = "select"
        self._join_store()
        self._join_view()
        self._join_panes()
        self.mending = Mending(self)
        self.dress()

    def _join_store(self) -> None:
        self.store.changed.connect(self._changed)
        self.store.refused.connect(self.window.notes.say)
        self.store.clean_changed.connect(lambda _clean: self._title())
        self.store.loaded.connect(self._loaded)
        self.store.undo_stack.indexChanged.connect(lambda _at: self.window.menus.refresh())
        self.selection.changed.connect(lambda _keys: self.window.menus.refresh())
        self.analyst.begun.connect(lambda: self.window.foot.show_checked(tr("checking …")))
        self.analyst.done.connect(self._analysed)

    def _join_view(self) -> None:
        view, sheets = self.view, self.window.sheets
        view.status.connect(self.window.foot.say)
        view.tool_changed.connect(self._tool_changed)
        view.camera_changed.connect(lambda camera: self._zoom(camera.scale))
        view.activated.connect(lambda _key: self.window.menus.run("fill-in"))
        view.context_menu_requested.connect(self._context_menu)
        sheets.chosen.connect(self.show_sheet)
        sheets.wanted.connect(lambda: self.window.menus.run("sheet-new"))
        sheets.named.connect(lambda: self.window.menus.run("sheet-name"))
        sheets.moved.connect(self._sheet_moved)
        self.window.look_changed.connect(self.dress)

    def _join_panes(self) -> None:
        panes, window = self.panes, self.window
        panes.stores.taken.connect(self.take)
        panes.stores.told.connect(window.foot.say)
        panes.findings.sought.connect(self.show_finding)
        panes.schedules.sought.connect(lambda key: self.reveal([key]))
        panes.questions.sought.connect(self._seek)
        panes.conditions.sought.connect(lambda key: self.going(key)())
        panes.conditions.situation.told.connect(self._show_situation)
        panes.conditions.situation.told.connect(panes.schedules.follow_results)
        for name, panel in (("conditions", panes.conditions), ("questions", panes.questions)):
            window.dock(name).visibilityChanged.connect(panel.watch)
            panel.watch(window.dock(name).is_in_sight())
        panes.schedules.told.connect(window.notes.say)
        panes.particulars.told.connect(window.notes.say)
        window.foot.findings_wanted.connect(lambda: window.dock("findings").bring())
        for dock in window.docks.values():
            dock.visibilityChanged.connect(lambda _shown: window.menus.refresh())

    @property
    def sheet_id(self) -> str:
        """The sheet in front."""
        return self.view.bench.sheet_id

    @property
    def sheet(self) -> Sheet:
        """The sheet in front."""
        return self.view.bench.sheet

    def show_sheet(self, sheet_id: str) -> None:
        """Bring a sheet to the front."""
        if sheet_id != self.sheet_id:
            self.view.show_sheet(sheet_id)
        self._sheets()

    def _sheets(self) -> None:
        self.window.sheets.show_sheets(self.store.document.sheets, self.sheet_id)
        self.panes.particulars.show_sheet(self.sheet_id)
        self.window.menus.refresh()

    def _sheet_moved(self, sheet_id: str, to: int) -> None:
        from engine.model.edits.sheets import move_sheet

        self.store.apply(lambda document: move_sheet(document, sheet_id, to), tr("Move the sheet"))

    def take(self, kind_id: str) -> None:
        """A part from Stores in hand."""
        self.window.show_card(None)
        self.view.place(kind_id)

    def reveal(self, keys: Iterable[str]) -> None:
        """Bring things into sight, on the sheet where the first of them stands."""
        wanted = list(keys)
        sheet_id = next(
            (found for key in wanted if (found := sheet_of_key(self.store.document, key, self.sheet_id))), ""
        )
        if sheet_id:
            self.show_sheet(sheet_id)
        boxes = self.view.bench.drawing.boxes
        seen = [boxes[key] for key in wanted if key in boxes]
        if seen:
            lefts, tops, rights, feet = zip(*seen, strict=True)
            self.view.look_at((min(lefts), min(tops), max(rights), max(feet)))

    def going(self, key: str) -> Callable[[], None]:
        """A function that selects a thing and brings it into sight."""

        def go() -> None:
            self.selection.set((key,))
            self.reveal([key])
            self.view.setFocus()

        return go

    def show_finding(self, found: ShownFinding | None) -> None:
        """Select what a finding is about, bring it into sight, and draw its way."""
        self._mark(found)
        if found:
            self.selection.set(
                [key for key in found.finding.outcome.subjects if key.startswith(("part:", "run:", "position:"))]
            )
            self.reveal(found.keys)

    def _mark(self, picked: ShownFinding | None) -> None:
        shown = self.panes.conditions.situation.annotation
        self.view.annotate(annotation(self.panes.findings.model.rows, picked) if shown is None else shown)

    def _show_situation(self) -> None:
        """What the sheet shows of the condition, or the findings again."""
        self._mark(self.panes.findings.current())
        self.window.menus.refresh()

    def say(self, text: str) -> None:
        """A refusal or a notice above the sheet."""
        self.window.notes.say(text)

    def dress(self) -> None:
        """Colours and grid as the window has them now."""
        look = self.window.settings
        sheet = DARK if look.dark and look.dark_sheet else PAPER
        self.view.set_themes(sheet, WINDOWS[self.window.theme.name])
        self.view.show_grid(look.grid)
        self.panes.findings.set_dark(look.dark)
        self.panes.questions.set_dark(look.dark)
        family = self.store.document.network.particulars.symbols
        shades = DARK if look.dark else PAPER
        self.panes.stores.show_library(self.library, self.symbols, shades, family)
        self._counts()
        self.window.menus.refresh()

    def _changed(self, old: Document, new: Document) -> None:
        self.window.notes.settle()
        if old.sheets is not new.sheets:
            self._sheets()
        if new.network.parts:
            self.window.show_card(None)
        if old.network.particulars is not new.network.particulars:
            self._title()
            if old.network.particulars.symbols != new.network.particulars.symbols:
                self.dress()

    def _loaded(self, _document: Document) -> None:
        self.selection.clear()
        self.window.notes.settle()
        self.view.show_sheet(self.store.document.sheets[0].id)
        self._sheets()
        self._title()
        self.analyst.analyse()

    def _seek(self, key: str) -> None:
        """Show what a question is about, where it is drawn."""
        part = key.partition("/")[0].replace("position:", "part:")
        if part.startswith(("part:", "run:")):
            self.reveal([part])

    def _analysed(self, analysis: Analysis) -> None:
        self.panes.findings.show_analysis(analysis)
        self._counts()
        self._mark(self.panes.findings.current())
        self.panes.questions.take_analysis(analysis)
        self.panes.conditions.situation.show_boat(analysis.boat)
        self.window.menus.refresh()

    def _counts(self) -> None:
        analysis = self.analyst.analysis
        if analysis is not None:
            counts = self.panes.findings.model.counts()
            self.window.foot.show_counts(counts, summary_text(analysis), self.window.settings.dark)
            self.window.foot.show_checked(tr("{checks} checks ran").format(checks=analysis.report.checks))

    def _tool_changed(self, name: str) -> None:
        self.tool = name
        self.window.menus.refresh()

    def _zoom(self, scale: float) -> None:
        self.window.foot.show_zoom(scale, self.view.logicalDpiX() / MM_PER_INCH)

    def _title(self) -> None:
        name = self.store.document.network.particulars.name
        self.window.setWindowTitle(f"{name}[*] – Loomwright")
        self.window.setWindowModified(not self.store.clean)
        self.window.foot.show_saved(self.store.clean, str(self.files.path or tr("no file yet")))

    def _context_menu(self, key: str, at: QPoint) -> None:
        from PySide6.QtWidgets import QMenu

        if key and key not in self.selection.keys:
            self.selection.set((key,))
        menu = QMenu(self.window)
        for group in CONTEXT if key else BARE_CONTEXT:
            for name in group:
                if self.window.menus.usable(name):
                    menu.addAction(self.window.menus.made[name])
            menu.addSeparator()
        menu.popup(at)


CONTEXT = (
    ("fill-in", "add-circuit", "turn", "mirror", "lead-anew"),
    ("cut", "copy", "duplicate", "delete", "take-off"),
    ("row", "column"),
)
BARE_CONTEXT = (("place", "run", "note", "paste"), ("all", "fit", "grid"))


def sheet_of_key(document: Document, key: str, front: str) -> str:
    """The id of a sheet where a thing stands, the one in front first; "" where it stands nowhere."""
    sort, _, rest = key.partition(":")
    ends = {rest.partition("/")[0]}
    if sort == "run":
        ends = {end.part for run in document.network.runs if run.id == rest for end in (run.a, run.b)}
    for sheet in sorted(document.sheets, key=lambda sheet: sheet.id != front):
        standing = {place.part for place in sheet.places} | {note.id for note in sheet.notes}
        if ends and ends & standing:
            return sheet.id
    return ""

"""The View and Check menus: zoom, grid, themes, docks, going through the findings, the search."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

if TYPE_CHECKING:
    from app.workbench import Workbench

ZOOM = 1.25


def nearer(bench: Workbench) -> None:
    """Larger."""
    bench.view.zoom(ZOOM)


def further(bench: Workbench) -> None:
    """Smaller."""
    bench.view.zoom(1 / ZOOM)


def fit(bench: Workbench) -> None:
    """The whole sheet."""
    bench.view.fit()


def to_selection(bench: Workbench) -> None:
    """What is selected, on the sheet where it stands."""
    bench.reveal(sorted(bench.selection.keys))


def has_grid(bench: Workbench) -> bool:
    """The grid is shown."""
    return bench.window.settings.grid


def grid(bench: Workbench) -> None:
    """The grid on or off."""
    bench.window.set_look(grid=not bench.window.settings.grid)


def is_dark(bench: Workbench) -> bool:
    """The window is dark."""
    return bench.window.settings.dark


def dark(bench: Workbench) -> None:
    """Dark or light."""
    bench.window.set_look(dark=not bench.window.settings.dark)


def is_sheet_dark(bench: Workbench) -> bool:
    """The sheet is dark as well."""
    return bench.window.settings.dark and bench.window.settings.dark_sheet


def dark_sheet(bench: Workbench) -> None:
    """In a dark window: the sheet dark or white. Paper is always white."""
    bench.window.set_look(dark_sheet=not bench.window.settings.dark_sheet)


def docked(name: str) -> Callable[[Workbench], bool]:
    """The dock is shown."""
    return lambda bench: bench.window.dock(name).is_in_sight()


def dock(name: str) -> Callable[[Workbench], None]:
    """Bring a dock to the front; put it away where it is in sight and has the keyboard, or was clicked away."""

    def run(bench: Workbench) -> None:
        pane = bench.window.dock(name)
        if pane.is_in_sight():
            pane.close()
        else:
            pane.bring()

    return run


def stores(bench: Workbench) -> None:
    """Stores, with the keyboard in its search."""
    bench.window.dock("stores").bring()
    bench.panes.stores.focus_search()


def fill_in(bench: Workbench) -> None:
    """The first field of what is selected."""
    bench.window.dock("particulars").bring()
    bench.panes.particulars.focus_first()


def find(bench: Workbench) -> None:
    """The search field."""
    bench.window.finder.begin()


def finding(by: int) -> Callable[[Workbench], None]:
    """The next or the previous finding, shown on the sheet."""

    def run(bench: Workbench) -> None:
        bench.window.dock("findings").show_only()
        bench.panes.findings.step(by)

    return run


def finding_lacks(bench: Workbench) -> bool:
    """The finding that is picked lacks a field."""
    found = bench.panes.findings.current()
    return bool(found and found.finding.outcome.lacks)


def lacking(bench: Workbench) -> None:
    """Select what the picked finding knows too little about, with the keyboard in the first missing field."""
    found = bench.panes.findings.current()
    if not found or not found.finding.outcome.lacks:
        return
    key, _, field = found.finding.outcome.lacks[0].partition(" ")
    bench.selection.set((key,))
    bench.reveal([key])
    bench.window.dock("particulars").bring()
    bench.panes.particulars.focus_field(field)


def has_remedies(bench: Workbench) -> bool:
    """Remedies of the picked finding stand ready."""
    return bool(bench.panes.findings.remedies.offers) and bench.mending.fresh


def remedies(bench: Workbench) -> None:
    """The keyboard goes to the remedies, and the first is shown on the sheet."""
    bench.window.dock("findings").show_only()
    bench.panes.findings.remedies.list.setFocus()


def take_remedy(bench: Workbench) -> None:
    """The first remedy of the picked finding, as one step of undo."""
    bench.panes.findings.remedies.take_first()


def pane(by: int) -> Callable[[Workbench], None]:
    """The keyboard goes to the next part of the window that is in sight."""

    def run(bench: Workbench) -> None:
        stops = bench.window.stops()
        now = QApplication.focusWidget()
        at = next((n for n, stop in enumerate(stops) if now and (stop is now or stop.isAncestorOf(now))), -by)
        target = stops[(at + by) % len(stops)]
        (target.focusProxy() or target).setFocus()

    return run

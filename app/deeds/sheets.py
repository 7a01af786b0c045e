"""The Sheet menu: new, name, order, removal, and taking a part off one sheet."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from app.later import Later
from engine.messages import tr

if TYPE_CHECKING:
    from app.workbench import Workbench
    from engine.model.document import Document
    from engine.model.edits import placing
    from engine.model.edits import sheets as sheet_edits
else:
    placing, sheet_edits = Later("engine.model.edits.placing"), Later("engine.model.edits.sheets")


def several(bench: Workbench) -> bool:
    """There is more than one sheet."""
    return len(bench.store.document.sheets) > 1


def add(bench: Workbench) -> None:
    """One more sheet at the end, in front."""
    number = len(bench.store.document.sheets) + 1
    title = tr("Sheet {number}").format(number=number)
    if bench.store.apply(lambda document: sheet_edits.add_sheet(document, title), tr("New sheet")):
        bench.show_sheet(bench.store.document.sheets[-1].id)


def name(bench: Workbench) -> None:
    """The sheet's fields in Particulars."""
    bench.selection.clear()
    bench.window.dock("particulars").bring()
    bench.panes.particulars.focus_field("title")


def remove(bench: Workbench) -> None:
    """The sheet in front, unless parts stand on it alone."""
    sheet_id = bench.sheet_id
    bench.store.apply(lambda document: sheet_edits.remove_sheet(document, sheet_id), tr("Remove the sheet"))


def _index(bench: Workbench) -> int:
    return [sheet.id for sheet in bench.store.document.sheets].index(bench.sheet_id)


def step(by: int) -> Callable[[Workbench], None]:
    """The next or the previous sheet, round."""

    def run(bench: Workbench) -> None:
        listed = bench.store.document.sheets
        bench.show_sheet(listed[(_index(bench) + by) % len(listed)].id)

    return run


def move(by: int) -> Callable[[Workbench], None]:
    """The sheet in front, one further in the order."""

    def run(bench: Workbench) -> None:
        sheet_id, to = bench.sheet_id, max(0, _index(bench) + by)
        bench.store.apply(lambda document: sheet_edits.move_sheet(document, sheet_id, to), tr("Move the sheet"))

    return run


def one_from_elsewhere(bench: Workbench) -> bool:
    """One part is selected, and it does not stand on this sheet."""
    parts = bench.selection.ids("part")
    return len(parts) == 1 and not parts & {place.part for place in bench.sheet.places}


def place_again(bench: Workbench) -> None:
    """The part selected on another sheet in hand, to stand on this one too."""
    bench.view.place_again(next(iter(bench.selection.ids("part"))))


def take_off(bench: Workbench) -> None:
    """The selected parts no longer on this sheet, though still on the boat."""
    sheet_id, parts = bench.sheet_id, sorted(bench.selection.ids("part"))

    def edit(document: Document) -> Document:
        for part in parts:
            document = placing.take_off_sheet(document, part, sheet_id)
        return document

    bench.store.apply(edit, tr("Take off the sheet"))

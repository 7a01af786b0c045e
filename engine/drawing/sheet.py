"""The drawing of one sheet: parts, runs, tags, marks, cross references, legend and frame, as a display list.

`draw_sheet` is a pure function of the document; a `Draughtsman` keeps shapes and ways between two drawings, so that
dragging a part leads only its own runs anew. Knows no backend.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.drawing.annotate import Annotation
from engine.drawing.composition import Composition, Desk, Settled, compose
from engine.drawing.display import Group, Item, Page
from engine.drawing.frame import TitleBlock, frame_items
from engine.drawing.leads import Led
from engine.drawing.metrics import Box
from engine.drawing.outline import Point
from engine.drawing.placed import Shapes
from engine.drawing.ports import Key, PortSpot
from engine.library.device import Library
from engine.library.symbol import Symbol
from engine.messages import tr
from engine.model.document import Document
from engine.model.network import UnitSystem
from engine.model.sheets import Sheet


class SheetDrawing(msgspec.Struct, frozen=True):
    """A drawn sheet: `page` is exactly what is printed; boxes (mm) by "part:p3", "position:p4/12", "run:w7", "note:n2".

    `paths` holds each run's polyline as drawn; `unclear` names the runs for which no free way was found. `settled`: the
    runs lie as they do when all are led anew.
    """

    page: Page
    ports: Mapping[Key, PortSpot]
    boxes: Mapping[str, Box]
    paths: Mapping[str, tuple[Point, ...]]
    unclear: tuple[str, ...] = ()
    settled: bool = True


class Draughtsman:
    """Draws sheets of one boat again and again; what did not change is not made anew."""

    def __init__(self, library: Library, symbols: Mapping[str, Symbol]) -> None:
        self._library = library
        self._symbols = symbols
        self._shapes = Shapes()
        self._ways: dict[str, dict[str, Led]] = {}
        self._settled: dict[str, Settled] = {}
        self._groups: dict[str, dict[str, Group]] = {}
        self._last: tuple[tuple[object, ...], Desk] | None = None
        """What was asked for when the last sheet was drawn, and that sheet without findings."""

    def draw(
        self,
        document: Document,
        sheet_id: str,
        *,
        annotation: Annotation | None = None,
        units: UnitSystem | None = None,
        settle: bool = False,
        frame: bool = True,
        hasty: bool = False,
    ) -> SheetDrawing:
        """The sheet. While a part is dragged, runs that it does not touch stay as they lie; `settle` leads all anew,
        which gives what `draw_sheet` gives. `hasty`, for a preview, spends no time on runs whose way is hard to find.
        KeyError if there is no such sheet."""
        found = annotation or Annotation()
        desk = self._desk(document, sheet_id, msgspec.structs.replace(found, marks=(), paths=()), units, settle, hasty)
        made = desk.with_findings(found.marks, found.paths)
        border = frame_items(made.paper, title_block(document, desk.sheet)) if frame else ()
        return _drawing(document, desk.sheet, made, self._as_before(sheet_id, (*border, *made.items)))

    def _desk(
        self, document: Document, sheet_id: str, shown: Annotation, units: UnitSystem | None, settle: bool, hasty: bool
    ) -> Desk:
        """The sheet without findings: the one drawn last where nothing but findings has changed."""
        asked = (document, sheet_id, shown, units, hasty)
        if self._last is not None and self._last[0] == asked and (self._last[1].settled is not None or not settle):
            return self._last[1]
        kept = {} if settle else self._ways.get(sheet_id, {})
        means, settled = (self._library, self._symbols, self._shapes), self._settled.get(sheet_id)
        desk = compose(
            document, sheet_named(document, sheet_id), means, kept, shown, units, hasty=hasty, settled=settled
        )
        self._ways[sheet_id], self._last = desk.ways, (asked, desk)
        if desk.settled is not None:
            self._settled[sheet_id] = desk.settled
        return desk

    def _as_before(self, sheet_id: str, items: Iterable[Item]) -> tuple[Item, ...]:
        """The items; a group that is equal to the one drawn last is that one, so that nobody looks into it again."""
        before = self._groups.get(sheet_id, {})
        same = [
            before[item.key] if isinstance(item, Group) and before.get(item.key) == item else item for item in items
        ]
        self._groups[sheet_id] = {item.key: item for item in same if isinstance(item, Group)}
        return tuple(same)


def draw_sheet(
    document: Document,
    sheet_id: str,
    library: Library,
    symbols: Mapping[str, Symbol],
    *,
    annotation: Annotation | None = None,
    units: UnitSystem | None = None,
) -> SheetDrawing:
    """The whole sheet as printed. Same document, same drawing. KeyError if there is no such sheet."""
    return Draughtsman(library, symbols).draw(document, sheet_id, annotation=annotation, units=units)


def sheet_items(
    document: Document,
    sheet_id: str,
    library: Library,
    symbols: Mapping[str, Symbol],
    *,
    annotation: Annotation | None = None,
    units: UnitSystem | None = None,
) -> tuple[Item, ...]:
    """What stands on the sheet, without its frame and title block."""
    draughtsman = Draughtsman(library, symbols)
    return draughtsman.draw(document, sheet_id, annotation=annotation, units=units, frame=False).page.items


def sheet_named(document: Document, sheet_id: str) -> Sheet:
    """The sheet with this id. KeyError if there is none."""
    for sheet in document.sheets:
        if sheet.id == sheet_id:
            return sheet
    raise KeyError(f"no sheet {sheet_id}")


def _drawing(document: Document, sheet: Sheet, made: Composition, items: tuple[Item, ...]) -> SheetDrawing:
    title = f"{document.sheets.index(sheet) + 1} {sheet.title}".strip()
    page = Page(made.paper.width_mm, made.paper.height_mm, items, title)
    unclear = tuple(run for run, led in made.ways.items() if not led.clear)
    return SheetDrawing(page, made.ports, made.boxes, made.paths, unclear, made.settled is not None)


def title_block(document: Document, sheet: Sheet) -> TitleBlock:
    """What the title block of a sheet says."""
    boat = document.network.particulars
    return TitleBlock(
        owner=boat.yard,
        title=boat.name,
        supplementary_title=sheet.title,
        drawing_number=boat.drawing_number,
        revision=boat.revision,
        date=boat.date,
        sheet=document.sheets.index(sheet) + 1,
        sheets=len(document.sheets),
        creator=boat.drawn_by,
        approved=boat.approved_by,
        document_type=tr("One-line diagram"),
        reference=boat.hull or boat.model,
        language=boat.language,
    )

"""The quick drawing of a preview on a full sheet: only what the edit touches is drawn anew, over what lies there.

Runs in a draft keep off nothing but the parts they join; the drawing after the edit leads them properly. Pure.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import msgspec

from engine.drawing.display import Group
from engine.drawing.sheet import SheetDrawing
from engine.model.document import Document
from engine.model.sheets import Sheet

DRAFT = "draft"
"""Id of the sheet that the touched things stand on; no other sheet has it."""


class Touched(msgspec.Struct, frozen=True):
    """Ids of what two documents do not share on one sheet, and of the runs that end on such parts."""

    parts: frozenset[str]
    runs: frozenset[str]
    notes: frozenset[str]

    def has(self, key: str) -> bool:
        """Whether a key of the drawing ("part:p1", "position:p1/2", "run:w3", "note:n4") is of one of them."""
        kind, _, record_id = key.partition(":")
        groups = {"part": self.parts, "position": self.parts, "run": self.runs, "note": self.notes}
        return record_id.partition("/")[0] in groups.get(kind, ())


def touched(before: Document, after: Document, sheet_id: str) -> Touched:
    """What an edit touched on a sheet; records that it left alone are the same objects."""
    old, new = _sheet(before, sheet_id), _sheet(after, sheet_id)
    parts = _unlike(old.places, new.places, "part") | _unlike(before.network.parts, after.network.parts, "id")
    runs = _unlike(before.network.runs, after.network.runs, "id") | _unlike(old.routes, new.routes, "run")
    runs |= {run.id for run in after.network.runs if run.a.part in parts or run.b.part in parts}
    return Touched(parts, frozenset(runs), _unlike(old.notes, new.notes, "id"))


def _sheet(document: Document, sheet_id: str) -> Sheet:
    return next(sheet for sheet in document.sheets if sheet.id == sheet_id)


def _unlike(old: Sequence[Any], new: Sequence[Any], name: str) -> frozenset[str]:
    if old is new:
        return frozenset()
    kept = {id(record) for record in old} & {id(record) for record in new}
    return frozenset(getattr(record, name) for record in (*old, *new) if id(record) not in kept)


def excerpt(document: Document, sheet_id: str, only: Touched) -> Document:
    """A document of what was touched and the parts at the other ends of its runs, on the sheet DRAFT."""
    runs = tuple(run for run in document.network.runs if run.id in only.runs)
    wanted = only.parts | {end.part for run in runs for end in (run.a, run.b)}
    sheet = _sheet(document, sheet_id)
    drawn = msgspec.structs.replace(
        sheet,
        id=DRAFT,
        places=tuple(place for place in sheet.places if place.part in wanted),
        routes=tuple(route for route in sheet.routes if route.run in only.runs),
        notes=tuple(note for note in sheet.notes if note.id in only.notes),
    )
    parts = tuple(part for part in document.network.parts if part.id in wanted)
    network = msgspec.structs.replace(document.network, parts=parts, runs=runs)
    return msgspec.structs.replace(document, network=network, sheets=(drawn,))


class Draft(msgspec.Struct, frozen=True):
    """A preview in two: what stands still, drawn once for a whole gesture, and what is in the hand."""

    base: SheetDrawing
    only: Touched
    still: SheetDrawing
    """The base without what is touched."""
    moving: SheetDrawing
    """What is touched, as it would be."""

    def whole(self) -> SheetDrawing:
        """Both as one drawing; what is in the hand lies over the rest."""
        still, moving = self.still, self.moving
        return SheetDrawing(
            msgspec.structs.replace(still.page, items=(*still.page.items, *moving.page.items)),
            {**still.ports, **moving.ports},
            {**still.boxes, **moving.boxes},
            {**still.paths, **moving.paths},
        )


def draft(
    base: SheetDrawing,
    before: Document,
    after: Document,
    sheet_id: str,
    draw: Callable[[Document], SheetDrawing],
    last: Draft | None = None,
) -> Draft:
    """The drawing of `after`, made from that of `before`; `draw` draws the excerpt. `last`: the one before of the gesture."""
    only = touched(before, after, sheet_id)
    fresh = _part(draw(excerpt(after, sheet_id, only)), only, True)
    same = last is not None and last.base is base and last.only == only
    return Draft(base, only, last.still if last is not None and same else _part(base, only, False), fresh)


def _part(drawing: SheetDrawing, only: Touched, wanted: bool) -> SheetDrawing:
    """What of a drawing is touched, or what is not."""
    items = (item for item in drawing.page.items if (isinstance(item, Group) and only.has(item.key)) == wanted)
    return SheetDrawing(
        msgspec.structs.replace(drawing.page, items=tuple(items)),
        {key: spot for key, spot in drawing.ports.items() if (key[0] in only.parts) == wanted},
        {key: box for key, box in drawing.boxes.items() if only.has(key) == wanted},
        {run: way for run, way in drawing.paths.items() if (run in only.runs) == wanted},
    )

"""The quick drawing of a preview on a full sheet: only what the edit touches is drawn anew, over what lies there.

Runs in a draft keep off nothing but the parts they join; the drawing after the edit leads them properly. Pure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
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
    places = _unlike(_by(old.places, "part"), _by(new.places, "part"))
    parts = places | _unlike(_by(before.network.parts, "id"), _by(after.network.parts, "id"))
    runs = _unlike(_by(before.network.runs, "id"), _by(after.network.runs, "id"))
    runs |= _unlike(_by(old.routes, "run"), _by(new.routes, "run"))
    runs |= {run.id for run in after.network.runs if run.a.part in parts or run.b.part in parts}
    return Touched(parts, frozenset(runs), _unlike(_by(old.notes, "id"), _by(new.notes, "id")))


def _sheet(document: Document, sheet_id: str) -> Sheet:
    return next(sheet for sheet in document.sheets if sheet.id == sheet_id)


def _by(records: Iterable[Any], name: str) -> dict[str, Any]:
    return {getattr(record, name): record for record in records}


def _unlike(old: Mapping[str, Any], new: Mapping[str, Any]) -> frozenset[str]:
    return frozenset(key for key in old.keys() | new.keys() if old.get(key) is not new.get(key))


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


def draft(
    base: SheetDrawing, before: Document, after: Document, sheet_id: str, draw: Callable[[Document], SheetDrawing]
) -> SheetDrawing:
    """The drawing of `after`, made from that of `before`; `draw` draws the excerpt."""
    only = touched(before, after, sheet_id)
    fresh = draw(excerpt(after, sheet_id, only))
    kept = tuple(item for item in base.page.items if not (isinstance(item, Group) and only.has(item.key)))
    added = tuple(item for item in fresh.page.items if isinstance(item, Group) and only.has(item.key))
    return SheetDrawing(
        msgspec.structs.replace(base.page, items=(*kept, *added)),
        _joined(base.ports, fresh.ports, lambda key: key[0] in only.parts),
        _joined(base.boxes, fresh.boxes, only.has),
        _joined(base.paths, fresh.paths, lambda run: run in only.runs),
    )


def _joined(old: Mapping[Any, Any], new: Mapping[Any, Any], fresh: Callable[[Any], bool]) -> dict[Any, Any]:
    kept = {key: value for key, value in old.items() if not fresh(key)}
    return kept | {key: value for key, value in new.items() if fresh(key)}

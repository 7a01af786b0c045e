"""Where things stand on the other sheets: "2.B4" is sheet 2, zone B4. Flags where runs go on.

Knows places and zones, not how parts look.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from engine.drawing.sheets import sheet_format, zone_at
from engine.model.document import Document
from engine.model.network import End, Part, Run
from engine.model.sheets import Place, Sheet

ARROW = "→"


class Standing(msgspec.Struct, frozen=True):
    """One place of a part: the sheet's number from 1, the sheet, the place."""

    number: int
    sheet: Sheet
    place: Place

    @property
    def reference(self) -> str:
        """ "2.B4"."""
        return f"{self.number}.{zone_at(sheet_format(self.sheet.format), self.place.x_mm, self.place.y_mm)}"

    @property
    def anchor(self) -> str:
        """The name under which a PDF can jump here."""
        return anchor_name(self.sheet.id, self.place.part)


def anchor_name(sheet_id: str, part_id: str) -> str:
    """The name of a part's place on a sheet, for links in a PDF."""
    return f"{sheet_id}/{part_id}"


def standings(document: Document) -> dict[str, list[Standing]]:
    """Every place of every part, in the order of the sheets."""
    found: dict[str, list[Standing]] = {}
    for number, sheet in enumerate(document.sheets, 1):
        for place in sheet.places:
            found.setdefault(place.part, []).append(Standing(number, sheet, place))
    return found


def elsewhere(part_id: str, sheet_id: str, found: Mapping[str, list[Standing]]) -> list[Standing]:
    """The part's places on other sheets than this one."""
    return [one for one in found.get(part_id, []) if one.sheet.id != sheet_id]


def also_line(part_id: str, sheet_id: str, found: Mapping[str, list[Standing]]) -> str:
    """ "also 2.B4", or nothing for a part that stands on this sheet only."""
    others = elsewhere(part_id, sheet_id, found)
    return "also " + ", ".join(one.reference for one in others) if others else ""


class Flag(msgspec.Struct, frozen=True):
    """A run that goes on elsewhere: where it leaves this sheet, what is written, where a click leads ("": nowhere)."""

    run: str
    here: End
    text: str
    anchor: str = ""


def flags(
    document: Document, sheet_id: str, parts: Mapping[str, Part], found: Mapping[str, list[Standing]]
) -> Iterator[Flag]:
    """One flag for each run that has exactly one end here and is drawn whole on no sheet."""
    for run in document.network.runs:
        ends = [end for end in (run.a, run.b) if _stands(end, sheet_id, found)]
        if len(ends) == 1 and not _drawn_whole(run, found):
            far = run.b if ends[0] is run.a else run.a
            yield _flag(run, ends[0], far, parts, found.get(far.part, []))


def _stands(end: End, sheet_id: str, found: Mapping[str, list[Standing]]) -> bool:
    return any(one.sheet.id == sheet_id for one in found.get(end.part, ()))


def _drawn_whole(run: Run, found: Mapping[str, list[Standing]]) -> bool:
    a = {one.sheet.id for one in found.get(run.a.part, ())}
    return any(one.sheet.id in a for one in found.get(run.b.part, ()))


def _flag(run: Run, here: End, far: End, parts: Mapping[str, Part], places: list[Standing]) -> Flag:
    part = parts.get(far.part)
    name = (part.designation or part.label or part.kind) if part else far.part
    where = places[0].reference if places else "not drawn:"
    words = (run.number, ARROW, where, f"{name}:{far.port}" if part and part.positions else name)
    return Flag(run.id, here, " ".join(word for word in words if word), places[0].anchor if places else "")

"""Sheets of the drawing: added, named, ordered, taken away."""

from __future__ import annotations

from typing import Any

from engine.model.document import Document
from engine.model.edits.placing import delete
from engine.model.edits.records import EditRefused, changed, sheet_of, with_sheet, without
from engine.model.sheets import Sheet

SHEET_FIELDS = frozenset({"title", "format"})


def add_sheet(document: Document, title: str = "", format: str = "") -> Document:
    """One more sheet at the end, in the format of the last one unless told."""
    usual = document.sheets[-1].format if document.sheets else "A3"
    sheet = Sheet(id=f"s{document.next_id}", title=title, format=format or usual)
    return changed(document, sheets=(*document.sheets, sheet), next_id=document.next_id + 1)


def set_sheet(document: Document, sheet_id: str, **fields: Any) -> Document:
    """Title or format of a sheet."""
    if not set(fields) <= SHEET_FIELDS:
        raise EditRefused("no-such-field", {"field": ", ".join(sorted(set(fields) - SHEET_FIELDS))})
    return with_sheet(document, sheet_id, lambda sheet: changed(sheet, **fields))


def remove_sheet(document: Document, sheet_id: str, with_parts: bool = False) -> Document:
    """A sheet gone. Refuses the last one, and one with parts that stand nowhere else unless these are to go too."""
    if len(document.sheets) == 1:
        raise EditRefused("last-sheet")
    here = {place.part for place in sheet_of(document, sheet_id).places}
    elsewhere = {place.part for sheet in document.sheets if sheet.id != sheet_id for place in sheet.places}
    if here - elsewhere and not with_parts:
        raise EditRefused("sheet-not-empty", {"parts": len(here - elsewhere)})
    made = delete(document, (f"part:{part}" for part in here - elsewhere))
    return changed(made, sheets=without(made.sheets, (sheet_id,)))


def move_sheet(document: Document, sheet_id: str, index: int) -> Document:
    """A sheet at another place in the order, counted from 0."""
    sheet = sheet_of(document, sheet_id)
    rest = [other for other in document.sheets if other is not sheet]
    index = max(0, min(index, len(rest)))
    return changed(document, sheets=(*rest[:index], sheet, *rest[index:]))

"""Each drawing sheet as an SVG file of its own."""

from __future__ import annotations

import re
from collections.abc import Iterator

from engine.drawing.sheet import Draughtsman
from engine.export.svg import page_to_svg
from engine.model.sheets import Sheet
from engine.papers.subject import Subject


def drawn_sheets(subject: Subject) -> tuple[Sheet, ...]:
    """The sheets that something stands on."""
    return tuple(sheet for sheet in subject.document.sheets if sheet.places or sheet.notes)


def sheets_svg(subject: Subject) -> Iterator[tuple[str, str]]:
    """(file name without ending, SVG text) of each sheet, as printed, with its type so that it looks alike anywhere."""
    draughtsman = Draughtsman(subject.library, subject.symbols)
    for number, sheet in enumerate(drawn_sheets(subject), 1):
        page = draughtsman.draw(subject.document, sheet.id).page
        yield sheet_name(number, sheet), page_to_svg(page, embed_font=True)


def sheet_name(number: int, sheet: Sheet) -> str:
    """ "sheet-1-direct-current"."""
    slug = re.sub(r"[^a-z0-9]+", "-", sheet.title.lower()).strip("-")
    return f"sheet-{number}-{slug}" if slug else f"sheet-{number}"

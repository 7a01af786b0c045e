"""The frame of a sheet with zones, centring and trimming marks (ISO 5457), and its title block (fields of ISO 7200).

What is filled in comes from the caller, in the caller's language. Knows nothing of what is drawn inside.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import msgspec

from engine.drawing.display import Group, Item, Path, Pen, Text, Weight
from engine.drawing.metrics import Box, fit, fit_height, wrap
from engine.drawing.outline import line, polyline, rectangle
from engine.drawing.sheets import (
    SheetFormat,
    column_names,
    drawing_space,
    is_title_full_width,
    row_names,
    title_box,
)

CAUTION = (
    "This drawing was checked as a drawing, not the boat. It does not show how the boat is built or kept.\n"
    "The standards, the local codes and a licensed or certified electrician decide."
)

SMALLEST_MM = 1.8
"""No lettering on a print is lower (ISO 3098 series)."""

FRAME = Pen("ink", 0.7)
OUTER = Pen("ink", 0.5)
RULE = Pen("ink", 0.18)
ZONE = Pen("ink", 0.25)

STRIP_MM = 5.0
"""Width of the border that holds the zone letters."""

CAUTION_MM = 7.5
TYPE_MM = 10.0
FOOT_MM = 7.5
PAD_MM = 1.5
CAPTION_BASE_MM = 2.6
FOOT_BASE_MM = 6.6
HEAD_BASE_MM = 10.0
"""Owner and title stand on one base line."""
SECOND_BASE_MM = 15.0


class TitleBlock(msgspec.Struct, frozen=True):
    """What is filled in, ready to print. `sheet` of `sheets` counts from 1; `date` is that of the issue (ISO 8601).

    `reference` is the owner's own, a hull number for one; it stands under the owner.
    """

    owner: str
    title: str
    supplementary_title: str = ""
    drawing_number: str = ""
    revision: str = ""
    date: str = ""
    sheet: int = 1
    sheets: int = 1
    creator: str = ""
    approved: str = ""
    document_type: str = ""
    status: str = ""
    reference: str = ""
    language: str = "en"
    caution: str = CAUTION


class Captions(msgspec.Struct, frozen=True):
    """The small words over the fields, for other languages than English."""

    owner: str = "Legal owner"
    title: str = "Title"
    drawing_number: str = "Drawing number"
    revision: str = "Rev."
    date: str = "Date of issue"
    sheet: str = "Sheet"
    creator: str = "Drawn by"
    approved: str = "Approved by"
    document_type: str = "Document type"
    status: str = "Document status"
    language: str = "Lang."
    size: str = "Size"


def frame_items(sheet: SheetFormat, block: TitleBlock, captions: Captions | None = None) -> tuple[Item, ...]:
    """Frame and title block as groups "frame" and "title-block"; in the latter each field is a group "field:NAME"."""
    frame = Group("frame", tuple(_frame(sheet)))
    return (frame, Group("title-block", tuple(_title_block(sheet, block, captions or Captions()))))


def _frame(sheet: SheetFormat) -> Iterator[Item]:
    if sheet.series == "ISO":
        yield from _trimming_marks(sheet)
    yield from _zones(sheet)
    yield Path(_box_outline(drawing_space(sheet)), FRAME)
    yield from _centring_marks(sheet)


def _box_outline(box: Box, grow_mm: float = 0.0) -> tuple[tuple[str, tuple[float, ...]], ...]:
    x0, y0, x1, y1 = box
    return rectangle(x0 - grow_mm, y0 - grow_mm, x1 - x0 + 2 * grow_mm, y1 - y0 + 2 * grow_mm)


def _trimming_marks(sheet: SheetFormat) -> Iterator[Path]:
    """At each corner two overlapping rectangles of 10 by 5 mm."""
    corner = ((0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (5.0, 5.0), (5.0, 10.0), (0.0, 10.0))
    for right in (False, True):
        for low in (False, True):
            points = [(sheet.width_mm - x if right else x, sheet.height_mm - y if low else y) for x, y in corner]
            yield Path(polyline(points, closed=True), fill="ink")


def _zones(sheet: SheetFormat) -> Iterator[Item]:
    """Letters down both sides and numbers along top and foot; on upright sheets only at the top and the right."""
    (x0, y0, x1, y1), strip = drawing_space(sheet), _strip_mm(sheet)
    yield from _zone_row(sheet, y0, -strip)
    yield from _zone_column(sheet, x1, strip)
    if is_title_full_width(sheet):
        corner = ((x0, y0), (x0, y0 - strip), (x1 + strip, y0 - strip), (x1 + strip, y1), (x1, y1))
        yield Path(polyline(corner), ZONE)
        return
    yield from _zone_row(sheet, y1, strip)
    yield from _zone_column(sheet, x0, -strip)
    yield Path(_box_outline((x0, y0, x1, y1), strip), ZONE)


def _strip_mm(sheet: SheetFormat) -> float:
    return min(STRIP_MM, sheet.top_mm / 2, sheet.right_mm / 2)


def _zone_row(sheet: SheetFormat, y_mm: float, depth_mm: float) -> Iterator[Item]:
    for x_mm in sheet.column_edges_mm[1:-1]:
        yield Path(line(x_mm, y_mm, x_mm, y_mm + depth_mm), ZONE)
    for (x0, x1), name in zip(pairwise(sheet.column_edges_mm), column_names(sheet), strict=True):
        yield _zone_name(name, (x0 + x1) / 2, y_mm + depth_mm / 2)


def _zone_column(sheet: SheetFormat, x_mm: float, depth_mm: float) -> Iterator[Item]:
    for y_mm in sheet.row_edges_mm[1:-1]:
        yield Path(line(x_mm, y_mm, x_mm + depth_mm, y_mm), ZONE)
    for (y0, y1), name in zip(pairwise(sheet.row_edges_mm), row_names(sheet), strict=True):
        yield _zone_name(name, x_mm + depth_mm / 2, (y0 + y1) / 2)


def _zone_name(name: str, x_mm: float, y_mm: float) -> Text:
    height_mm = 3.5  # ISO 5457, from memory
    return Text(x_mm, y_mm + height_mm / 2, name, height_mm, "middle")


def _centring_marks(sheet: SheetFormat) -> Iterator[Path]:
    """From the outer zone border to 10 mm inside the frame (ISO 5457; from memory), but never into the title block."""
    x0, y0, x1, y1 = drawing_space(sheet)
    strip, x_mid, y_mid = _strip_mm(sheet), sheet.width_mm / 2, sheet.height_mm / 2
    foot_mm = 0.0 if title_box(sheet)[0] < x_mid else 10.0
    yield Path(line(x_mid, y0 - strip, x_mid, y0 + 10), FRAME)
    yield Path(line(x_mid, y1 + strip, x_mid, y1 - foot_mm), FRAME)
    yield Path(line(x0 - strip, y_mid, x0 + 10, y_mid), FRAME)
    yield Path(line(x1 + strip, y_mid, x1 - 10, y_mid), FRAME)


def _title_block(sheet: SheetFormat, block: TitleBlock, captions: Captions) -> Iterator[Item]:
    x0, y0, x1, y1 = title_box(sheet)
    top = y0 + CAUTION_MM
    yield from _rules((x0, top, x1, y1))
    yield Path(polyline(((x0, y1), (x0, y0), (x1, y0))), OUTER)
    yield Path(line(x0, top, x1, top), Pen("ink", 0.35))
    yield Group("field:caution", tuple(_caution((x0, y0, x1, top), block.caution)))
    yield from _large_fields((x0, top, x1, y1), block, captions)
    yield from _small_fields((x0, top, x1, y1), sheet, block, captions)


def _columns(box: Box) -> tuple[float, float, float, float]:
    """Borders of the three columns: owner, title, numbers. A wider block gives all it has more to the title."""
    return (box[0], box[0] + 55.0, box[2] - 57.5, box[2])


def _rules(box: Box) -> Iterator[Path]:
    x0, x_title, x_number, x1 = _columns(box)
    y0, y1 = box[1], box[3]
    y_type, y_foot = y0 + TYPE_MM, y1 - FOOT_MM
    for x_mm in (x_title, x_number):
        yield Path(line(x_mm, y0, x_mm, y1), RULE)
    yield Path(line(x0, y_foot, x1, y_foot), RULE)
    yield Path(line(x_number, y_type, x1, y_type), RULE)
    for x_mm in (x0 + 32.5, (x_title + x_number) / 2, x_number + 15, x1 - 22.5):
        yield Path(line(x_mm, y_foot, x_mm, y1), RULE)
    yield Path(line(x1 - 12.5, y_type, x1 - 12.5, y_foot), RULE)


def _caution(box: Box, caution: str) -> Iterator[Item]:
    """A triangle and at most two lines of the smallest lettering; a longer text is cut with "…"."""
    if not caution:
        return
    yield from _triangle(box[0] + PAD_MM + 2.5, (box[1] + box[3]) / 2)
    x_mm = box[0] + 9.0
    lines = _two_lines(caution, box[2] - PAD_MM - x_mm, SMALLEST_MM)
    first_mm = (box[1] + box[3]) / 2 + SMALLEST_MM / 2 - (len(lines) - 1) * 1.5
    for number, string in enumerate(lines):
        yield Text(x_mm, first_mm + number * 3.0, string, SMALLEST_MM, colour="faint")


def _triangle(x_mm: float, y_mm: float) -> Iterator[Item]:
    corners = ((x_mm, y_mm - 2.4), (x_mm + 2.7, y_mm + 2.2), (x_mm - 2.7, y_mm + 2.2))
    yield Path(polyline(corners, closed=True), Pen("ink", 0.25))
    yield Text(x_mm, y_mm + 1.6, "!", 2.5, "middle", "bold")


def _two_lines(string: str, room_mm: float, height_mm: float) -> tuple[str, ...]:
    lines = wrap(string, room_mm, height_mm)
    return lines if len(lines) < 3 else (lines[0], fit(" ".join(lines[1:]), room_mm, height_mm))


def _large_fields(box: Box, block: TitleBlock, captions: Captions) -> Iterator[Group]:
    x0, x_title, x_number, x1 = _columns(box)
    y0, y_type, x_revision = box[1], box[1] + TYPE_MM, x1 - 12.5
    yield Group("field:owner", (_caption(captions.owner, x0, y0), *_owner((x0, y0, x_title, y_type), block)))
    yield Group("field:title", (_caption(captions.title, x_title, y0), *_title((x_title, y0, x_number, y_type), block)))
    document = _line(block.document_type, x_number, y0 + 8.0, x1, (3.5, 2.5), "regular")
    yield Group("field:document_type", (_caption(captions.document_type, x_number, y0), *document))
    number = _line(block.drawing_number, x_number, y_type + HEAD_BASE_MM, x_revision, (5.0, 3.5, 2.5), "regular")
    yield Group("field:drawing_number", (_caption(captions.drawing_number, x_number, y_type), *number))
    revision = _line(block.revision, x_revision, y_type + HEAD_BASE_MM, x1, (5.0, 3.5, 2.5), "bold")
    yield Group("field:revision", (_caption(captions.revision, x_revision, y_type), *revision))


def _owner(box: Box, block: TitleBlock) -> Iterator[Text]:
    yield from _line(block.owner, box[0], box[1] + HEAD_BASE_MM, box[2], (5.0, 3.5, 2.5), "bold", "accent")
    yield from _line(block.reference, box[0], box[1] + SECOND_BASE_MM, box[2], (2.5,), "regular")


def _title(box: Box, block: TitleBlock) -> Iterator[Text]:
    """The title in one line and at most two lines of supplementary title under it."""
    yield from _line(block.title, box[0], box[1] + HEAD_BASE_MM, box[2], (5.0, 3.5, 2.5), "bold")
    for number, string in enumerate(_two_lines(block.supplementary_title, box[2] - box[0] - 2 * PAD_MM, 2.5)):
        yield Text(box[0] + PAD_MM, box[1] + SECOND_BASE_MM + number * 4.2, string, 2.5)


def _small_fields(box: Box, sheet: SheetFormat, block: TitleBlock, captions: Captions) -> Iterator[Group]:
    x0, x_title, x_number, x1 = _columns(box)
    y_foot, x_person = box[3] - FOOT_MM, (x_title + x_number) / 2
    count = f"{block.sheet} / {block.sheets}"
    yield _field("status", captions.status, block.status, x0, x0 + 32.5, y_foot)
    yield _field("date", captions.date, block.date, x0 + 32.5, x_title, y_foot)
    yield _field("creator", captions.creator, block.creator, x_title, x_person, y_foot)
    yield _field("approved", captions.approved, block.approved, x_person, x_number, y_foot)
    yield _field("language", captions.language, block.language, x_number, x_number + 15, y_foot)
    yield _field("size", captions.size, sheet.label, x_number + 15, x1 - 22.5, y_foot)
    yield _field("sheet", captions.sheet, count, x1 - 22.5, x1, y_foot)


def _field(name: str, caption: str, value: str, x0: float, x1: float, y_mm: float) -> Group:
    """A caption with its value under it, in a cell of the foot row."""
    value_text = _line(value, x0, y_mm + FOOT_BASE_MM, x1, (2.5,), "regular")
    return Group(f"field:{name}", (_caption(caption, x0, y_mm), *value_text))


def _caption(caption: str, x_mm: float, y_mm: float) -> Text:
    return Text(x_mm + PAD_MM, y_mm + CAPTION_BASE_MM, caption, SMALLEST_MM, colour="faint")


def _line(
    value: str, x0: float, y_mm: float, x1: float, heights_mm: tuple[float, ...], weight: Weight, colour: str = "ink"
) -> Iterator[Text]:
    """A value at the largest of the heights that fits its cell, cut with "…" where none does; nothing for no value."""
    room_mm = x1 - x0 - 2 * PAD_MM
    height_mm = fit_height(value, room_mm, heights_mm, weight)
    shown = fit(value, room_mm, height_mm, weight)
    if shown:
        yield Text(x0 + PAD_MM, y_mm, shown, height_mm, weight=weight, colour=colour)

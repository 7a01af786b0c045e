"""The page of a paper: its size and margins, the head with boat and title, the foot with number, date and page x of y.

Columns of blocks go in, pages of the display list come out. Knows no boat but the words in the head.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from engine.drawing.display import Group, Item, Page, Path, Pen, Text
from engine.drawing.glyphs import warning_triangle
from engine.drawing.metrics import fit, text_width_mm, wrap
from engine.drawing.outline import line
from engine.drawing.sheets import sheet_format
from engine.messages import tr
from engine.model.network import Particulars
from engine.papers.text_flow import Column

PAPER_SIZES = ("A4", "A3", "letter", "tabloid")
BINDING_MM = 20.0
MARGIN_MM = 10.0
HEAD_MM = 11.0
FOOT_MM = 11.0
GUTTER_MM = 12.0
HEAD_TEXT_MM = 3.5
FOOT_TEXT_MM = 1.8


class Layout(msgspec.Struct, frozen=True):
    """Where things stand on a page, mm. `columns` columns of text share the width between the margins."""

    width_mm: float
    height_mm: float
    columns: int = 1

    @property
    def column_mm(self) -> float:
        """The width of one column."""
        return (self.right_mm - BINDING_MM - (self.columns - 1) * GUTTER_MM) / self.columns

    @property
    def right_mm(self) -> float:
        """The x of the right margin."""
        return self.width_mm - MARGIN_MM

    @property
    def top_mm(self) -> float:
        """The y where columns begin."""
        return MARGIN_MM + HEAD_MM

    @property
    def body_mm(self) -> float:
        """The height of a column."""
        return self.height_mm - MARGIN_MM - FOOT_MM - self.top_mm

    def column_x_mm(self, number: int) -> float:
        """The left edge of a column, counted from 0."""
        return BINDING_MM + number * (self.column_mm + GUTTER_MM)


class Head(msgspec.Struct, frozen=True):
    """What the head and the foot of every page say."""

    title: str
    boat: str
    yard: str = ""
    drawing_number: str = ""
    revision: str = ""
    date: str = ""


class Numbering(msgspec.Struct, frozen=True):
    """Pages of this paper before these, and in all (0: these are all)."""

    before: int = 0
    of: int = 0


def is_large(paper: str) -> bool:
    """Whether a paper size is A3 or its ANSI fellow."""
    return paper in ("A3", "tabloid")


def table_layout(paper: str) -> Layout:
    """A page lying on its side, one column: for wide tables. KeyError for an unknown paper size."""
    short_mm, long_mm = _sides(paper)
    return Layout(long_mm, short_mm)


def text_layout(paper: str) -> Layout:
    """A page for reading: upright with one column, or large and on its side with two."""
    short_mm, long_mm = _sides(paper)
    return Layout(long_mm, short_mm, 2) if is_large(paper) else Layout(short_mm, long_mm)


def _sides(paper: str) -> tuple[float, float]:
    sheet = sheet_format(paper)
    short_mm, long_mm = sorted((sheet.width_mm, sheet.height_mm))
    return short_mm, long_mm


def head_of(particulars: Particulars, title: str) -> Head:
    """The head for a boat."""
    model = particulars.model if particulars.model != particulars.name else ""
    boat = " · ".join(part for part in (particulars.name, model, particulars.hull) if part)
    return Head(
        title, boat, particulars.yard, particulars.drawing_number, particulars.revision, particulars.date
    )  # fmt: skip


def page_count(columns: Sequence[Column], layout: Layout) -> int:
    """Pages that the columns take."""
    return -(-len(columns) // layout.columns)


def set_pages(
    columns: Sequence[Column], layout: Layout, head: Head, numbering: Numbering | None = None
) -> tuple[Page, ...]:
    """The columns on pages, each with head and foot. The sections that begin on a page give its bookmark."""
    count = page_count(columns, layout)
    numbers = numbering or Numbering()
    pages = []
    for index in range(count):
        held = columns[index * layout.columns : (index + 1) * layout.columns]
        number = numbers.before + index + 1
        items = (*page_frame(layout, head, number, numbers.of or count), *_column_items(held, layout))
        pages.append(Page(layout.width_mm, layout.height_mm, items, _bookmark(held, head, index)))
    return tuple(pages)


def _column_items(held: Sequence[Column], layout: Layout) -> Iterator[Item]:
    for number, column in enumerate(held):
        for placed in column:
            yield from placed.items_at(layout.column_x_mm(number), layout.top_mm)


def _bookmark(held: Sequence[Column], head: Head, index: int) -> str:
    sections = [placed.block.section for column in held for placed in column if placed.block.section]
    return " · ".join(sections) or (head.title if index == 0 else "")


def page_frame(layout: Layout, head: Head, number: int, count: int) -> tuple[Item, ...]:
    """Head and foot of one page as groups "page-head" and "page-foot"."""
    return (
        Group("page-head", tuple(_head_items(layout, head))),
        Group("page-foot", tuple(_foot_items(layout, head, number, count))),
    )


def _head_items(layout: Layout, head: Head) -> Iterator[Item]:
    base = MARGIN_MM + HEAD_TEXT_MM + 0.5
    title_mm = text_width_mm(head.title, HEAD_TEXT_MM)
    room_mm = layout.right_mm - BINDING_MM - title_mm - 8.0
    boat = fit(head.boat, room_mm, HEAD_TEXT_MM, "bold")
    yield Text(BINDING_MM, base, boat, HEAD_TEXT_MM, weight="bold")
    yard_x = BINDING_MM + text_width_mm(boat, HEAD_TEXT_MM, "bold") + 4.0
    if head.yard and yard_x + text_width_mm(head.yard, 2.5) + 8.0 <= layout.right_mm - title_mm:
        yield Text(yard_x, base, head.yard, 2.5, colour="accent")
    yield Text(layout.right_mm, base, head.title, HEAD_TEXT_MM, "end")
    yield Path(line(BINDING_MM, base + 2.5, layout.right_mm, base + 2.5), Pen("ink", 0.5))


def _foot_items(layout: Layout, head: Head, number: int, count: int) -> Iterator[Item]:
    y_mm = layout.height_mm - MARGIN_MM - FOOT_MM + 3.2
    base = y_mm + 4.2
    yield Path(line(BINDING_MM, y_mm, layout.right_mm, y_mm), Pen("ink", 0.25))
    yield from warning_triangle(BINDING_MM + 1.8, base + 0.7, 3.6)
    right = _page_text(head, number, count)
    right_mm = text_width_mm(right, 2.2, "bold")
    caution = tr("The drawing was checked, not the boat. Standards, local codes and licensed practice decide.")
    lines = wrap(caution, layout.right_mm - BINDING_MM - right_mm - 12.0, FOOT_TEXT_MM)
    for at, string in enumerate(lines):
        yield Text(BINDING_MM + 5.0, base + at * 3.0, string, FOOT_TEXT_MM, colour="faint")
    yield Text(layout.right_mm, base, right, 2.2, "end", "bold")


def _page_text(head: Head, number: int, count: int) -> str:
    revision = tr("Rev. {index}").format(index=head.revision) if head.revision else ""
    page = tr("Page {number} of {count}").format(number=number, count=count)
    return "  ·  ".join(part for part in (head.drawing_number, revision, head.date, page) if part)

"""The owner's-manual wiring drawing: cover, the sheets, and in plain words what an owner needs to find, fit and switch off.

Sheets keep their own size, so that no lettering shrinks below 1.8 mm; the pages for reading come in the size asked for.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

import msgspec

from engine.drawing.bounds import moved
from engine.drawing.display import Group, Item, Page, Path, Pen, Text, Weight
from engine.drawing.metrics import fit_height, text_width_mm, wrap
from engine.drawing.outline import line
from engine.drawing.sheet import Draughtsman
from engine.messages import tr
from engine.papers import owners_lists, owners_safety, room_to_grow
from engine.papers.page import BINDING_MM, Layout, Numbering, head_of, page_count, page_frame, set_pages, text_layout
from engine.papers.places import places_of
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.sheets_svg import drawn_sheets
from engine.papers.subject import Subject
from engine.papers.text_flow import BODY_MM, Block, Column, flow, warning
from engine.rules.api import BOOK_TITLES

EMERGENCY = "section/emergency"


def owners_drawing(subject: Subject) -> tuple[Page, ...]:
    """All pages: cover, sheets, text."""
    layout = text_layout(subject.paper)
    head = head_of(subject.particulars, tr("Owner's wiring drawing"))
    columns = flow(_blocks(subject, layout.column_mm), layout.body_mm)
    sheets = _sheets(subject)
    before = 1 + len(sheets)
    count = before + page_count(columns, layout)
    text = set_pages(columns, layout, head, Numbering(before, count))
    targets = _anchors(item for page in text for item in page.items)
    linked = [_linked_page(page, sheet.id, targets) for page, sheet in zip(sheets, drawn_sheets(subject), strict=True)]
    contents = [*_sheet_entries(subject), *_entries(columns, layout, before)]
    cover = _cover(subject, layout, (*page_frame(layout, head, 1, count), *_cover_items(subject, layout, contents)))
    return (cover, *linked, *text)


def _blocks(subject: Subject, width: float) -> list[Block]:
    places = places_of(subject.document, subject.boat)
    return [
        *owners_safety.emergency(subject, places, width),
        *owners_safety.what_stays_live(subject, places, width),
        *owners_safety.switch_positions(subject, places, width),
        *owners_lists.index_of_loads(subject, places, width),
        *owners_lists.fuse_table(subject, places, width),
        *owners_safety.shore_power(subject, width),
        *owners_lists.batteries(subject, places, width),
        *room_to_grow.additions(subject, width),
        *owners_lists.colours_used(subject, width),
        *owners_safety.cautions(width),
    ]


def _sheets(subject: Subject) -> list[Page]:
    """Every sheet that something stands on, as printed."""
    draughtsman = Draughtsman(subject.library, subject.symbols)
    return [
        draughtsman.draw(subject.document, sheet.id).page
        for sheet in subject.document.sheets
        if sheet.places or sheet.notes
    ]


class Entry(msgspec.Struct, frozen=True):
    """A line of the contents."""

    title: str
    page: int
    anchor: str = ""


def _sheet_entries(subject: Subject) -> list[Entry]:
    drawn = drawn_sheets(subject)
    return [
        Entry(tr("Drawing: {title}").format(title=sheet.title or sheet.id), number, f"sheet/{sheet.id}")
        for number, sheet in enumerate(drawn, 2)
    ]


def _entries(columns: Sequence[Column], layout: Layout, before: int) -> list[Entry]:
    found = []
    for index, column in enumerate(columns):
        for placed in column:
            if placed.block.section:
                anchor = next(iter(_anchors(placed.block.items)), "")
                found.append(Entry(placed.block.section, before + index // layout.columns + 1, anchor))
    return found


def _anchors(items: Iterable[Item]) -> set[str]:
    """Names of all places to jump to."""
    found: set[str] = set()
    for item in items:
        if isinstance(item, Group):
            if item.key.startswith("anchor:"):
                found.add(item.key.removeprefix("anchor:"))
            found |= _anchors(item.items)
    return found


def _linked_page(page: Page, sheet_id: str, targets: Collection[str]) -> Page:
    """The sheet with its parts and ways leading to their rows in the tables, and a place to jump to itself."""
    items = tuple(_linked(item, targets) for item in page.items)
    return msgspec.structs.replace(page, items=(Group(f"anchor:sheet/{sheet_id}", items[:1]), *items[1:]))


def _linked(item: Item, targets: Collection[str]) -> Item:
    if not isinstance(item, Group):
        return item
    inner = Group(item.key, tuple(_linked(each, targets) for each in item.items))
    sort, _, rest = item.key.partition(":")
    names = {"part": (f"index/{rest}", f"device/{item.key}"), "position": (f"device/{item.key}",)}.get(sort, ())
    target = next((name for name in names if name in targets), "")
    return Group(f"link:{target}", (inner,)) if target else inner


def _cover(subject: Subject, layout: Layout, items: Sequence[Item]) -> Page:
    return Page(layout.width_mm, layout.height_mm, tuple(items), tr("Cover"))


def _cover_items(subject: Subject, layout: Layout, contents: Sequence[Entry]) -> list[Item]:
    """Boat and document at the left (or top), contents at the right (or under it), the caution at the foot."""
    width, x_mm = layout.column_mm, BINDING_MM
    items, y_mm = _title_items(subject, x_mm, layout.top_mm + 12.0, width)
    caution = warning(tr("CAUTION"), said(DEFERRAL), width)
    foot = layout.top_mm + layout.body_mm - caution.height_mm
    items += [moved(item, x_mm, foot) for item in caution.items]
    x_mm, y_mm = (layout.column_x_mm(1), layout.top_mm + 12.0) if layout.columns > 1 else (x_mm, y_mm + 6.0)
    end = layout.top_mm + layout.body_mm if layout.columns > 1 else foot - 4.0
    return [*items, *_contents(contents, x_mm, y_mm, width, end)]


def _title_items(subject: Subject, x_mm: float, y_mm: float, width: float) -> tuple[list[Item], float]:
    boat = subject.particulars
    size = fit_height(boat.name, width, (14.0, 10.0, 7.0, 5.0), "bold")
    items: list[Item] = []
    for string in wrap(boat.name, width, size, "bold"):
        items.append(Text(x_mm, y_mm + size, string, size, weight="bold"))
        y_mm += size * 1.5
    items.append(Text(x_mm, y_mm + 7.0, tr("Owner's wiring drawing"), 5.0, colour="accent"))
    items.append(Path(line(x_mm, y_mm + 12.0, x_mm + width, y_mm + 12.0), Pen("accent", 0.7)))
    y_mm += 20.0
    for caption, value in _cover_fields(subject):
        lines = wrap(value or tr("not stated"), width - 48.0, BODY_MM)
        items.append(Text(x_mm, y_mm, caption, BODY_MM, colour="faint"))
        for string in lines:
            items.append(Text(x_mm + 48.0, y_mm, string, BODY_MM))
            y_mm += 4.6
        y_mm += 0.8
    y_mm += 3.0
    for string in wrap(tr(WHAT_THIS_IS), width, BODY_MM):
        items.append(Text(x_mm, y_mm, string, BODY_MM))
        y_mm += 4.2
    return items, y_mm


WHAT_THIS_IS = (
    "This is the wiring drawing of your boat, with the tables that go with it: which fuse is it, what may be fitted, what "
    "stays live, how to cut everything off. Keep it aboard. Print the sheets at full size (100 %), so that they can be read."
)


def _cover_fields(subject: Subject) -> list[tuple[str, str]]:
    boat = subject.particulars
    books = ", ".join(tr(BOOK_TITLES[book]) for book in subject.books)
    return [
        (tr("Model"), boat.model),
        (tr("Hull"), boat.hull),
        (tr("Yard"), boat.yard),
        (tr("Drawing number"), boat.drawing_number),
        (tr("Revision and date"), " · ".join(each for each in (boat.revision, boat.date) if each)),
        (tr("Drawn by"), boat.drawn_by),
        (tr("Approved by"), boat.approved_by),
        (tr("Checked against"), books),
    ]


def _contents(entries: Sequence[Entry], x_mm: float, y_mm: float, width: float, end_mm: float) -> list[Item]:
    """The lines of the contents, in two columns and closer together where a boat has many sheets."""
    items: list[Item] = [Text(x_mm, y_mm + 3.5, tr("Contents"), 3.5, weight="bold", colour="accent")]
    room = end_mm - y_mm - 6.0
    columns = 1 if len(entries) * LINE_MM <= room else 2
    rows = max(1, -(-len(entries) // columns))
    pitch, across = min(LINE_MM, room / rows), (width - (columns - 1) * GAP_MM) / columns
    for number, entry in enumerate(entries):
        left = x_mm + number // rows * (across + GAP_MM)
        items.append(_contents_line(entry, left, y_mm + 10.4 + number % rows * pitch, across))
    return items


LINE_MM, GAP_MM = 6.2, 8.0


def _contents_line(entry: Entry, x_mm: float, base: float, width: float) -> Item:
    number = str(entry.page)
    weight: Weight = "bold" if entry.anchor == EMERGENCY else "regular"
    row: list[Item] = [
        Text(x_mm, base, entry.title, BODY_MM, weight=weight),
        Text(x_mm + width, base, number, BODY_MM, "end", "bold"),
    ]
    end = x_mm + width - text_width_mm(number, BODY_MM, "bold") - 2.0
    start = x_mm + text_width_mm(entry.title, BODY_MM, weight) + 2.0
    row.append(Path(line(start, base - 0.2, max(start, end), base - 0.2), Pen("rule", 0.18, (0.2, 1.2))))
    return Group(f"link:{entry.anchor}" if entry.anchor else "contents", tuple(row))

"""What every page of paper must keep: letters large enough, no text on another, nothing outside the margins."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from io import BytesIO

from engine.drawing.bounds import item_box, overlap, texts
from engine.drawing.display import Group, Item, Page, Text
from engine.drawing.metrics import Box, text_box, unprintable
from engine.export.pdf import pdf_bytes

SMALLEST_MM = 1.8
TOUCH_MM = 0.05
"""Boxes that only touch do not overlap."""


def small_texts(page: Page) -> list[Text]:
    """Texts lower than 1.8 mm."""
    return [text for text in texts(page.items) if text.height_mm < SMALLEST_MM]


def overlaps(page: Page) -> list[tuple[str, str]]:
    """Pairs of texts of which one lies on the other."""
    found = [(text, _shrunk(text_box(text))) for text in texts(page.items) if text.string.strip()]
    found.sort(key=lambda each: each[1][1])
    pairs = []
    for index, (one, box) in enumerate(found):
        for other, other_box in found[index + 1 :]:
            if other_box[1] >= box[3]:
                break
            if overlap(box, other_box):
                pairs.append((one.string, other.string))
    return pairs


def _shrunk(box: Box) -> Box:
    return (box[0] + TOUCH_MM, box[1] + TOUCH_MM, box[2] - TOUCH_MM, box[3] - TOUCH_MM)


def outside(page: Page, margin_mm: float) -> list[Item]:
    """Items that reach into the margin."""
    inner = (margin_mm, margin_mm, page.width_mm - margin_mm, page.height_mm - margin_mm)
    return [item for item in page.items if not _within(item_box(item), inner)]


def _within(box: Box | None, inner: Box, slack_mm: float = 0.5) -> bool:
    if box is None:
        return True
    return (
        box[0] >= inner[0] - slack_mm
        and box[1] >= inner[1] - slack_mm
        and box[2] <= inner[2] + slack_mm
        and box[3] <= inner[3] + slack_mm
    )


def strange_letters(page: Page) -> str:
    """Letters that would print as an empty box."""
    return "".join(unprintable(text.string) for text in texts(page.items))


def words_on(pages: Iterable[Page]) -> str:
    """Everything written on the pages, wrapped lines put together with blanks."""
    return " ".join(text.string for page in pages for text in texts(page.items))


def keys_on(items: Iterable[Item]) -> Iterator[str]:
    """The keys of all groups."""
    for item in items:
        if isinstance(item, Group):
            yield item.key
            yield from keys_on(item.items)


def pdf_text(pages: tuple[Page, ...]) -> list[str]:
    """What a reader program finds on each page of the PDF."""
    from pypdf import PdfReader

    return [page.extract_text() for page in PdfReader(BytesIO(pdf_bytes(pages, title="Test"))).pages]

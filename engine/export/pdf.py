"""Display list -> PDF: real text in the embedded font, bookmarks, links; the same bytes for the same pages.

A dumb backend: it resolves colours and draws, and decides nothing. reportlab is imported when a file is written.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from os import PathLike
from typing import Any, BinaryIO, get_args

from engine.drawing.bounds import items_box
from engine.drawing.display import Group, Image, Item, Page, Path, Pen, Text, Weight
from engine.drawing.metrics import em_mm, font_bytes, text_width_mm
from engine.drawing.outline import Outline
from engine.drawing.theme import PAPER, Theme, colour, rgb

MM = 72 / 25.4
"""Points in a millimetre."""

ANCHOR, LINK, SECTION = "anchor:", "link:", "section:"

Target = str | PathLike[str] | BinaryIO


class _Sheet:
    """One page being drawn: the canvas in millimetres from the top left, and the ink it holds just now."""

    def __init__(self, canvas: Any, theme: Theme) -> None:
        self._canvas = canvas
        self._theme = theme
        self._pen: Pen | None = None
        self._fill = ""

    def path(self, outline: Outline, pen: Pen | None, fill: str | None) -> None:
        path = self._canvas.beginPath()
        verbs = {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo, "Z": path.close}
        for verb, values in outline:
            verbs[verb](*values)
        if pen:
            self._take_pen(pen)
        if fill:
            self._take_fill(fill)
        self._canvas.drawPath(path, stroke=int(bool(pen)), fill=int(bool(fill)))

    def text(self, text: Text) -> None:
        """The sheet is upside down to PDF, so the text matrix turns the letters back."""
        self._take_fill(text.colour)
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
        shift_mm = back * text_width_mm(text.string, text.height_mm, text.weight) if back else 0.0
        line = self._canvas.beginText()
        if text.angle_deg == 90:
            line.setTextTransform(0, -1, -1, 0, text.x_mm, text.y_mm + shift_mm)
        else:
            line.setTextTransform(1, 0, 0, -1, text.x_mm - shift_mm, text.y_mm)
        line.setFont(_font_name(text.weight), em_mm(text.height_mm, text.weight))
        line.textOut(text.string)
        self._canvas.drawText(line)

    def image(self, image: Image) -> None:
        from reportlab.lib.utils import ImageReader

        self._canvas.saveState()
        self._canvas.transform(1, 0, 0, -1, image.x_mm, image.y_mm + image.height_mm)
        reader = ImageReader(io.BytesIO(image.png))
        self._canvas.drawImage(reader, 0, 0, image.width_mm, image.height_mm, mask="auto")
        self._canvas.restoreState()

    def _take_pen(self, pen: Pen) -> None:
        if pen == self._pen:
            return
        self._canvas.setStrokeColorRGB(*rgb(colour(self._theme, pen.colour)))
        self._canvas.setLineWidth(pen.width_mm)
        self._canvas.setDash(list(pen.dash_mm), 0)
        self._pen = pen

    def _take_fill(self, fill: str) -> None:
        if fill != self._fill:
            self._canvas.setFillColorRGB(*rgb(colour(self._theme, fill)))
            self._fill = fill


def write_pdf(
    pages: Sequence[Page],
    target: Target,
    *,
    title: str,
    author: str = "",
    subject: str = "",
    bookmarks: bool = True,
    links: bool = True,
    theme: Theme = PAPER,
) -> None:
    """Write the pages to a file (path or open binary file), each in its own size, in the colours of the theme.

    With `bookmarks` each group "section:TITLE", or a page with a title and no such group, gets a bookmark; with `links` a
    group "link:NAME" jumps to the group "anchor:NAME". A link whose anchor is on none of the pages is left out. OSError
    if the file cannot be written.
    """
    canvas = _canvas(title, author, subject)
    anchors = {key for page in pages for key, _ in _keyed(page.items, ANCHOR)} if links else set()
    for page in pages:
        _draw_page(canvas, page, theme, anchors)
        if bookmarks:
            _bookmark(canvas, page)
        canvas.showPage()
    _deliver(canvas.getpdfdata(), target)


def pdf_bytes(pages: Sequence[Page], *, title: str, author: str = "", subject: str = "", theme: Theme = PAPER) -> bytes:
    """The pages as the bytes of a PDF file."""
    file = io.BytesIO()
    write_pdf(pages, file, title=title, author=author, subject=subject, theme=theme)
    return file.getvalue()


def strokes_joined(items: Sequence[Item]) -> Iterator[Path | Text | Image]:
    """The primitives in drawing order, with neighbours that are only stroked, and with one pen, made one path."""
    waiting: list[Path] = []
    for item in _primitives(items):
        joins = isinstance(item, Path) and item.fill is None and (not waiting or item.pen == waiting[0].pen)
        if waiting and not joins:
            yield _joined(waiting)
            waiting = []
        if isinstance(item, Path) and item.fill is None:
            waiting.append(item)
        else:
            yield item
    if waiting:
        yield _joined(waiting)


def _joined(paths: list[Path]) -> Path:
    return Path(tuple(segment for path in paths for segment in path.outline), paths[0].pen)


def _primitives(items: Sequence[Item]) -> Iterator[Path | Text | Image]:
    for item in items:
        if isinstance(item, Group):
            yield from _primitives(item.items)
        elif not isinstance(item, Text) or item.string:
            yield item


def _keyed(items: Sequence[Item], prefix: str) -> Iterator[tuple[str, Group]]:
    """(name, group) of every group whose key begins with the prefix, at any depth."""
    for item in items:
        if isinstance(item, Group):
            if item.key.startswith(prefix):
                yield item.key.removeprefix(prefix), item
            yield from _keyed(item.items, prefix)


def _canvas(title: str, author: str, subject: str) -> Any:
    from reportlab.pdfgen.canvas import Canvas

    _register_fonts()
    # a starting font of our own keeps reportlab from adding one that is not embedded
    canvas = Canvas(io.BytesIO(), invariant=1, pageCompression=1, initialFontName=_font_name("regular"))
    canvas.setTitle(title)
    canvas.setAuthor(author)
    canvas.setSubject(subject)
    canvas.setCreator("Loomwright")
    canvas.setProducer("Loomwright")
    return canvas


def _font_name(weight: Weight) -> str:
    return f"LoomwrightSans-{weight.capitalize()}"


def _register_fonts() -> None:
    from reportlab.pdfbase.pdfmetrics import getRegisteredFontNames, registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for weight in get_args(Weight):
        if _font_name(weight) not in getRegisteredFontNames():
            registerFont(TTFont(_font_name(weight), io.BytesIO(font_bytes(weight))))


def _draw_page(canvas: Any, page: Page, theme: Theme, anchors: set[str]) -> None:
    canvas.setPageSize((page.width_mm * MM, page.height_mm * MM))
    _place_anchors_and_links(canvas, page, anchors)
    canvas.saveState()
    canvas.transform(MM, 0, 0, -MM, 0, page.height_mm * MM)
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    sheet = _Sheet(canvas, theme)
    if theme is not PAPER:
        sheet.path((("M", (0, 0)), ("L", (page.width_mm, 0)), ("L", (page.width_mm, page.height_mm)),
                    ("L", (0, page.height_mm)), ("Z", ())), None, "paper")  # fmt: skip
    for item in strokes_joined(page.items):
        _draw(sheet, item)
    canvas.restoreState()


def _draw(sheet: _Sheet, item: Path | Text | Image) -> None:
    match item:
        case Path():
            sheet.path(item.outline, item.pen, item.fill)
        case Text():
            sheet.text(item)
        case Image():
            sheet.image(item)


def _place_anchors_and_links(canvas: Any, page: Page, anchors: set[str]) -> None:
    for name, group in _keyed(page.items, ANCHOR):
        box = items_box(group.items)
        if box and name in anchors:
            top = (page.height_mm - box[1] + 5) * MM
            canvas.bookmarkPage(name, fit="XYZ", left=max(0, box[0] - 5) * MM, top=top, zoom=0)
    for name, group in _keyed(page.items, LINK):
        box = items_box(group.items)
        if box and name in anchors:
            foot, head = ((page.height_mm - y_mm) * MM for y_mm in (box[3], box[1]))
            canvas.linkAbsolute("", name, (box[0] * MM, foot, box[2] * MM, head), Border="[0 0 0]")


def _bookmark(canvas: Any, page: Page) -> None:
    """One for each section that begins on the page; where none does, one for the page if it has a title."""
    name = f"page {canvas.getPageNumber()}"
    sections = list(_keyed(page.items, SECTION))
    for title, group in sections:
        box = items_box(group.items)
        top = (page.height_mm - (box[1] if box else 0.0) + 5) * MM
        canvas.bookmarkPage(f"{name} {title}", fit="XYZ", left=0, top=top, zoom=0)
        canvas.addOutlineEntry(title, f"{name} {title}", level=0)
    if page.title and not sections:
        canvas.bookmarkPage(name, fit="Fit")
        canvas.addOutlineEntry(page.title, name, level=0)
    if page.title or sections:
        canvas.showOutline()


def _deliver(content: bytes, target: Target) -> None:
    if isinstance(target, (str, PathLike)):
        with open(target, "wb") as file:
            file.write(content)
    else:
        target.write(content)

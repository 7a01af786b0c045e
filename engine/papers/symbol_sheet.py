"""The contact sheet of the symbols: every symbol in both families with its name and source, enlarged by half.

For the person who draws or reviews symbols. Knows no boat.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path as FilePath

from engine.drawing.display import Group, Item, Page, Path, Pen, Text
from engine.drawing.metrics import wrap
from engine.drawing.outline import placement, polyline, rectangle, scaling, transformed
from engine.export.pdf import write_pdf
from engine.export.svg import page_to_svg
from engine.library.device import Library, load_library
from engine.library.symbol import MODULE_MM, WIDTH_MM, Figure, Stroke, Symbol, load_symbols

DASH_MM = (1.0, 0.6)
SCALE = 1.5
PAGE_MM = (594.0, 420.0)
MARGIN_MM = 15.0
COLUMNS = 9
CELL_MM = ((PAGE_MM[0] - 2 * MARGIN_MM) / COLUMNS, 37.5)
HEAD_MM = 12.0
FIGURE_TOP_MM = 4.2
FIGURE_MM = 22.5
FILLS = {"none": None, "ink": "ink", "paper": "paper"}


def figure_items(figure: Figure, x_mm: float, y_mm: float) -> list[Item]:
    """A figure at a place of the sheet, all leads drawn, not turned."""
    step = MODULE_MM * SCALE
    strokes = [_stroke(stroke, x_mm, y_mm) for stroke in figure.strokes]
    letters = [
        Text(
            x_mm + letter.at[0] * step,
            y_mm + letter.at[1] * step,
            letter.text,
            letter.height_mm * SCALE,
            letter.anchor,
            letter.weight,
        )
        for letter in figure.letters
    ]
    return [*strokes, *letters]


def _stroke(stroke: Stroke, x_mm: float, y_mm: float) -> Path:
    outline = transformed(stroke.outline, scaling(MODULE_MM * SCALE).then(placement(x_mm, y_mm)))
    pen = Pen("ink", WIDTH_MM[stroke.width] * SCALE, DASH_MM if stroke.dash else ())
    return Path(outline, pen, FILLS[stroke.fill])


def write_contact_sheet(folder: FilePath) -> tuple[FilePath, FilePath]:
    """Write contact_sheet.svg (the first page) and contact_sheet.pdf of the program's own symbols; OSError if it cannot."""
    pages = contact_sheet(load_symbols(), load_library())
    svg, pdf = folder / "contact_sheet.svg", folder / "contact_sheet.pdf"
    svg.write_text(page_to_svg(pages[0]), encoding="utf-8", newline="\n")
    write_pdf(pages, pdf, title="Symbols")
    return svg, pdf


def contact_sheet(symbols: Mapping[str, Symbol], library: Library) -> tuple[Page, ...]:
    """The pages (ISO A2 landscape), symbols under the headings of the devices that use them."""
    rows = list(_rows(symbols, library))
    per_page = int((PAGE_MM[1] - 2 * MARGIN_MM - HEAD_MM) // CELL_MM[1])
    starts = range(0, len(rows), per_page)
    return tuple(_page(rows[start : start + per_page], start // per_page + 1, len(starts)) for start in starts)


def _rows(symbols: Mapping[str, Symbol], library: Library) -> Iterator[list[tuple[str, Symbol]]]:
    """Rows of (heading, symbol): in the order of the headings, then of the names."""
    heading = {kind.symbol: kind.group for kind in reversed(tuple(library.values()))}
    order = sorted(symbols.values(), key=lambda symbol: (heading.get(symbol.name, "Others"), symbol.name))
    listed = [(heading.get(symbol.name, "Others"), symbol) for symbol in order]
    for start in range(0, len(listed), COLUMNS):
        yield listed[start : start + COLUMNS]


def _page(rows: list[list[tuple[str, Symbol]]], number: int, count: int) -> Page:
    items: list[Item] = [*_head(number, count)]
    for down, row in enumerate(rows):
        for along, (heading, symbol) in enumerate(row):
            corner = (MARGIN_MM + along * CELL_MM[0], MARGIN_MM + HEAD_MM + down * CELL_MM[1])
            items.append(Group(f"symbol:{symbol.name}", tuple(_cell(symbol, heading, *corner))))
    return Page(*PAGE_MM, tuple(items), f"Symbols {number}/{count}")


def _head(number: int, count: int) -> Iterator[Item]:
    base = MARGIN_MM + 5.0
    yield Text(MARGIN_MM, base, "Symbols", 5.0, "start", "bold")
    note = "IEC family at the left, North American family at the right where it differs; half as large again as drawn."
    yield Text(MARGIN_MM + 30, base, note, 2.5, "start", "regular", "faint")
    yield Text(PAGE_MM[0] - MARGIN_MM, base, f"{number}/{count}", 3.5, "end")


def _cell(symbol: Symbol, heading: str, x_mm: float, y_mm: float) -> Iterator[Item]:
    yield Path(rectangle(x_mm, y_mm, *CELL_MM), Pen("grid", 0.18))
    forms = [symbol.iec] if symbol.na is None else [symbol.iec, symbol.na]
    for index, figure in enumerate(forms):
        centre = x_mm + CELL_MM[0] * (2 * index + 1) / (2 * len(forms))
        yield from _form(symbol, figure, centre, y_mm + FIGURE_TOP_MM + FIGURE_MM / 2)
    text_x = x_mm + 2.0
    yield Text(text_x, y_mm + 30.6, symbol.title, 2.5, "start", "bold")
    yield Text(x_mm + CELL_MM[0] - 2.0, y_mm + 3.5, heading, 1.8, "end", "regular", "faint")
    for line, text in enumerate(wrap(symbol.source, CELL_MM[0] - 4.0, 1.8)):
        yield Text(text_x, y_mm + 33.6 + line * 2.8, text, 1.8, "start", "regular", "faint")


def _form(symbol: Symbol, figure: Figure, centre_mm: float, middle_mm: float) -> Iterator[Item]:
    x0, y0, x1, y1 = (value * MODULE_MM * SCALE for value in symbol.box)
    x_mm, y_mm = centre_mm - (x0 + x1) / 2, middle_mm - (y0 + y1) / 2
    yield Path(rectangle(x_mm + x0, y_mm + y0, x1 - x0, y1 - y0), Pen("grid", 0.18))
    yield from figure_items(figure, x_mm, y_mm)
    for pin in symbol.pins:
        yield from _pin_mark(x_mm + pin.at[0] * MODULE_MM * SCALE, y_mm + pin.at[1] * MODULE_MM * SCALE)


def _pin_mark(x_mm: float, y_mm: float) -> Iterable[Item]:
    reach = 0.5
    pen = Pen("accent", 0.18)
    yield Path(polyline(((x_mm - reach, y_mm - reach), (x_mm + reach, y_mm + reach))), pen)
    yield Path(polyline(((x_mm - reach, y_mm + reach), (x_mm + reach, y_mm - reach))), pen)

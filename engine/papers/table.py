"""Tables of fixed column widths: a head that is repeated, rows whose texts wrap, colour samples, links and anchors.

Every row is a block of its own, so that a table breaks between rows, but never after its first row or before its last.
Knows no boat.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from engine.drawing.bounds import moved
from engine.drawing.display import Anchor, Group, Item, Path, Pen, Text, Weight
from engine.drawing.metrics import LINE_PITCH, text_width_mm, unbroken, wrap
from engine.drawing.outline import line, rectangle
from engine.drawing.theme import is_wire_code, wire_codes
from engine.papers.text_flow import FALL, RISE, Block

PAD_MM = 1.2
SLACK_MM = 0.01
"""So that what is as wide as its column is not broken by rounding."""
SWATCH_MM = (2.6, 1.7)
HEAD_PEN = Pen("ink", 0.35)
ROW_PEN = Pen("rule", 0.13)
SUM_PEN = Pen("ink", 0.25)


class Column(msgspec.Struct, frozen=True):
    """A column: its title and its share of the width (the widths that fit are in proportion to the shares)."""

    title: str
    share: float
    anchor: Anchor = "start"


class Cell(msgspec.Struct, frozen=True):
    """What stands in one column of a row. `swatches` are wire colours shown as samples before the text."""

    text: str
    weight: Weight = "regular"
    colour: str = "ink"
    link: str = ""
    swatches: tuple[str, ...] = ()
    items: tuple[Item, ...] = ()
    """A figure about (0, 0), the middle of the cell's first line at its left edge, before the text."""
    indent_mm: float = 0.0


class Row(msgspec.Struct, frozen=True):
    """A row; `anchor` names it as a place to jump to. A "sum" stands under a line, a "faint" one is not in use.

    One that `goes_on` says more of the row before: it is not parted from that, and stands on the same stripe.
    """

    cells: tuple[Cell | str, ...]
    kind: str = "plain"
    anchor: str = ""
    goes_on: bool = False


class Style(msgspec.Struct, frozen=True):
    """How a table is set: its width, the height of its capitals, the least height of a row, stripes."""

    width_mm: float
    text_mm: float = 2.2
    row_mm: float = 0.0
    pad_mm: float = PAD_MM
    """Over and under the text of a row."""
    stripes: bool = True
    rules: bool = False
    """Thin upright rules between the columns."""


def widths_mm(columns: Sequence[Column], width_mm: float) -> tuple[float, ...]:
    """The widths of the columns."""
    whole = sum(column.share for column in columns)
    return tuple(column.share * width_mm / whole for column in columns)


def table(columns: Sequence[Column], rows: Sequence[Row], style: Style) -> list[Block]:
    """The rows as blocks under a head that every page repeats."""
    widths = fitted_mm(columns, rows, style)
    head = _head(columns, widths, style)
    blocks, told = [], -1
    for number, row in enumerate(rows):
        told += not row.goes_on
        striped = style.stripes and told % 2 == 1 and row.kind != "sum"
        before_last = number + 1 < len(rows)
        keeps = before_last and (number in (0, len(rows) - 2) or rows[number + 1].goes_on)
        blocks.append(_row(columns, widths, row, style, head, striped=striped, keeps=keeps))
    return blocks


def fitted_mm(columns: Sequence[Column], rows: Sequence[Row], style: Style) -> tuple[float, ...]:
    """The widths by share, but none so small that a word is broken, as long as others have room to give."""
    shared = widths_mm(columns, style.width_mm)
    least = [_least_mm(column, [row.cells[at] for row in rows], style) for at, column in enumerate(columns)]
    lacking = sum(max(0.0, need - width) for need, width in zip(least, shared, strict=True))
    spare = sum(max(0.0, width - need) for need, width in zip(least, shared, strict=True))
    if lacking > spare:
        return shared
    given = lacking / spare if spare else 0.0
    return tuple(max(need, width - max(0.0, width - need) * given) for need, width in zip(least, shared, strict=True))


def _least_mm(column: Column, cells: Sequence[Cell | str], style: Style) -> float:
    """The width of its longest word, mm, with what stands before and around it."""
    told = [Cell(column.title, "bold"), *(cell if isinstance(cell, Cell) else Cell(cell) for cell in cells)]
    longest = max(
        (text_width_mm(word, style.text_mm, "bold" if number == 0 else cell.weight) + _before_mm(cell)
         for number, cell in enumerate(told) for word in unbroken(cell.text)), default=0.0,
    )  # fmt: skip
    return longest + 2 * PAD_MM + SLACK_MM


def _head(columns: Sequence[Column], widths: Sequence[float], style: Style) -> Block:
    height = style.text_mm
    wrapped = [wrap(c.title, w - 2 * PAD_MM, height, "bold") for c, w in zip(columns, widths, strict=True)]
    most = max(len(lines) for lines in wrapped)
    deep_mm = _depth_mm(most, style)
    items: list[Item] = [Path(rectangle(0, 0, style.width_mm, deep_mm), None, "table.head")]
    x_mm = 0.0
    for column, width, lines in zip(columns, widths, wrapped, strict=True):
        for number, string in enumerate(lines):
            # titles stand on the last line, so that short ones sit by their column
            y_mm = style.pad_mm + height * RISE + (most - len(lines) + number) * height * LINE_PITCH
            items.append(_text(string, column, x_mm, width, y_mm, height, "bold", "ink"))
        x_mm += width
    items += [Path(line(0, 0, style.width_mm, 0), HEAD_PEN), Path(line(0, deep_mm, style.width_mm, deep_mm), HEAD_PEN)]
    return Block(deep_mm, (*items, *_uprights(widths, deep_mm, style)), keeps=True)


def _row(
    columns: Sequence[Column],
    widths: Sequence[float],
    row: Row,
    style: Style,
    head: Block,
    *,
    striped: bool,
    keeps: bool,
) -> Block:
    cells = [cell if isinstance(cell, Cell) else Cell(cell) for cell in row.cells]
    wrapped = [
        wrap(cell.text, width - 2 * PAD_MM - _before_mm(cell), style.text_mm, _weight(cell, row))
        for cell, width in zip(cells, widths, strict=True)
    ]
    deep_mm = max(_depth_mm(max(len(lines) for lines in wrapped), style), style.row_mm)
    items: list[Item] = []
    if striped:  # the fill covers half of the line above, so that is drawn again
        fill = Path(rectangle(0, 0, style.width_mm, deep_mm), None, "table.stripe")
        items = [fill, Path(line(0, 0, style.width_mm, 0), ROW_PEN)]
    top = style.pad_mm + max(0.0, style.row_mm - _depth_mm(1, style)) / 2
    x_mm = 0.0
    for column, width, cell, lines in zip(columns, widths, cells, wrapped, strict=True):
        items += _cell(column, x_mm, width, top, cell, lines, row, style)
        x_mm += width
    pen = SUM_PEN if row.kind == "sum" else ROW_PEN
    items.append(Path(line(0, deep_mm, style.width_mm, deep_mm), ROW_PEN))
    items += [Path(line(0, 0, style.width_mm, 0), pen)] if row.kind == "sum" else []
    items += _uprights(widths, deep_mm, style)
    shown: tuple[Item, ...] = (Group(f"anchor:{row.anchor}", tuple(items)),) if row.anchor else tuple(items)
    return Block(deep_mm, shown, head=head, keeps=keeps)


def _cell(
    column: Column, x_mm: float, width: float, top: float, cell: Cell, lines: Sequence[str], row: Row, style: Style
) -> list[Item]:
    height, before = style.text_mm, _before_mm(cell)
    first = top + height * RISE
    colour = "provision" if row.kind == "faint" and cell.colour == "ink" else cell.colour
    colour = "faint" if colour == "provision" else colour
    texts: list[Item] = [
        _text(string, column, x_mm + before, width - before, first + number * height * LINE_PITCH, height,
              _weight(cell, row), colour)
        for number, string in enumerate(lines) if string
    ]  # fmt: skip
    for number, code in enumerate(cell.swatches):
        texts += _swatch(code, x_mm + PAD_MM + number * (SWATCH_MM[0] + 0.5), first - height / 2)
    for item in cell.items:
        texts.append(moved(item, x_mm + PAD_MM, first - height / 2))
    return [Group(f"link:{cell.link}", tuple(texts))] if cell.link and texts else texts


def _before_mm(cell: Cell) -> float:
    return cell.indent_mm + len(cell.swatches) * (SWATCH_MM[0] + 0.5) + (0.5 if cell.swatches else 0.0)


def _weight(cell: Cell, row: Row) -> Weight:
    return "bold" if row.kind == "sum" else cell.weight


def _text(
    string: str, column: Column, x_mm: float, width: float, y_mm: float, height: float, weight: Weight, colour: str
) -> Text:
    at = {"start": x_mm + PAD_MM, "middle": x_mm + width / 2, "end": x_mm + width - PAD_MM}[column.anchor]
    return Text(at, y_mm, string, height, column.anchor, weight, colour)


def _swatch(code: str, x_mm: float, y_mm: float) -> list[Item]:
    """A sample of a wire's colour, halved for two colours; an empty one for a colour that is not known."""
    width, height = SWATCH_MM
    frame = rectangle(x_mm, y_mm - height / 2, width, height)
    if not is_wire_code(code):
        return [Path(frame, Pen("rule", 0.13, (0.5, 0.4)))]
    codes = wire_codes(code)
    items: list[Item] = [Path(frame, None, f"wire.{codes[0]}")]
    if len(codes) > 1:
        items.append(
            Path(rectangle(x_mm + width * 0.35, y_mm - height / 2, width * 0.3, height), None, f"wire.{codes[1]}")
        )
    return [*items, Path(frame, Pen("casing", 0.13))]


def _uprights(widths: Sequence[float], deep_mm: float, style: Style) -> Iterator[Path]:
    """Between the columns, and at both sides."""
    if not style.rules:
        return
    x_mm = 0.0
    for width in (0.0, *widths):
        x_mm += width
        yield Path(line(x_mm, 0, x_mm, deep_mm), ROW_PEN)


def _depth_mm(lines: int, style: Style) -> float:
    return 2 * style.pad_mm + style.text_mm * (RISE + FALL * 0.6 + LINE_PITCH * (lines - 1))


def height_of(blocks: Sequence[Block]) -> float:
    """The height of a table in one piece, its head included."""
    head = next((block.head for block in blocks if block.head), None)
    return sum(block.height_mm for block in blocks) + (head.height_mm if head else 0.0)

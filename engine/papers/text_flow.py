"""Blocks of a paper (headings, paragraphs, steps, rows of tables) set one under another into columns of a given height.

A block is drawn about its own top left corner and knows its height. Knows no paper size, no boat.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import msgspec

from engine.drawing.bounds import moved
from engine.drawing.display import Group, Item, Path, Pen, Text, Weight
from engine.drawing.glyphs import warning_triangle
from engine.drawing.metrics import LINE_PITCH, wrap
from engine.drawing.outline import line, rectangle

BODY_MM = 2.5
SMALL_MM = 2.0
HEADING_MM = 3.5
RULE = Pen("rule", 0.18)
RISE = 1.2
"""Room above the base line of a first line, in heights of capitals: that of a letter with an accent."""
FALL = 0.5
"""Room under a last base line."""


class Block(msgspec.Struct, frozen=True):
    """Something that is not broken over two columns.

    `head` is set again at the top of every column in which blocks with this head go on (the head of a table).
    `keeps` blocks are not parted from the block after them. A block with a `section` begins a section of that name.
    """

    height_mm: float
    items: tuple[Item, ...] = ()
    head: Block | None = None
    keeps: bool = False
    new_page: bool = False
    section: str = ""


class Placed(msgspec.Struct, frozen=True):
    """A block in its column: the y of its top, mm from the top of the column."""

    y_mm: float
    block: Block

    def items_at(self, x_mm: float, y_mm: float) -> Iterator[Item]:
        """Its items where the column's top left corner is at (x_mm, y_mm)."""
        return (moved(item, x_mm, y_mm + self.y_mm) for item in self.block.items)


Column = tuple[Placed, ...]


def flow(blocks: Iterable[Block], height_mm: float) -> tuple[Column, ...]:
    """The blocks in as many columns as they need. A block higher than a column stands alone in one and runs over."""
    setter = _Setter(height_mm)
    for cluster in _clusters(blocks):
        setter.take(cluster)
    return setter.columns()


def _clusters(blocks: Iterable[Block]) -> Iterator[list[Block]]:
    """Blocks that must stay together: those that keep with the next, and that next."""
    cluster: list[Block] = []
    for block in blocks:
        cluster.append(block)
        if not block.keeps:
            yield cluster
            cluster = []
    if cluster:
        yield cluster


class _Setter:
    """Columns being filled."""

    def __init__(self, height_mm: float) -> None:
        self._height_mm = height_mm
        self._done: list[Column] = []
        self._placed: list[Placed] = []
        self._y_mm = 0.0

    def take(self, cluster: Sequence[Block]) -> None:
        """Set the blocks here, or in the next column where they do not fit or ask for a new page."""
        if self._placed and (cluster[0].new_page or self._y_mm + self._needed_mm(cluster) > self._height_mm + 1e-6):
            self._break()
        for block in cluster:
            if not block.items and not self._placed:
                continue  # no white space at the top of a column
            if block.head and not self._goes_on(block.head):
                self._put(block.head)
            self._put(block)

    def columns(self) -> tuple[Column, ...]:
        """All columns, the last one as full as it is."""
        return (*self._done, tuple(self._placed)) if self._placed else tuple(self._done)

    def _needed_mm(self, cluster: Sequence[Block]) -> float:
        head = cluster[0].head or next((block.head for block in cluster if block.head), None)
        head_mm = head.height_mm if head and not self._goes_on(head) else 0.0
        return head_mm + sum(block.height_mm for block in cluster)

    def _goes_on(self, head: Block) -> bool:
        return bool(self._placed) and self._placed[-1].block.head is head

    def _put(self, block: Block) -> None:
        self._placed.append(Placed(self._y_mm, block))
        self._y_mm += block.height_mm

    def _break(self) -> None:
        self._done.append(tuple(self._placed))
        self._placed, self._y_mm = [], 0.0


def gap(height_mm: float) -> Block:
    """White space."""
    return Block(height_mm)


def heading(string: str, width_mm: float, *, anchor: str = "", new_page: bool = False) -> Block:
    """The heading of a section over a rule, a place to jump to where it has an anchor."""
    lines = wrap(string, width_mm, HEADING_MM, "bold")
    texts = _lines(lines, 0.0, 3.0 + HEADING_MM, HEADING_MM, "bold", "accent")
    foot = 3.0 + HEADING_MM + (len(lines) - 1) * HEADING_MM * LINE_PITCH + 2.0
    inner: tuple[Item, ...] = (*texts, Path(line(0, foot, width_mm, foot), Pen("accent", 0.35)))
    items: tuple[Item, ...] = (Group(f"section:{string}", inner),)
    if anchor:
        items = (Group(f"anchor:{anchor}", items),)
    return Block(foot + 2.0, items, keeps=True, new_page=new_page, section=string)


def subheading(string: str, width_mm: float) -> Block:
    """A line in bold over what follows it."""
    lines = wrap(string, width_mm, BODY_MM, "bold")
    return Block(_height(lines, BODY_MM) + 2.5, _lines(lines, 0.0, 1.5 + BODY_MM * RISE, BODY_MM, "bold"), keeps=True)


def paragraph(
    string: str, width_mm: float, height_mm: float = BODY_MM, *, colour: str = "ink", keeps: bool = False
) -> Block:
    """Running text."""
    lines = wrap(string, width_mm, height_mm)
    texts = _lines(lines, 0.0, height_mm * RISE, height_mm, "regular", colour)
    return Block(_height(lines, height_mm) + height_mm * 0.6, texts, keeps=keeps)


def listed(mark: str, string: str, width_mm: float, height_mm: float = BODY_MM) -> Block:
    """A step or a point of a list, its number or dot hanging to the left."""
    indent_mm = height_mm * 2.6
    lines = wrap(string, width_mm - indent_mm, height_mm)
    texts = _lines(lines, indent_mm, height_mm * RISE, height_mm)
    number = Text(0.0, height_mm * RISE, mark, height_mm, weight="bold")
    return Block(_height(lines, height_mm) + height_mm * 0.4, (number, *texts))


def warning(word: str, string: str, width_mm: float, height_mm: float = BODY_MM) -> Block:
    """A framed caution with the warning triangle and its signal word (ISO 3864-2 names the words; from memory)."""
    room_mm, left = width_mm - 20.0, 16.0
    lines = wrap(string, room_mm, height_mm)
    first = 3.0 + height_mm * RISE
    texts = _lines(lines, left, first + height_mm * LINE_PITCH, height_mm)
    box_mm = max(14.0, _height(lines, height_mm) + height_mm * LINE_PITCH + 5.0)
    items: tuple[Item, ...] = (
        Path(rectangle(0, 0, width_mm, box_mm, 1.0), Pen("rule", 0.25), "caution.fill"),
        *warning_triangle(8.0, box_mm / 2 + 4.2, 9.6),
        Text(left, first, word, height_mm, weight="bold"),
        *texts,
    )
    return Block(box_mm + 2.5, items)


def _lines(
    lines: Sequence[str],
    x_mm: float,
    first_mm: float,
    height_mm: float,
    weight: Weight = "regular",
    colour: str = "ink",
) -> tuple[Text, ...]:
    return tuple(
        Text(x_mm, first_mm + number * height_mm * LINE_PITCH, string, height_mm, weight=weight, colour=colour)
        for number, string in enumerate(lines)
        if string
    )


def _height(lines: Sequence[str], height_mm: float) -> float:
    return height_mm * (RISE + FALL + LINE_PITCH * (len(lines) - 1))

"""The display list: four frozen primitives in millimetres, from which screen, PDF and SVG are drawn alike.

Origin at the top left of the sheet, x to the right, y down. Colours are theme names ("ink", "faint", "wire.RD",
"danger" …) that a backend resolves through a theme. This module knows nothing of boats, symbols or Qt.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Segment = tuple[str, tuple[float, ...]]
"""One verb of an outline: ("M", (x, y)), ("L", (x, y)), ("C", (x1, y1, x2, y2, x, y)) or ("Z", ())."""

Anchor = Literal["start", "middle", "end"]
Weight = Literal["regular", "bold"]


class Pen(msgspec.Struct, frozen=True):
    """A stroke: theme colour, width in mm, dash lengths in mm (empty: continuous). Caps and joins are round."""

    colour: str
    width_mm: float
    dash_mm: tuple[float, ...] = ()


class Path(msgspec.Struct, frozen=True):
    """An outline with stroke, fill (theme colour) or both."""

    outline: tuple[Segment, ...]
    pen: Pen | None = None
    fill: str | None = None


class Text(msgspec.Struct, frozen=True):
    """One line of text; (x_mm, y_mm) is on the base line at the anchor; height_mm is the height of capitals (ISO 3098).

    angle_deg is 0 (read from below) or 90 (read from the right).
    """

    x_mm: float
    y_mm: float
    string: str
    height_mm: float = 2.5
    anchor: Anchor = "start"
    weight: Weight = "regular"
    colour: str = "ink"
    angle_deg: int = 0


class Image(msgspec.Struct, frozen=True):
    """A picture (PNG bytes) in a rectangle."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    png: bytes


class Group(msgspec.Struct, frozen=True):
    """Primitives that belong to one thing; a click finds the key ("part:p3", "run:r7", "position:p4/12", "frame").

    In a PDF, "anchor:NAME" is a place that can be jumped to and "link:NAME" jumps there; "section:TITLE" gets a bookmark.
    """

    key: str
    items: tuple[Item, ...]


Item = Path | Text | Image | Group
"""What a display list is made of."""


class Page(msgspec.Struct, frozen=True):
    """A sheet of paper: its size and what is drawn on it."""

    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    title: str = ""

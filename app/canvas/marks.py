"""Scene furniture as values: what a tool wants shown over the sheet. Never part of a display list, never printed."""

from __future__ import annotations

import msgspec

Point = tuple[float, float]
Box = tuple[float, float, float, float]


class Marks(msgspec.Struct, frozen=True, kw_only=True):
    """All in millimetres on the sheet."""

    line: tuple[Point, ...] = ()
    """A run being drawn."""
    box: Box | None = None
    """A selection box being drawn."""
    ports: tuple[Point, ...] = ()
    """Ports that can be connected."""
    target: Point | None = None
    """The port that the next click takes."""
    handles: tuple[Point, ...] = ()
    """Where a size can be changed."""
    crosshair: Point | None = None
    hover: str = ""
    """Key of what lies under the cursor."""
    redlined: tuple[str, ...] = ()
    """Keys of what a change that is only shown would change."""
    refused: bool = False
    """The next click would be refused."""


NO_MARKS = Marks()

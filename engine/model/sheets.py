"""How the boat is drawn: sheets, where each part stands, how each run is led. Millimetres from the sheet's top left."""

from __future__ import annotations

from typing import Literal

from engine.model.network import Record

MODULE_MM = 2.5
Rotation = Literal[0, 90, 180, 270]
Point = tuple[float, float]


class Place(Record, frozen=True, kw_only=True):
    """Where a part stands on a sheet: its symbol's origin, on the module."""

    part: str
    x_mm: float
    y_mm: float
    rotation: Rotation = 0
    mirrored: bool = False
    width_mm: float | None = None
    """Set width of a bar, block or board; None: as large as it needs."""
    height_mm: float | None = None


class Route(Record, frozen=True, kw_only=True):
    """The bends of a run between its two ends; no record, or no bends: led automatically."""

    run: str
    bends: tuple[Point, ...] = ()


class Note(Record, frozen=True, kw_only=True):
    """A line of text on the sheet."""

    id: str
    x_mm: float
    y_mm: float
    text: str
    height_mm: float = 2.5


class Sheet(Record, frozen=True, kw_only=True):
    """One drawing sheet."""

    id: str
    title: str = ""
    format: str = "A3"
    places: tuple[Place, ...] = ()
    routes: tuple[Route, ...] = ()
    notes: tuple[Note, ...] = ()

"""Where a run can land on what is drawn: pins of a shape, and their spots on a sheet. Knows no device and no style."""

from __future__ import annotations

from typing import Literal

import msgspec

from engine.drawing.metrics import Box

Side = Literal["left", "right", "top", "bottom"]
Key = tuple[str, str]
"""(part id, port)."""

STEP: dict[Side, tuple[int, int]] = {"left": (-1, 0), "right": (1, 0), "top": (0, -1), "bottom": (0, 1)}
OPPOSITE: dict[Side, Side] = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}
TURNED: dict[Side, Side] = {"left": "top", "top": "right", "right": "bottom", "bottom": "left"}
"""Where a side goes when the symbol turns by 90 degrees clockwise."""


class PortSpot(msgspec.Struct, frozen=True):
    """Where a run lands on the sheet (mm) and the way it leaves."""

    x_mm: float
    y_mm: float
    side: Side


class ShapePin(msgspec.Struct, frozen=True):
    """A pin of a placed shape (mm from the part's origin); a run may leave to any of its sides, the first preferred."""

    port: str
    x_mm: float
    y_mm: float
    sides: tuple[Side, ...]

    def spot(self, x_mm: float, y_mm: float) -> PortSpot:
        """The pin on the sheet, for a part whose origin is at the point given."""
        return PortSpot(self.x_mm + x_mm, self.y_mm + y_mm, self.sides[0])


def turn_side(side: Side, rotation: int, mirrored: bool) -> Side:
    """The side after mirroring left for right, then turning clockwise by `rotation` degrees."""
    if mirrored and side in ("left", "right"):
        side = OPPOSITE[side]
    for _ in range(rotation // 90 % 4):
        side = TURNED[side]
    return side


def moved_box(box: Box, x_mm: float, y_mm: float) -> Box:
    """The box shifted to the right and down."""
    return (box[0] + x_mm, box[1] + y_mm, box[2] + x_mm, box[3] + y_mm)


def grown(box: Box, by_mm: float) -> Box:
    """The box enlarged on every side."""
    return (box[0] - by_mm, box[1] - by_mm, box[2] + by_mm, box[3] + by_mm)


def on_module(value_mm: float, module_mm: float = 2.5) -> float:
    """The nearest point of the module."""
    return round(value_mm / module_mm) * module_mm

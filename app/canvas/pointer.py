"""Where the cursor is and what it is over: all that a tool hears of mouse and keyboard."""

from __future__ import annotations

import msgspec

from app.canvas.hit import Hit
from engine.model.edits.placing import snapped


class Pointer(msgspec.Struct, frozen=True):
    """A point of the sheet (mm), what is hit there, and the keys held."""

    x_mm: float
    y_mm: float
    hit: Hit = Hit()
    shift: bool = False
    ctrl: bool = False
    reach_mm: float = 2.0
    """How near counts as on it."""

    @property
    def point(self) -> tuple[float, float]:
        """The point as it is."""
        return self.x_mm, self.y_mm

    @property
    def on_module(self) -> tuple[float, float]:
        """The nearest crossing of the module."""
        return snapped(self.x_mm), snapped(self.y_mm)

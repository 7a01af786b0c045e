"""Selecting all that lies in a box drawn on the bare sheet."""

from __future__ import annotations

from app.canvas.bench import Bench
from app.canvas.hit import inside
from app.canvas.marks import Box, Marks
from app.canvas.pointer import Pointer
from engine.messages import tr


class BoxGesture:
    """From the press on the bare sheet to the release."""

    def __init__(self, bench: Bench, start: Pointer) -> None:
        self._bench, self._start, self._at = bench, start, start
        self._kept = bench.selection.keys if start.shift or start.ctrl else frozenset()

    def press(self, at: Pointer) -> None:
        """Nothing: the button is already down."""

    def move(self, at: Pointer) -> None:
        """Selects as the box grows."""
        self._at = at
        self._bench.selection.set(self._kept | inside(self._bench.drawing, self._box()))

    def release(self, at: Pointer) -> None:
        """Leaves the selection as it is."""
        self.move(at)

    def key(self, name: str) -> bool:
        """No letters."""
        return False

    def cancel(self) -> bool:
        """Selects what was selected before."""
        self._bench.selection.set(self._kept)
        return True

    def status(self) -> str:
        """What is selected."""
        return tr("Selects what lies wholly in the box.")

    def marks(self) -> Marks:
        """The box."""
        return Marks(box=self._box())

    def _box(self) -> Box:
        xs, ys = sorted((self._start.x_mm, self._at.x_mm)), sorted((self._start.y_mm, self._at.y_mm))
        return xs[0], ys[0], xs[1], ys[1]

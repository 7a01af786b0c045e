"""Dragging parts and notes on the module, their runs following. One step of undo for the whole drag."""

from __future__ import annotations

from app.canvas.bench import Bench
from app.canvas.marks import NO_MARKS, Marks
from app.canvas.pointer import Pointer
from app.store import Edit
from engine.messages import tr
from engine.model.edits.arranging import move
from engine.model.edits.placing import snapped


class MoveGesture:
    """From the press on a part to its release."""

    def __init__(self, bench: Bench, keys: frozenset[str], start: Pointer) -> None:
        self._bench, self._keys, self._start = bench, keys, start
        self._shift = (0.0, 0.0)

    def press(self, at: Pointer) -> None:
        """Nothing: the button is already down."""

    def move(self, at: Pointer) -> None:
        """Shows the parts where they would stand."""
        shift = snapped(at.x_mm - self._start.x_mm), snapped(at.y_mm - self._start.y_mm)
        if at.shift:
            shift = (shift[0], 0.0) if abs(shift[0]) >= abs(shift[1]) else (0.0, shift[1])
        if shift != self._shift:
            self._shift = shift
            self._bench.preview(self._edit())

    def release(self, at: Pointer) -> None:
        """Leaves the parts where they are shown."""
        self.move(at)
        self._bench.apply(self._edit(), tr("Move"))

    def key(self, name: str) -> bool:
        """No letters."""
        return False

    def cancel(self) -> bool:
        """Everything back where it was."""
        self._bench.preview(None)
        return True

    def status(self) -> str:
        """How far it has gone."""
        return tr("Moving {x} mm across, {y} mm down. Shift keeps to one direction, Esc puts back.").format(
            x=f"{self._shift[0]:g}", y=f"{self._shift[1]:g}"
        )

    def marks(self) -> Marks:
        """None."""
        return NO_MARKS

    def _edit(self) -> Edit:
        sheet_id, keys, (dx, dy) = self._bench.sheet_id, self._keys, self._shift
        return lambda document: move(document, sheet_id, keys, dx, dy)

"""Pushing one leg of a run sideways; the legs beside it follow."""

from __future__ import annotations

from app.canvas.bench import Bench
from app.canvas.marks import NO_MARKS, Marks
from app.canvas.pointer import Pointer
from app.store import Edit
from engine.messages import tr
from engine.model.edits.arranging import shifted_segment
from engine.model.edits.wiring import set_route


class RerouteGesture:
    """From the press on a leg to its release."""

    def __init__(self, bench: Bench, run_id: str, leg: int, start: Pointer) -> None:
        self._bench, self._run, self._leg, self._start = bench, run_id, leg, start
        self._points = bench.drawing.paths[run_id]
        self._delta = 0.0

    def press(self, at: Pointer) -> None:
        """Nothing: the button is already down."""

    def move(self, at: Pointer) -> None:
        """Shows the run as it would be led."""
        (ax, ay), (bx, by) = self._points[self._leg], self._points[self._leg + 1]
        upright = abs(ax - bx) < abs(ay - by)
        self._delta = at.x_mm - self._start.x_mm if upright else at.y_mm - self._start.y_mm
        self._bench.preview(self._edit())

    def release(self, at: Pointer) -> None:
        """Leaves the run as it is shown."""
        self.move(at)
        self._bench.apply(self._edit(), tr("Re-route"))

    def key(self, name: str) -> bool:
        """No letters."""
        return False

    def cancel(self) -> bool:
        """The run as it was led before."""
        self._bench.preview(None)
        return True

    def status(self) -> str:
        """What the release does."""
        return tr("Release to lead the run this way; Esc puts it back.")

    def marks(self) -> Marks:
        """None."""
        return NO_MARKS

    def _edit(self) -> Edit:
        sheet_id, run, bends = self._bench.sheet_id, self._run, self._bends()
        if bends is None:
            return lambda document: document
        return lambda document: set_route(document, sheet_id, run, bends)

    def _bends(self) -> tuple[tuple[float, float], ...] | None:
        """None while the leg has not left its line of the module."""
        made = shifted_segment(self._points, self._leg, self._delta) if abs(self._delta) >= 1.25 else None
        return made

"""Drawing without a mouse: arrows move the selection or a crosshair on the module, Tab goes on, Enter clicks.

In the select tool arrows move what is selected and Tab goes from part to part; J goes along a run to its other end.
With a part or a run in hand arrows move the crosshair, Tab jumps to the next port, Enter is a click there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from app.canvas.marks import Marks
from app.canvas.pointer import Pointer
from app.canvas.tools.connecting import ConnectTool
from app.canvas.tools.selecting import SelectTool
from app.canvas.walk import along, next_part, ports_in_order
from engine.messages import tr
from engine.model.edits.arranging import move
from engine.model.edits.placing import snapped
from engine.model.sheets import MODULE_MM, Point

if TYPE_CHECKING:
    from app.canvas.view import View

ARROWS: dict[int, Point] = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, -1.0),
    Qt.Key.Key_Down: (0.0, 1.0),
}
STRIDE = 8
"""Modules that an arrow goes with Shift."""


class Keyboard:
    """The crosshair and the keys of one view."""

    def __init__(self, view: View) -> None:
        self._view = view
        self._at: Point | None = None
        self._last: Point | None = None
        self._came_from = ""

    def begin(self) -> None:
        """Puts the crosshair where it last was, at the selected part, or in the middle of what is seen."""
        if not self._view.hasFocus():
            self._view.setFocus(Qt.FocusReason.OtherFocusReason)
        self._at = self._last or self._selected_spot() or self._middle()
        self._view.tool.move(self._pointer(False))
        self._view.tell()

    def end(self) -> None:
        """Takes the crosshair away; the mouse has the tool, or no tool needs it."""
        self._at = None

    def with_crosshair(self, marks: Marks) -> Marks:
        """The tool's marks with the crosshair."""
        return msgspec.structs.replace(marks, crosshair=self._at) if self._at else marks

    def press(self, event: QKeyEvent) -> bool:
        """True when the key was for the sheet."""
        if event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier):
            return False
        handled = self._key(event.key(), bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier), event.text())
        if handled:
            self._view.tell()
        return handled

    def _key(self, key: int, shift: bool, text: str) -> bool:
        if key in ARROWS:
            return self._arrow(ARROWS[key], shift)
        if key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            return self._tab(-1 if key == Qt.Key.Key_Backtab else 1)
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return self._enter(shift)
        if key == Qt.Key.Key_Escape:
            return self._escape()
        if key == Qt.Key.Key_J and self._resting():
            return self._jump()
        return bool(text) and self._view.tool.key(text.upper())

    def _resting(self) -> bool:
        return isinstance(self._view.tool, SelectTool)

    def _arrow(self, way: Point, shift: bool) -> bool:
        step = MODULE_MM * (STRIDE if shift else 1)
        dx, dy = way[0] * step, way[1] * step
        if not self._resting():
            x, y = self._at or self._last or self._middle()
            self._go((x + dx, y + dy))
            return True
        bench = self._view.bench
        keys = bench.selection.keys
        if not bench.selection.ids("part") | bench.selection.ids("note"):
            self._view.set_camera(
                self._view.camera.panned(-dx * self._view.camera.scale, -dy * self._view.camera.scale)
            )
            return True
        merge = "arrows:" + ",".join(sorted(keys))
        bench.apply(lambda document: move(document, bench.sheet_id, keys, dx, dy), tr("Move"), merge)
        return True

    def _tab(self, step: int) -> bool:
        bench = self._view.bench
        if self._resting():
            key = next_part(bench.drawing, bench.selection.keys, step)
            if key:
                bench.selection.set((key,))
                self._came_from = ""
                self._show(key)
            return True
        spots = bench.drawing.ports
        points = [
            (spots[(end.part, end.port)].x_mm, spots[(end.part, end.port)].y_mm)
            for end in ports_in_order(bench.drawing)
        ]
        if points:
            here = points.index(self._at) if self._at in points else (-1 if step > 0 else 0)
            self._go(points[(here + step) % len(points)])
        return True

    def _enter(self, shift: bool) -> bool:
        if self._resting():
            keys = self._view.bench.selection.keys
            if len(keys) == 1:
                self._view.activated.emit(next(iter(keys)))
            return len(keys) == 1
        if self._at is None:
            self.begin()
            return True
        self._view.tool.press(self._pointer(shift))
        if isinstance(self._view.tool, ConnectTool):
            self._view.tool.move(self._pointer(shift))
        return True

    def _escape(self) -> bool:
        """First what is begun, then the tool, then the selection."""
        if not self._view.tool.cancel() and not self._resting():
            self._view.select()
        return True

    def _jump(self) -> bool:
        bench = self._view.bench
        here = next(iter(bench.selection.keys), "")
        key = along(bench.document.network, bench.selection.keys, self._came_from)
        if key:
            self._came_from = here
            bench.selection.set((key,))
            self._show(key)
        return True

    def _show(self, key: str) -> None:
        box = self._view.bench.drawing.boxes.get(key)
        if box:
            self._view.look_at(box)

    def _go(self, to: Point) -> None:
        page = self._view.bench.drawing.page
        self._at = self._last = (min(max(to[0], 0.0), page.width_mm), min(max(to[1], 0.0), page.height_mm))
        x, y = self._at
        self._view.tool.move(self._pointer(False))
        self._view.look_at((x - 5, y - 5, x + 5, y + 5))

    def _pointer(self, shift: bool) -> Pointer:
        assert self._at is not None
        x, y = self._view.camera.to_px(*self._at)
        held = Qt.KeyboardModifier.ShiftModifier if shift else Qt.KeyboardModifier.NoModifier
        return self._view.pointer(x, y, held)

    def _selected_spot(self) -> Point | None:
        parts = self._view.bench.selection.ids("part")
        places = [place for place in self._view.bench.sheet.places if place.part in parts]
        return (places[0].x_mm, places[0].y_mm) if len(places) == 1 else None

    def _middle(self) -> Point:
        x, y = self._view.camera.to_mm(self._view.width() / 2, self._view.height() / 2)
        return snapped(x), snapped(y)

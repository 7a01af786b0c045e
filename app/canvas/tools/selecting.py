"""The tool at rest: selects, and begins the gesture that fits what was pressed."""

from __future__ import annotations

import math

from app.canvas.bench import Bench
from app.canvas.hit import Hit
from app.canvas.marks import Marks
from app.canvas.pointer import Pointer
from app.canvas.tools.boxing import BoxGesture
from app.canvas.tools.connecting import ConnectTool
from app.canvas.tools.moving import MoveGesture
from app.canvas.tools.rerouting import RerouteGesture
from app.canvas.tools.tool import Tool
from engine.messages import tr

STILL_MM = 1.0
"""A press that strays less than this is a click."""


class SelectTool:
    """Click, drag, box, drag a leg of a run, drag from a port."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._pressed: Pointer | None = None
        self._gesture: Tool | None = None
        self._over = Hit()

    def press(self, at: Pointer) -> None:
        """Selects what is under the cursor, at once unless it is selected already."""
        self._pressed = at
        key, selection = at.hit.key, self._bench.selection
        if not key:
            return
        if at.shift or at.ctrl:
            selection.toggle(key)
        elif key not in selection.keys:
            selection.set((key,))

    def move(self, at: Pointer) -> None:
        """Begins or goes on with the gesture; without a button, shows what is under the cursor."""
        self._over = at.hit
        if self._gesture is None and self._pressed is not None and self._strayed(at):
            self._gesture = self._begun(self._pressed)
        if self._gesture is not None:
            self._gesture.move(at)

    def release(self, at: Pointer) -> None:
        """Ends the gesture; a click without one selects just what was clicked."""
        gesture, pressed = self._gesture, self._pressed
        self._gesture = self._pressed = None
        if gesture is not None:
            gesture.release(at)
        elif pressed is not None and not (at.shift or at.ctrl):
            self._bench.selection.set((pressed.hit.key,) if pressed.hit.key else ())

    def key(self, name: str) -> bool:
        """No letters of its own."""
        return False

    def cancel(self) -> bool:
        """Gives up the gesture, or else the selection."""
        gesture, self._gesture, self._pressed = self._gesture, None, None
        if gesture is not None:
            return gesture.cancel()
        had = bool(self._bench.selection.keys)
        self._bench.selection.clear()
        return had

    def status(self) -> str:
        """What a press here would do."""
        if self._gesture is not None:
            return self._gesture.status()
        return {
            "port": tr("Drag from this port to another to connect them."),
            "part": tr("Click selects the part, dragging moves it."),
            "position": tr("Click selects the position, dragging moves the panel."),
            "run": tr("Click selects the run, dragging re-routes this leg."),
            "note": tr("Click selects the note, dragging moves it."),
        }.get(self._over.kind, tr("Click a part or run to select it; drag a box to select several."))

    def marks(self) -> Marks:
        """The gesture's, or the thing under the cursor with its ports."""
        if self._gesture is not None:
            return self._gesture.marks()
        spots, end = self._bench.drawing.ports, self._over.end
        near = tuple((spot.x_mm, spot.y_mm) for (part, _), spot in spots.items() if part == self._over.part)
        target = spots.get((end.part, end.port)) if end else None
        return Marks(hover=self._over.key, ports=near, target=(target.x_mm, target.y_mm) if target else None)

    def _strayed(self, at: Pointer) -> bool:
        assert self._pressed is not None
        return math.hypot(at.x_mm - self._pressed.x_mm, at.y_mm - self._pressed.y_mm) > STILL_MM

    def _begun(self, start: Pointer) -> Tool:
        kind, key = start.hit.kind, start.hit.key
        if kind == "port":
            tool = ConnectTool(self._bench)
            tool.press(start)
            return tool
        if kind == "run":
            return RerouteGesture(self._bench, key.partition(":")[2], start.hit.leg, start)
        if not kind:
            return BoxGesture(self._bench, start)
        keys = self._bench.selection.keys | {key if kind != "position" else f"part:{start.hit.part}"}
        return MoveGesture(self._bench, keys, start)

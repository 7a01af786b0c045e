"""The tool at rest: selects, and begins the gesture that fits what was pressed."""

from __future__ import annotations

import math
from typing import Literal

from app.canvas.bench import Bench
from app.canvas.hit import Hit
from app.canvas.marks import Marks
from app.canvas.pointer import Pointer
from app.canvas.tools.boxing import BoxGesture
from app.canvas.tools.connecting import ConnectTool
from app.canvas.tools.moving import MoveGesture
from app.canvas.tools.reconnecting import ReconnectGesture
from app.canvas.tools.rerouting import RerouteGesture
from app.canvas.tools.resizing import ResizeGesture, handle
from app.canvas.tools.tool import Tool
from engine.messages import tr
from engine.model.network import Run
from engine.model.sheets import Place

STILL_MM = 1.0
"""A press that strays less than this is a click."""


class SelectTool:
    """Click, drag, box, drag a leg of a run, drag from a port."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._pressed: Pointer | None = None
        self._gesture: Tool | None = None
        self._over = Hit()
        self._last: Pointer | None = None

    def press(self, at: Pointer) -> None:
        """Selects what is under the cursor, at once unless it is selected already."""
        self._pressed = at
        key, selection = at.hit.key, self._bench.selection
        if not key or self._on_handle(at) or self._held_end(at):
            return
        if at.shift or at.ctrl:
            selection.toggle(key)
        elif key not in selection.keys:
            selection.set((key,))

    def move(self, at: Pointer) -> None:
        """Begins or goes on with the gesture; without a button, shows what is under the cursor."""
        self._over, self._last = at.hit, at
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
        elif pressed is not None and not (at.shift or at.ctrl or self._on_handle(pressed)):
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
        if self._last is not None and self._on_handle(self._last):
            return tr("Drag to give it another size.")
        if self._last is not None and self._held_end(self._last):
            return tr("Drag this end of the run to another port.")
        return {
            "port": tr("Drag from this port to another to connect them."),
            "part": tr("Click selects the part, dragging moves it."),
            "position": tr("Click selects the way, dragging moves the panel."),
            "run": tr("Click selects the run, dragging re-routes this leg."),
            "note": tr("Click selects the note, dragging moves it."),
        }.get(self._over.kind, tr("Click a part or run to select it; drag a box to select several."))

    def marks(self) -> Marks:
        """The gesture's, or the thing under the cursor with its ports."""
        if self._gesture is not None:
            return self._gesture.marks()
        spots, end = self._bench.drawing.ports, self._over.end
        ends = {(run_end.part, run_end.port) for run in self._selected_run() for run_end in (run.a, run.b)}
        near = tuple((spot.x_mm, spot.y_mm) for key, spot in spots.items() if key[0] == self._over.part or key in ends)
        sized = handle(self._bench)
        target = spots.get((end.part, end.port)) if end else None
        return Marks(
            hover=self._over.key,
            ports=near,
            target=(target.x_mm, target.y_mm) if target else None,
            handles=(sized[1],) if sized else (),
        )

    def _on_handle(self, at: Pointer) -> Place | None:
        """The part whose handle is under the cursor."""
        sized = handle(self._bench)
        near = sized and max(abs(at.x_mm - sized[1][0]), abs(at.y_mm - sized[1][1])) <= at.reach_mm
        return sized[0] if sized and near else None

    def _held_end(self, at: Pointer) -> tuple[Run, Literal["a", "b"]] | None:
        """The selected run one of whose ends is under the cursor, and which end."""
        for run in self._selected_run() if at.hit.end else ():
            if at.hit.end == run.a:
                return run, "a"
            if at.hit.end == run.b:
                return run, "b"
        return None

    def _selected_run(self) -> tuple[Run, ...]:
        """The run, where just one thing is selected and it is a run."""
        keys = self._bench.selection.keys
        runs = self._bench.document.network.runs if len(keys) == 1 else ()
        return tuple(run for run in runs if f"run:{run.id}" in keys)

    def _strayed(self, at: Pointer) -> bool:
        assert self._pressed is not None
        return math.hypot(at.x_mm - self._pressed.x_mm, at.y_mm - self._pressed.y_mm) > STILL_MM

    def _begun(self, start: Pointer) -> Tool:
        kind, key, sized, held = start.hit.kind, start.hit.key, self._on_handle(start), self._held_end(start)
        if sized is not None:
            return ResizeGesture(self._bench, sized, start)
        if held is not None:
            return ReconnectGesture(self._bench, *held, start)
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

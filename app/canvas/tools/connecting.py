"""Drawing a run: from a port, by corners where clicked, to a port. The run is shown as it will be drawn."""

from __future__ import annotations

import math

from app.canvas.bench import Bench
from app.canvas.marks import Marks
from app.canvas.pointer import Pointer
from engine.messages import tr
from engine.model.edits.arranging import straightened
from engine.model.lookup import runs_at
from engine.model.network import End
from engine.model.sheets import Point


class ConnectTool:
    """Click port to port, drag from port to port, or Enter at the crosshair."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._start: End | None = None
        self._points: tuple[Point, ...] = ()
        self._target: End | None = None
        self._at: Point = (0.0, 0.0)
        self._said = ""

    def press(self, at: Pointer) -> None:
        """Takes the port under the cursor as start or as end; on the bare sheet puts a corner."""
        self.move(at)
        if self._start is None:
            self._begin()
        elif self._target is not None:
            self._finish()
        elif at.hit.end == self._start:
            self._points = self._points[:1]
        elif at.hit.kind == "run":
            self._said = tr("A run cannot end on another run. Put a bus or terminal block there and connect to it.")
        elif not at.hit.key:
            self._points = self._line()

    def move(self, at: Pointer) -> None:
        """Finds the port that the next click would take, and shows the run to it."""
        target = self._port_at(at)
        target = None if target == self._start else target
        if self._said and (at.on_module, target) == (self._at, self._target):
            return
        self._at, self._target, self._said = at.on_module, target, ""
        if self._start is None:
            return
        if self._target is None:
            self._bench.preview(None)
            return
        self._said = self._bench.preview(self._bench.connecting(self._start, self._target, self._bends()))

    def release(self, at: Pointer) -> None:
        """The end of a drag: on another port connects, elsewhere the run stays in hand."""
        self.move(at)
        if self._start is not None and self._target is not None:
            self._finish()

    def key(self, name: str) -> bool:
        """No letters."""
        return False

    def cancel(self) -> bool:
        """Takes back the run in hand."""
        begun = self._start is not None
        self._start, self._points, self._target, self._said = None, (), None, ""
        self._bench.preview(None)
        return begun

    def status(self) -> str:
        """Which port the next click takes, or why it cannot."""
        if self._said:
            return self._said
        if self._start is None:
            return tr("Click the port where the run starts.")
        if self._target is None:
            return tr("Click the port where the run ends, or the sheet to put a corner; Esc gives it up.")
        poles = " ".join(self._bench.poles_between(self._start, self._target))
        return tr("Click connects {a} with {b}: {poles}.").format(
            a=self._name(self._start), b=self._name(self._target), poles=poles
        )

    def marks(self) -> Marks:
        """The run in hand while it ends nowhere, the ports it could end on, and the one it would."""
        spots = self._bench.shown.ports
        ends = [key for key in spots if self._start is None or self._fits(End(part=key[0], port=key[1]))]
        target = spots.get((self._target.part, self._target.port)) if self._target else None
        return Marks(
            line=self._line() if self._start and (self._target is None or self._said) else (),
            ports=tuple((spots[key].x_mm, spots[key].y_mm) for key in ends),
            target=(target.x_mm, target.y_mm) if target else None,
            refused=bool(self._said),
        )

    def _begin(self) -> None:
        if self._target is None:
            self._said = tr("A run starts on a port: click one of the dots.")
            return
        spot = self._bench.drawing.ports[(self._target.part, self._target.port)]
        self._start, self._target = self._target, None
        self._points = ((spot.x_mm, spot.y_mm),)

    def _finish(self) -> None:
        assert self._start is not None
        assert self._target is not None
        made = f"run:w{self._bench.document.next_id}"
        if self._bench.apply(self._bench.connecting(self._start, self._target, self._bends()), tr("Connect")):
            self._bench.selection.set((made,))
        self.cancel()

    def _port_at(self, at: Pointer) -> End | None:
        """The port that was hit; on the body of a part the nearest that fits, free ones first."""
        if at.hit.end is not None or not at.hit.part:
            return at.hit.end
        landing = runs_at(self._bench.document.network)
        fitting = [
            ((part, port) in landing, math.hypot(spot.x_mm - at.x_mm, spot.y_mm - at.y_mm), port)
            for (part, port), spot in self._bench.drawing.ports.items()
            if part == at.hit.part and (self._start is None or self._fits(End(part=part, port=port)))
        ]
        return End(part=at.hit.part, port=min(fitting)[2]) if fitting else None

    def _fits(self, end: End) -> bool:
        return self._start is not None and end != self._start and bool(self._bench.poles_between(self._start, end))

    def _line(self) -> tuple[Point, ...]:
        """The run in hand, square at every corner."""
        return led(self._points, self._at, self._turns_flat())

    def _turns_flat(self) -> bool:
        """Whether the next leg is level: as the port faces, then by turns."""
        if len(self._points) > 1:
            return self._points[-2][0] == self._points[-1][0]
        return self._start is None or self._level(self._start)

    def _level(self, end: End) -> bool:
        return self._bench.drawing.ports[(end.part, end.port)].side in ("left", "right")

    def _bends(self) -> tuple[Point, ...]:
        """Its corners once it ends on the target; none clicked: led automatically."""
        if len(self._points) < 2 or self._target is None:
            return ()
        spot = self._bench.drawing.ports[(self._target.part, self._target.port)]
        return arriving(self._points, (spot.x_mm, spot.y_mm), self._level(self._target))[1:-1]

    def _name(self, end: End) -> str:
        part = next(part for part in self._bench.document.network.parts if part.id == end.part)
        return f"{part.designation} {end.port}"


def led(points: tuple[Point, ...], to: Point, level_first: bool) -> tuple[Point, ...]:
    """The line carried on to a point, with one corner where that is not straight on."""
    x, y = points[-1]
    return straightened((*points, (to[0], y) if level_first else (x, to[1]), to))


def arriving(points: tuple[Point, ...], to: Point, level: bool) -> tuple[Point, ...]:
    """The line carried on to a port that is entered level or upright, unless it would run back over itself."""
    return led(points, to, not level if not _runs_back(points, to, not level) else level)


def _runs_back(points: tuple[Point, ...], to: Point, level_first: bool) -> bool:
    """Whether a next leg that is level (or upright) would lie on the one before it."""
    if len(points) < 2:
        return False
    (ax, ay), (bx, by) = points[-2:]
    came, goes = (bx - ax, to[0] - bx) if level_first else (by - ay, to[1] - by)
    return came * goes < 0

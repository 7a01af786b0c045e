"""Taking one end of a selected run to another port."""

from __future__ import annotations

from typing import Literal

from app.canvas.bench import Bench
from app.canvas.marks import Marks
from app.canvas.pointer import Pointer
from app.store import Edit
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.fields import set_run_fields
from engine.model.edits.records import EditRefused
from engine.model.edits.wiring import reconnect, shared_poles
from engine.model.network import End, Run
from engine.model.sheets import Point


class ReconnectGesture:
    """From the press on the end of a run to the release on another port."""

    def __init__(self, bench: Bench, run: Run, which: Literal["a", "b"], start: Pointer) -> None:
        self._bench, self._run, self._which = bench, run, which
        self._at, self._target, self._said = start.point, start.hit.end, ""

    def press(self, at: Pointer) -> None:
        """Nothing: the button is already down."""

    def move(self, at: Pointer) -> None:
        """Shows the run to the port under the cursor."""
        self._at, self._target = at.point, at.hit.end
        self._said = self._bench.preview(self._edit(self._target) if self._target else None)

    def release(self, at: Pointer) -> None:
        """On a port connects there; elsewhere all stays as it was."""
        self.move(at)
        if self._target is not None:
            self._bench.apply(self._edit(self._target), tr("Connect elsewhere"))
        self._bench.preview(None)

    def key(self, name: str) -> bool:
        """No letters."""
        return False

    def cancel(self) -> bool:
        """The run as it was."""
        self._bench.preview(None)
        return True

    def status(self) -> str:
        """What the release does."""
        return self._said or tr("Release this end of run {number} on the port where it shall land.").format(
            number=self._run.number
        )

    def marks(self) -> Marks:
        """A line from the other end while there is no port, and the port there is."""
        spots = self._bench.drawing.ports
        kept = self._run.b if self._which == "a" else self._run.a
        far, target = spots.get((kept.part, kept.port)), self._target
        spot = spots.get((target.part, target.port)) if target else None
        line: tuple[Point, ...] = ((far.x_mm, far.y_mm), self._at) if far and (target is None or self._said) else ()
        return Marks(line=line, target=(spot.x_mm, spot.y_mm) if spot else None, refused=bool(self._said))

    def _edit(self, end: End) -> Edit:
        run, which, poles = self._run, self._which, self._poles(end)

        def edit(document: Document) -> Document:
            if not poles:
                raise EditRefused("no-poles", {"number": run.number})
            made = reconnect(document, run.id, which, end)
            return made if poles == run.poles else set_run_fields(made, run.id, poles=poles)

        return edit

    def _poles(self, end: End) -> tuple[str, ...]:
        """What the run can carry there; past an in-line device the poles it does not take go straight through."""
        port = self._bench.port(end)
        shared = shared_poles(self._run.poles, port.poles) if port else ()
        return self._run.poles if shared and self._bench.is_inline(end) else shared

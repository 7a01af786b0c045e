"""Putting a new part on the sheet: its ghost follows the cursor on the module; over a run, an in-line part goes in."""

from __future__ import annotations

from collections.abc import Callable

from app.canvas.bench import Bench
from app.canvas.marks import Marks
from app.canvas.pointer import Pointer
from app.store import Edit
from engine.library.device import DeviceKind
from engine.messages import tr
from engine.model.edits.arranging import TURNED
from engine.model.edits.placing import new_part_id, place_part
from engine.model.edits.wiring import insert_inline
from engine.model.sheets import Point, Rotation


class PlaceTool:
    """One kind of part in hand; `done` is called when it is put down, unless Shift keeps it in hand."""

    def __init__(self, bench: Bench, kind: DeviceKind, done: Callable[[], None]) -> None:
        self._bench, self._kind, self._done = bench, kind, done
        self._at: Point | None = None
        self._run = ""
        self._along: Rotation = 0
        self._rotation: Rotation = 0
        self._mirrored = False
        self._said = ""

    def press(self, at: Pointer) -> None:
        """Puts the part down."""
        self.move(at)
        part = new_part_id(self._bench.document)
        if self._bench.apply(self._edit(), tr("Place {kind}").format(kind=self._kind.title)):
            self._bench.selection.set((f"part:{part}",))
            if not at.shift:
                self._done()

    def move(self, at: Pointer) -> None:
        """Shows the part where it would stand."""
        run = at.hit.key.partition(":")[2] if at.hit.kind == "run" and len(self._kind.inline) == 2 else ""
        if (at.on_module, run) != (self._at, self._run):
            self._at, self._run = at.on_module, run
            self._along = heading(self._bench.drawing.paths[run], at.hit.leg) if run else 0
            self._said = self._bench.preview(self._edit())

    def release(self, at: Pointer) -> None:
        """Nothing: the press has done it."""

    def key(self, name: str) -> bool:
        """R turns the part in hand, M mirrors it."""
        if name == "R":
            self._rotation = TURNED[self._rotation]
        elif name == "M":
            self._mirrored = not self._mirrored
        else:
            return False
        if self._at:
            self._said = self._bench.preview(self._edit())
        return True

    def cancel(self) -> bool:
        """Puts the part back in Stores."""
        self._bench.preview(None)
        self._done()
        return True

    def status(self) -> str:
        """What the click does."""
        if self._said:
            return self._said
        if self._run:
            return tr("Click puts the {kind} into this run.").format(kind=self._kind.title)
        return tr("Click places {kind}; R turns, M mirrors, Shift keeps it in hand, Esc gives up.").format(
            kind=self._kind.title
        )

    def marks(self) -> Marks:
        """Whether the click would be refused."""
        return Marks(refused=bool(self._said))

    def _edit(self) -> Edit:
        kind, sheet_id, (x, y), run = self._kind, self._bench.sheet_id, self._at or (0.0, 0.0), self._run
        if run:
            along = self._along
            return lambda document: insert_inline(document, run, kind, sheet_id, x, y, rotation=along)
        rotation, mirrored = self._rotation, self._mirrored
        return lambda document: place_part(document, kind, sheet_id, x, y, rotation=rotation, mirrored=mirrored)


def heading(points: tuple[Point, ...], leg: int) -> Rotation:
    """How a part must be turned for a leg of a run to enter at its left and leave at its right."""
    (ax, ay), (bx, by) = points[leg], points[leg + 1]
    if abs(bx - ax) >= abs(by - ay):
        return 0 if bx >= ax else 180
    return 90 if by >= ay else 270

"""Putting a part of the boat on one more sheet."""

from __future__ import annotations

from collections.abc import Callable

from app.canvas.bench import Bench
from app.canvas.marks import Marks
from app.canvas.pointer import Pointer
from app.store import Edit
from engine.messages import tr
from engine.model.edits.arranging import TURNED
from engine.model.edits.placing import place_existing
from engine.model.network import Part
from engine.model.sheets import Point, Rotation


class StandTool:
    """One part of the boat in hand; `done` is called when it is put down."""

    def __init__(self, bench: Bench, part: Part, done: Callable[[], None]) -> None:
        self._bench, self._part, self._done = bench, part, done
        self._at: Point = (0.0, 0.0)
        self._rotation: Rotation = 0
        self._mirrored = False
        self._said = ""

    def press(self, at: Pointer) -> None:
        """Puts the part down."""
        self.move(at)
        if self._bench.apply(self._edit(), tr("Place {name} again").format(name=self._part.designation)):
            self._bench.selection.set((f"part:{self._part.id}",))
            self._done()

    def move(self, at: Pointer) -> None:
        """Shows the part where it would stand."""
        self._at = at.on_module
        self._said = self._bench.preview(self._edit())

    def release(self, at: Pointer) -> None:
        """Nothing: the press has done it."""

    def key(self, name: str) -> bool:
        """R turns the part in hand, M mirrors it."""
        if name not in ("R", "M"):
            return False
        self._rotation = TURNED[self._rotation] if name == "R" else self._rotation
        self._mirrored = self._mirrored != (name == "M")
        self._said = self._bench.preview(self._edit())
        return True

    def cancel(self) -> bool:
        """Gives up."""
        self._bench.preview(None)
        self._done()
        return True

    def status(self) -> str:
        """What the click does."""
        return self._said or tr("Click places {name} on this sheet too; R turns, M mirrors, Esc gives up.").format(
            name=self._part.designation
        )

    def marks(self) -> Marks:
        """Whether the click would be refused."""
        return Marks(refused=bool(self._said))

    def _edit(self) -> Edit:
        part, sheet_id, (x, y) = self._part.id, self._bench.sheet_id, self._at
        rotation, mirrored = self._rotation, self._mirrored
        return lambda document: place_existing(document, part, sheet_id, x, y, rotation=rotation, mirrored=mirrored)

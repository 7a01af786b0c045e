"""Making a bar, block or board longer or wider by its handle."""

from __future__ import annotations

from app.canvas.bench import Bench
from app.canvas.marks import NO_MARKS, Marks
from app.canvas.pointer import Pointer
from app.store import Edit
from engine.messages import tr
from engine.model.edits.arranging import resize
from engine.model.sheets import Place, Point

SIZED = ("bar", "block", "board")
"""What can be given a size."""


class ResizeGesture:
    """From the press on the handle to its release."""

    def __init__(self, bench: Bench, place: Place, start: Pointer) -> None:
        self._bench, self._place, self._start, self._at = bench, place, start, start
        left, top, right, bottom = bench.drawing.boxes[f"part:{place.part}"]
        self._width, self._height = place.width_mm or right - left, place.height_mm or bottom - top

    def press(self, at: Pointer) -> None:
        """Nothing: the button is already down."""

    def move(self, at: Pointer) -> None:
        """Shows the part as large as it would be."""
        if at.on_module != self._at.on_module:
            self._at = at
            self._bench.preview(self._edit())

    def release(self, at: Pointer) -> None:
        """Leaves it as it is shown."""
        self._at = at
        self._bench.apply(self._edit(), tr("Change the size"))

    def key(self, name: str) -> bool:
        """No letters."""
        return False

    def cancel(self) -> bool:
        """As large as it was."""
        self._bench.preview(None)
        return True

    def status(self) -> str:
        """What the release does."""
        return tr("Release to give it this size; Esc leaves it as it was.")

    def marks(self) -> Marks:
        """None."""
        return NO_MARKS

    def _edit(self) -> Edit:
        sheet_id, place = self._bench.sheet_id, self._place
        width = self._width + self._at.x_mm - self._start.x_mm
        height = self._height + self._at.y_mm - self._start.y_mm
        if symbol_of(self._bench, place.part) != "board":
            turned = place.rotation == 90
            return lambda document: resize(
                document, sheet_id, place.part, width if turned else None, None if turned else height
            )
        return lambda document: resize(document, sheet_id, place.part, width, height)


def symbol_of(bench: Bench, part_id: str) -> str:
    """The symbol of a part's kind; "" where it is not known."""
    kinds = (bench.library.get(part.kind) for part in bench.document.network.parts if part.id == part_id)
    kind = next(kinds, None)
    return kind.symbol if kind else ""


def handle(bench: Bench) -> tuple[Place, Point] | None:
    """Where the one selected part can be taken hold of to give it a size."""
    selected = bench.selection.ids("part") if len(bench.selection.keys) == 1 else frozenset()
    for place in bench.sheet.places if selected else ():
        box = bench.drawing.boxes.get(f"part:{place.part}")
        if place.part in selected and box and place.rotation in (0, 90) and symbol_of(bench, place.part) in SIZED:
            return place, (box[2], box[3])
    return None

"""The boundary round the AC parts of a sheet that shows both systems: a dash-dot line, a word, the warning triangle.

Drawn only where it encloses no part of the other system; a sheet of one system needs none. Knows no run.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from engine.drawing.bounds import overlap, union
from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.glyphs import warning_triangle
from engine.drawing.labels import Ground
from engine.drawing.metrics import Box, text_box
from engine.drawing.outline import rectangle
from engine.drawing.placed import PlacedPart
from engine.drawing.ports import grown
from engine.library.expand import ports_of
from engine.messages import tr
from engine.model.network import AC_POLES, DC_POLES

Tags = Mapping[str, Sequence[Text]]
"""The tag of each part, by its id."""

CLEAR_MM = 5.0
DASH_MM = (4.0, 1.0, 0.5, 1.0)
TRIANGLE_MM = 6.5


def ac_boundary(placed: Iterable[PlacedPart], tags: Tags, inside: Box, ground: Ground) -> Group | None:
    """The boundary, its mark standing on free ground in a corner; None where it is not needed or cannot be drawn."""
    listed = list(placed)
    ac = [box for one in listed if _is_ac(one) for box in _boxes(one, tags)]
    others = [box for one in listed if not _is_ac(one) for box in _boxes(one, tags)]
    around = union(ac)
    if around is None or not others:
        return None
    box = _within(grown(around, CLEAR_MM), inside)
    if any(overlap(box, other) for other in others):
        return None
    outline = rectangle(box[0], box[1], box[2] - box[0], box[3] - box[1], 2.0)
    return Group("boundary", (Path(outline, Pen("ac.boundary", 0.35, DASH_MM), "ac.fill"), *_mark(box, ground)))


def _boxes(one: PlacedPart, tags: Tags) -> list[Box]:
    """What a part and its tag take."""
    return [one.box, *(text_box(text) for text in tags.get(one.part.id, ()))]


def _is_ac(one: PlacedPart) -> bool:
    """Whether all it has to do with is alternating current."""
    poles = {pole for port in ports_of(one.part, one.kind) for pole in port.poles}
    return bool(poles & AC_POLES) and not poles & DC_POLES


def _within(box: Box, inside: Box) -> Box:
    return (max(box[0], inside[0]), max(box[1], inside[1]), min(box[2], inside[2]), min(box[3], inside[3]))


def _mark(box: Box, ground: Ground) -> Sequence[Item]:
    """Triangle and words in the first free corner, the upper ones first."""
    width, height = 32.0, TRIANGLE_MM + 1.0
    for x in (box[0] + 1.5, box[2] - width - 1.5):
        for y in (box[1] + 1.0, box[3] - height - 1.0):
            spot = (x, y, x + width, y + height)
            if ground.is_free(spot):
                ground.take(spot)
                words = Text(
                    x + TRIANGLE_MM + 2.0, y + height - 2.0, tr("Alternating current"), 2.0, colour="ac.boundary"
                )
                return (*warning_triangle(x + TRIANGLE_MM / 2 + 0.5, y + height - 1.0, TRIANGLE_MM), words)
    return ()

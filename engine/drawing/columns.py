"""Arranges parts in columns by their distance from the sources, each in line with the pin that feeds it.

Returns and grounds stand along the foot. Knows shapes and runs, no devices.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import msgspec

from engine.drawing.bounds import overlap
from engine.drawing.metrics import Box, text_width_mm
from engine.drawing.ports import grown, moved_box, on_module
from engine.drawing.shapes import PartShape
from engine.drawing.sheets import SheetFormat, drawing_area, drawing_space, title_box
from engine.model.network import End, Run
from engine.model.sheets import MODULE_MM, Place, Rotation

GAP_MM = 17.5
WAY_GAP_MM = 45.0
LANE_MM = 2.5
MOST_LANES = 8
FOOT_GAP_MM = 20.0
APART_MM = 2.0
FLAG_MM = 32.5
RETURNS = frozenset({"-", "PE", "BOND"})


class Cell(msgspec.Struct, frozen=True):
    """A part to be placed: its shape, its mirrored shape, and where it belongs."""

    part: str
    shape: PartShape
    mirrored: PartShape
    rotation: Rotation = 0
    source: bool = False
    foot: int = 0
    """0: stands in a column; else its rank in the row along the foot."""
    height_mm: float | None = None


class _Stand(msgspec.Struct, frozen=True):
    """A cell that has got its place."""

    cell: Cell
    x: float
    y: float
    flipped: bool = False

    @property
    def shape(self) -> PartShape:
        return self.cell.mirrored if self.flipped else self.cell.shape

    @property
    def box(self) -> Box:
        return moved_box(self.shape.box, self.x, self.y)

    def pin_y(self, port: str) -> float:
        pin = self.shape.pin(port)
        return self.y + (pin.y_mm if pin else 0.0)

    def place(self) -> Place:
        return Place(
            part=self.cell.part,
            x_mm=self.x,
            y_mm=self.y,
            rotation=self.cell.rotation,
            mirrored=self.flipped,
            height_mm=self.cell.height_mm,
        )


class _Link(msgspec.Struct, frozen=True):
    """What feeds a part: the port of the part before it, and its own port."""

    before: End
    port: str


def arrange(cells: Mapping[str, Cell], runs: Sequence[Run], paper: SheetFormat) -> tuple[list[Place], bool]:
    """Places for all cells, and whether they all fit on the paper clear of frame and title block."""
    area = drawing_area(paper)
    led = [run for run in runs if run.a.part in cells and run.b.part in cells]
    forward = [run for run in led if not set(run.poles) <= RETURNS and not _at_foot(run, cells)]
    columns, links = _columns(cells, forward)
    flagged = {end.port: end.part for run in runs for end in _ends_elsewhere(run, cells)}
    start = area[0] + (FLAG_MM if _flags_left(columns, flagged) else 5.0)
    stands = _stand_columns(columns, links, forward, (start, *area[1:]))
    lowest = max((stand.box[3] for stand in stands.values()), default=area[1])
    foot = [cell for cell in cells.values() if cell.foot]
    stands |= _stand_foot(foot, lowest, area)
    return [stands[part].place() for part in cells], all(_fits(stand, paper) for stand in stands.values())


def _ends_elsewhere(run: Run, cells: Mapping[str, Cell]) -> list[End]:
    """The end that is here of a run that goes to another sheet."""
    here = [end for end in (run.a, run.b) if end.part in cells]
    return here if len(here) == 1 else []


def _flags_left(columns: Sequence[Sequence[Cell]], flagged: Mapping[str, str]) -> bool:
    """Whether flags stand to the left of the first column."""
    first = {cell.part: cell.shape for cell in columns[0]} if columns else {}
    pins = [first[part].pin(port) for port, part in flagged.items() if part in first and first[part].positions]
    return any(pin is not None and pin.sides[0] == "left" for pin in pins)


def _at_foot(run: Run, cells: Mapping[str, Cell]) -> bool:
    return bool(cells[run.a.part].foot or cells[run.b.part].foot)


def _columns(cells: Mapping[str, Cell], runs: Sequence[Run]) -> tuple[list[list[Cell]], dict[str, _Link]]:
    """Waves outwards from the sources; what no source reaches comes first in a column of its own at the end."""
    upper = {part: cell for part, cell in cells.items() if not cell.foot}
    links: dict[str, _Link] = {}
    wave = [part for part, cell in upper.items() if cell.source and not _is_fed(part, runs, upper)]
    wave = wave or [part for part, cell in upper.items() if cell.source] or list(upper)[:1]
    seen = set(wave)
    columns: list[list[Cell]] = []
    while wave:
        columns.append([upper[part] for part in wave])
        wave = _next_wave(wave, runs, seen, links)
    rest = [cell for part, cell in upper.items() if part not in seen]
    return ([*columns, rest] if rest else columns), links


def _is_fed(part: str, runs: Sequence[Run], cells: Mapping[str, Cell]) -> bool:
    """A converter on a sheet where its supply comes from a panel is no source there."""
    shape = cells[part].shape
    sides = {pin.port: pin.sides[0] for pin in shape.pins}
    landed = {end.port for run in runs for end in (run.a, run.b) if end.part == part}
    return bool(landed) and all(sides.get(port) == "left" for port in landed)


def _next_wave(wave: Sequence[str], runs: Sequence[Run], seen: set[str], links: dict[str, _Link]) -> list[str]:
    found: list[str] = []
    for part in wave:
        for run in runs:
            for here, there in ((run.a, run.b), (run.b, run.a)):
                if here.part == part and there.part not in seen:
                    seen.add(there.part)
                    links[there.part] = _Link(here, there.port)
                    found.append(there.part)
    return found


def _stand_columns(
    columns: Sequence[Sequence[Cell]], links: Mapping[str, _Link], runs: Sequence[Run], area: Box
) -> dict[str, _Stand]:
    stands: dict[str, _Stand] = {}
    x = area[0]
    for number, column in enumerate(columns):
        flips = {cell.part: _is_flipped(cell, links.get(cell.part)) for cell in column}
        left = max((_reach_left(cell, flips[cell.part]) for cell in column), default=0.0)
        x = _up(x + left)
        stands |= _stand_column(column, flips, links, stands, x, area)
        right = max(_reach_right(stands[cell.part]) for cell in column)
        x += right + _gap(columns, number, runs)
    return stands


def _is_flipped(cell: Cell, link: _Link | None) -> bool:
    """A part fed at its right side is turned round."""
    pin = cell.shape.pin(link.port) if link else None
    sides = {pin.sides[0] for pin in cell.shape.pins}
    return pin is not None and pin.sides == ("right",) and "left" in sides | {"left"} and not cell.source


def _reach_left(cell: Cell, flipped: bool) -> float:
    shape = cell.mirrored if flipped else cell.shape
    return max(-shape.box[0], _tag_width(shape) / 2 if not _tag_beside(shape) else 0.0)


def _reach_right(stand: _Stand) -> float:
    shape = stand.shape
    tag = _tag_width(shape)
    return shape.box[2] + tag + 2.5 if _tag_beside(shape) else max(shape.box[2], tag / 2)


def _tag_width(shape: PartShape) -> float:
    if _tag_beside(shape):
        first = sum(text_width_mm(line.string, line.height_mm, line.weight) + 1.5 for line in shape.tags[:2])
        return max([first, *(text_width_mm(line.string, line.height_mm) for line in shape.tags[2:])])
    return max((text_width_mm(line.string, line.height_mm, line.weight) for line in shape.tags), default=0.0)


def _tag_beside(shape: PartShape) -> bool:
    """Parts with pins at the left only carry their tag at the right."""
    sides = {side for pin in shape.pins for side in pin.sides}
    return bool(shape.tags) and "left" in sides and "right" not in sides


def _gap(columns: Sequence[Sequence[Cell]], number: int, runs: Sequence[Run]) -> float:
    """Room for lanes; behind a panel also for the tags of its ways."""
    if number + 1 >= len(columns):
        return 0.0
    if any(cell.shape.positions for cell in columns[number]):
        return WAY_GAP_MM
    here, after = ({cell.part for cell in columns[n]} for n in (number, number + 1))
    lanes = sum({run.a.part, run.b.part} & here != set() and {run.a.part, run.b.part} & after != set() for run in runs)
    return GAP_MM + LANE_MM * min(lanes, MOST_LANES)


def _stand_column(
    column: Sequence[Cell],
    flips: Mapping[str, bool],
    links: Mapping[str, _Link],
    before: Mapping[str, _Stand],
    x: float,
    area: Box,
) -> dict[str, _Stand]:
    """In line with what feeds them, from the top down, none on another."""
    wanted = [
        (_wanted_y(cell, flips[cell.part], links.get(cell.part), before, area), n) for n, cell in enumerate(column)
    ]
    stands: dict[str, _Stand] = {}
    foot = area[1]
    for y, n in sorted(wanted):
        cell = column[n]
        shape = cell.mirrored if flips[cell.part] else cell.shape
        above, below = _tag_room(shape)
        y = max(y, _up(foot - shape.box[1] + above))
        stands[cell.part] = _Stand(cell, x, y, flips[cell.part])
        foot = y + shape.box[3] + below + (0.0 if _tag_beside(shape) else APART_MM)
    return stands


def _wanted_y(cell: Cell, flipped: bool, link: _Link | None, before: Mapping[str, _Stand], area: Box) -> float:
    if link is None or link.before.part not in before:
        return area[1]
    shape = cell.mirrored if flipped else cell.shape
    pin = shape.pin(link.port)
    return on_module(before[link.before.part].pin_y(link.before.port) - (pin.y_mm if pin else 0.0))


def _tag_room(shape: PartShape) -> tuple[float, float]:
    """Height above and below a part that its tag takes, and a run that leaves at its foot."""
    if not shape.tags or _tag_beside(shape):
        return (0.0, 7.5 if _leaves_below(shape) else 0.0)
    sides = {side for pin in shape.pins for side in pin.sides}
    lines = [line.height_mm * 1.6 for line in shape.tags]
    if sides == {"left", "right"} and shape.box[3] - shape.box[1] <= 15.0:
        return (lines[0] + 1.0, sum(lines[1:]) + 1.0)
    return (sum(lines) + 1.0, 2.5 if "bottom" not in sides else 7.5)


def _leaves_below(shape: PartShape) -> bool:
    """A lead at the foot that is drawn ends at the edge of the box; one that is left out does not."""
    return any(pin.sides == ("bottom",) and abs(pin.y_mm - shape.box[3]) < 0.1 for pin in shape.pins)


def _stand_foot(foot: Sequence[Cell], lowest: float, area: Box) -> dict[str, _Stand]:
    """Returns and grounds in one row below everything."""
    stands: dict[str, _Stand] = {}
    x, y = area[0] + 20.0, _up(lowest + FOOT_GAP_MM)
    for cell in sorted(foot, key=lambda one: one.foot):
        shape = cell.shape
        x = _up(x - shape.box[0])
        stands[cell.part] = _Stand(cell, x, y if cell.rotation else y + (-12.5, 5.0)[cell.foot > 1])
        x += shape.box[2] + max(20.0, _tag_width(shape) + 15.0)
    return stands


def _fits(stand: _Stand, paper: SheetFormat) -> bool:
    x0, y0, x1, y1 = drawing_space(paper)
    box = stand.box
    right = box[2] + (_tag_width(stand.shape) + 2.0 if _tag_beside(stand.shape) else 0.0)
    inside = box[0] >= x0 + 2.5 and box[1] >= y0 + 2.5 and right <= x1 - 1.0 and box[3] <= y1 - 2.5
    return inside and not overlap(grown(box, 2.5), title_box(paper))


def _up(value_mm: float) -> float:
    return math.ceil(value_mm / MODULE_MM - 1e-9) * MODULE_MM

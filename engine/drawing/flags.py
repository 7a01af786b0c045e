"""Draws the flags of runs that go on elsewhere: a short stub and a pointed label. Placed before the runs are led."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import msgspec

from engine.drawing.crossref import Flag
from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.labels import Ground
from engine.drawing.metrics import Box, text_width_mm
from engine.drawing.outline import Point, polyline
from engine.drawing.placed import PlacedPart
from engine.drawing.ports import STEP, Side

TEXT_MM = 1.8
ROW_MM = 3.2
POINT_MM = 1.5
STUBS_MM = (5.0, 7.5, 10.0, 15.0, 20.0, 30.0)


class PlacedFlag(msgspec.Struct, frozen=True):
    """The flags of one port: where the stub leaves and ends, and the box of the labels."""

    flags: tuple[Flag, ...]
    start: Point
    end: Point
    side: Side
    box: Box


def place_flags(listed: Iterable[Flag], placed: Mapping[str, PlacedPart], ground: Ground) -> list[PlacedFlag]:
    """One pointed label for each port, at the shortest stub where it touches nothing."""
    by_port: dict[tuple[str, str], list[Flag]] = {}
    for flag in listed:
        by_port.setdefault((flag.here.part, flag.here.port), []).append(flag)
    made = []
    for (part, port), flags in by_port.items():
        one = _free(tuple(flags), placed[part], port, ground)
        ground.take(one.box)
        ground.take(_strip(one.start, one.end))
        made.append(one)
    return made


def _free(flags: tuple[Flag, ...], part: PlacedPart, port: str, ground: Ground) -> PlacedFlag:
    pin = part.pin(port)
    start = (pin.x_mm + part.x_mm, pin.y_mm + part.y_mm)
    every = [_at(flags, start, side, stub) for stub in STUBS_MM for side in pin.sides]
    return next((one for one in every if ground.is_free(one.box)), every[0])


def _at(flags: tuple[Flag, ...], start: Point, side: Side, stub: float) -> PlacedFlag:
    dx, dy = STEP[side]
    end = (start[0] + dx * stub, start[1] + dy * stub)
    width = max(text_width_mm(flag.text, TEXT_MM) for flag in flags) + 2.0 + POINT_MM
    height = ROW_MM * len(flags) + 0.4
    if dx:
        left = end[0] if dx > 0 else end[0] - width
        box = (left, end[1] - height / 2, left + width, end[1] + height / 2)
    else:
        top = end[1] if dy > 0 else end[1] - height
        box = (end[0] - width / 2, top, end[0] + width / 2, top + height)
    return PlacedFlag(flags, start, end, side, box)


def _strip(a: Point, b: Point) -> Box:
    return min(a[0], b[0]) - 0.5, min(a[1], b[1]) - 0.5, max(a[0], b[0]) + 0.5, max(a[1], b[1]) + 0.5


def flag_groups(one: PlacedFlag) -> Iterator[Group]:
    """The label of each run, under the run's key, with its link; the stubs are drawn as wires."""
    yield Group(f"run:{one.flags[0].run}", (Path(_outline(one), Pen("ink", 0.18), "paper"),))
    for number, flag in enumerate(one.flags):
        y = one.box[1] + 0.2 + ROW_MM * (number + 0.5) + TEXT_MM / 2
        x = one.box[0] + 1.0 + (POINT_MM if one.side == "left" else 0.0)
        text: Item = Text(x, y, flag.text, TEXT_MM)
        yield Group(f"run:{flag.run}", (Group(f"link:{flag.anchor}", (text,)) if flag.anchor else text,))


def _outline(one: PlacedFlag) -> tuple[tuple[str, tuple[float, ...]], ...]:
    """A rectangle with a point away from the stub; above and below a plain rectangle."""
    x0, y0, x1, y1 = one.box
    middle = (y0 + y1) / 2
    if one.side == "right":
        return polyline(((x0, y0), (x1 - POINT_MM, y0), (x1, middle), (x1 - POINT_MM, y1), (x0, y1)), closed=True)
    if one.side == "left":
        return polyline(((x1, y0), (x0 + POINT_MM, y0), (x0, middle), (x0 + POINT_MM, y1), (x1, y1)), closed=True)
    return polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)

"""The box that items of a display list fill, and the items moved about. Knows no symbol and no backend."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from engine.drawing.display import Group, Image, Item, Path, Text
from engine.drawing.metrics import Box, text_box
from engine.drawing.outline import bounds, transformed, translation


def item_box(item: Item) -> Box | None:
    """The box (mm) of an item with the width of its stroke; None for an empty group or outline."""
    match item:
        case Group():
            return items_box(item.items)
        case Text():
            return text_box(item)
        case Image():
            return (item.x_mm, item.y_mm, item.x_mm + item.width_mm, item.y_mm + item.height_mm)
    return _path_box(item) if item.outline else None


def items_box(items: Iterable[Item]) -> Box | None:
    """The box (mm) round all the items, None if there are none."""
    return union(box for item in items if (box := item_box(item)))


def union(boxes: Iterable[Box]) -> Box | None:
    """The box round boxes, None if there are none."""
    every = list(boxes)
    if not every:
        return None
    lefts, tops, rights, feet = zip(*every, strict=True)
    return (min(lefts), min(tops), max(rights), max(feet))


def overlap(one: Box, other: Box, clearance_mm: float = 0.0) -> bool:
    """True where two boxes share some area, or come closer than the clearance."""
    apart_x = one[0] >= other[2] + clearance_mm or other[0] >= one[2] + clearance_mm
    apart_y = one[1] >= other[3] + clearance_mm or other[1] >= one[3] + clearance_mm
    return not (apart_x or apart_y)


def moved(item: Item, x_mm: float, y_mm: float) -> Item:
    """The item further to the right and down."""
    if isinstance(item, Path):
        return msgspec.structs.replace(item, outline=transformed(item.outline, translation(x_mm, y_mm)))
    if isinstance(item, Group):
        return Group(item.key, tuple(moved(inner, x_mm, y_mm) for inner in item.items))
    return msgspec.structs.replace(item, x_mm=item.x_mm + x_mm, y_mm=item.y_mm + y_mm)


def texts(items: Iterable[Item]) -> Iterator[Text]:
    """Every text in the items, in drawing order."""
    for item in items:
        if isinstance(item, Group):
            yield from texts(item.items)
        elif isinstance(item, Text):
            yield item


def _path_box(path: Path) -> Box:
    x0, y0, x1, y1 = bounds(path.outline)
    half_mm = path.pen.width_mm / 2 if path.pen else 0.0
    return (x0 - half_mm, y0 - half_mm, x1 + half_mm, y1 + half_mm)

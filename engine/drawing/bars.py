"""Bars (buses with studs) and blocks (terminal strips), made to the number of their studs.

A bar runs down from its first stud; turned by 90 degrees it runs to the right. Runs land on a stud from either side.
"""

from __future__ import annotations

from engine.drawing.display import Item, Path, Pen, Text
from engine.drawing.metrics import Box
from engine.drawing.outline import Point, box_of, circle, line, rectangle
from engine.drawing.ports import ShapePin, Side, grown
from engine.drawing.shapes import LINE_MM, PartShape, Variant, tag_lines
from engine.library.device import DeviceKind
from engine.library.expand import ports_of
from engine.model.network import Part

PITCH_MM = 5.0
END_MM = 2.5
BAR_MM = 1.4
HALF_MM = 1.25
STUD_MM = 0.75
MARK_MM = 2.3
DIRECTION: dict[int, Point] = {0: (0.0, 1.0), 90: (1.0, 0.0), 180: (0.0, -1.0), 270: (-1.0, 0.0)}


def bar_shape(part: Part, kind: DeviceKind, variant: Variant) -> PartShape:
    """A heavy bar with a stud for each port and, where it has one, its battery's number in a circle at its head."""
    studs = _studs(part, kind, variant)
    dx, dy = DIRECTION[variant.rotation]
    first, last = studs[0][1], studs[-1][1]
    head = (first[0] - END_MM * dx, first[1] - END_MM * dy)
    foot = (last[0] + END_MM * dx, last[1] + END_MM * dy)
    items: list[Item] = [Path(line(*head, *foot), Pen("ink", BAR_MM))]
    items += [Path(circle(x, y, STUD_MM), Pen("ink", 0.18), "paper") for _, (x, y) in studs]
    box = grown(box_of((head, foot)), HALF_MM)
    mark = str(part.values.get("battery_number") or "")
    if mark:
        centre = (head[0] - (MARK_MM + HALF_MM) * dx, head[1] - (MARK_MM + HALF_MM) * dy)
        items += _battery_mark(centre, mark)
        box = box_of((*_corners(box), *_corners(grown((*centre, *centre), MARK_MM))))
    return PartShape(box, _pins(studs, variant), tuple(items), tag_lines(part, kind))


def block_shape(part: Part, kind: DeviceKind, variant: Variant) -> PartShape:
    """A strip of numbered terminals."""
    studs = _studs(part, kind, variant)
    half = PITCH_MM / 2
    items: list[Item] = []
    for number, (_, (x, y)) in enumerate(studs, 1):
        items.append(Path(rectangle(x - half, y - half, PITCH_MM, PITCH_MM), Pen("ink", LINE_MM), "paper"))
        items.append(Text(x, y + 0.9, str(number), 1.8, "middle"))
    box = grown(box_of([point for _, point in studs]), half)
    return PartShape(box, _pins(studs, variant), tuple(items), tag_lines(part, kind))


def _studs(part: Part, kind: DeviceKind, variant: Variant) -> list[tuple[str, Point]]:
    ports = [port.name for port in ports_of(part, kind)] or ["s1"]
    dx, dy = DIRECTION[variant.rotation]
    length_mm = (variant.height_mm if dy else variant.width_mm) or 0.0
    pitch = max(PITCH_MM, (length_mm - 2 * END_MM) / max(1, len(ports) - 1) // 2.5 * 2.5)
    return [(name, (dx * pitch * n, dy * pitch * n)) for n, name in enumerate(ports)]


def _sides(variant: Variant) -> tuple[Side, Side]:
    if variant.rotation in (0, 180):
        return ("left", "right") if variant.mirrored else ("right", "left")
    return ("bottom", "top") if variant.mirrored else ("top", "bottom")


def _pins(studs: list[tuple[str, Point]], variant: Variant) -> tuple[ShapePin, ...]:
    return tuple(ShapePin(name, x, y, _sides(variant)) for name, (x, y) in studs)


def _corners(box: Box) -> tuple[Point, Point]:
    return (box[0], box[1]), (box[2], box[3])


def _battery_mark(centre: Point, mark: str) -> list[Item]:
    return [
        Path(circle(*centre, MARK_MM), Pen("ink", 0.35), "paper"),
        Text(centre[0], centre[1] + 1.25, mark, 2.5, "middle", "bold"),
    ]

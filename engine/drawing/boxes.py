"""The box: a general object with its name inside and its ports round it (supply left, outputs right, earths below)."""

from __future__ import annotations

import math

from engine.drawing.captions import main_data
from engine.drawing.display import Anchor, Item, Path, Pen, Text
from engine.drawing.metrics import fit, text_width_mm
from engine.drawing.outline import rectangle
from engine.drawing.ports import ShapePin, Side
from engine.drawing.shapes import PartShape, Variant, flipped_shape
from engine.library.device import DeviceKind
from engine.library.expand import Port, ports_of
from engine.model.network import Part

PITCH_MM = 5.0
HALF_LEAST_MM = 3.75
WIDTHS_MM = (25.0, 60.0)
NAME_MM = 2.5
SMALL_MM = 1.8
FOOT_POLES = frozenset({"PE", "BOND"})
RIGHT_NAMES = ("out", "acout", "sec", "boat", "b", "load")
SOURCES = ("ac_source", "generator_dc", "battery")
END_ROLES = ("load_dc", "load_ac", "outlet_ac", "starter", "meter")


def box_shape(part: Part, kind: DeviceKind, variant: Variant) -> PartShape:
    """A rectangle about the origin; mirrored, or turned by 180 degrees, the supply comes from the right."""
    sides = _by_side(part, kind)
    rows = max(len(sides["left"]), len(sides["right"]), 1)
    foot = len(sides["bottom"])
    half = max(HALF_LEAST_MM, (rows - 1) * PITCH_MM / 2 + HALF_LEAST_MM)
    width = _width(part, kind, variant, rows > 1, foot)
    box = (-width / 2, -half, width / 2, half)
    pins = [*_edge(sides["left"], -width / 2, "left"), *_edge(sides["right"], width / 2, "right")]
    pins += [ShapePin(port.name, x, half, ("bottom",)) for port, x in _foot(sides["bottom"], width)]
    items: list[Item] = [Path(rectangle(box[0], box[1], width, 2 * half, 0.6), Pen("ink", 0.35), "paper")]
    items += _inside(part, kind, width, sides, rows)
    shape = PartShape(box, tuple(pins), tuple(items))
    return flipped_shape(shape) if variant.mirrored != (variant.rotation == 180) else shape


def _by_side(part: Part, kind: DeviceKind) -> dict[Side, list[Port]]:
    sides: dict[Side, list[Port]] = {"left": [], "right": [], "bottom": []}
    for port in ports_of(part, kind):
        sides[_side(port, kind)].append(port)
    return sides


def _side(port: Port, kind: DeviceKind) -> Side:
    name = port.name.rstrip("0123456789")
    if name in ("neg", "case") or frozenset(port.poles) <= FOOT_POLES:
        return "bottom"
    if kind.role in END_ROLES:
        return "left"
    return "right" if kind.role in SOURCES or name in RIGHT_NAMES else "left"


def _edge(ports: list[Port], x_mm: float, side: Side) -> list[ShapePin]:
    top = -math.floor((len(ports) - 1) / 2) * PITCH_MM if len(ports) % 2 else -(len(ports) - 1) * PITCH_MM / 2
    return [ShapePin(port.name, x_mm, top + n * PITCH_MM, (side,)) for n, port in enumerate(ports)]


def _foot(ports: list[Port], width: float) -> list[tuple[Port, float]]:
    start = -(len(ports) - 1) * PITCH_MM / 2 // 2.5 * 2.5
    return [(port, start + n * PITCH_MM) for n, port in enumerate(ports)]


def _name(part: Part, kind: DeviceKind) -> str:
    return part.label or kind.title


def _detail(part: Part, kind: DeviceKind) -> str:
    return main_data(part, kind)


def _width(part: Part, kind: DeviceKind, variant: Variant, marked: bool, foot: int) -> float:
    """Wide enough for the name, in steps of two modules so that both edges stay on the module."""
    if variant.width_mm:
        return max(10.0, round(variant.width_mm / 5) * 5)
    second = text_width_mm(part.designation + " · ", SMALL_MM, "bold") + text_width_mm(_detail(part, kind), SMALL_MM)
    room = 22.0 if marked else 0.0
    wanted = max(text_width_mm(_name(part, kind), NAME_MM), second, foot * PITCH_MM) + 4.0 + room
    return min(max(math.ceil(wanted / 5) * 5.0, WIDTHS_MM[0]), WIDTHS_MM[1] + room)


def _inside(part: Part, kind: DeviceKind, width: float, sides: dict[Side, list[Port]], rows: int) -> list[Item]:
    room = width - 3.0 - (20.0 if rows > 1 else 0.0)
    name = Text(0.0, -0.35, fit(_name(part, kind), room, NAME_MM), NAME_MM, "middle")
    items: list[Item] = [name, *_second_line(part, kind, room)]
    if rows > 1:
        items += [_port_name(pin, -1) for pin in _edge(sides["left"], -width / 2, "left")]
        items += [_port_name(pin, 1) for pin in _edge(sides["right"], width / 2, "right")]
    return items


def _second_line(part: Part, kind: DeviceKind, room: float) -> list[Item]:
    """Designation in bold and the main data, set as one centred line."""
    first = part.designation
    data = _detail(part, kind)
    rest = fit((" · " if first and data else "") + data, room - text_width_mm(first, SMALL_MM, "bold"), SMALL_MM)
    whole = text_width_mm(first, SMALL_MM, "bold") + text_width_mm(rest, SMALL_MM)
    middle = -whole / 2 + text_width_mm(first, SMALL_MM, "bold")
    y = 2.65
    items: list[Item] = [Text(middle, y, first, SMALL_MM, "end", "bold")] if first else []
    return [*items, Text(middle, y, rest, SMALL_MM, "start", colour="faint")] if rest.strip() else items


def _port_name(pin: ShapePin, sign: int) -> Text:
    anchor: Anchor = "start" if sign < 0 else "end"
    return Text(pin.x_mm - sign * 1.2, pin.y_mm + 0.9, pin.port, SMALL_MM, anchor, colour="faint")

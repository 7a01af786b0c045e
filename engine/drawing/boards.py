"""Boards: a panel as a framed board, its feed at the head, its ways in order below, each leaving at the right.

One row: number of the way, tap from the bus, device, rating over the line, name over the line, pin. Ways are one
pitch apart (10 mm; 7.5 mm where the board is set lower). AC boards are bounded and carry the warning triangle.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import msgspec

from engine.drawing.captions import position_detail, position_rating, quantity
from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.glyphs import device_glyph, warning_triangle
from engine.drawing.metrics import Box, fit, text_width_mm
from engine.drawing.outline import circle, line, rectangle
from engine.drawing.ports import ShapePin
from engine.drawing.shapes import DASH_MM, LINE_MM, PartShape, Variant, flipped_shape
from engine.library.device import DeviceKind
from engine.library.expand import ports_of
from engine.library.symbol import Symbol
from engine.model.network import Part, Position
from engine.model.quantity import as_quantity

PITCH_MM = 10.0
LEAST_PITCH_MM = 7.5
HEAD_MM = 12.5
FEED_MM = 20.0
FIRST_MM = 10.0
FOOT_MM = 5.0
FOOT_PITCH_MM = 5.0
BUS_MM = 1.0
GLYPH_MM = 10.0
RATING_MM = 26.0
NAMES_MM = (25.0, 55.0)
STATES = {"spare": "Spare", "prepared": "Prepared", "blank": "Blank"}


class Columns(msgspec.Struct, frozen=True):
    """Where the columns of a board stand, mm from its left edge."""

    bus: float
    device: float
    rating: float
    name: float
    right: float


def board_shape(part: Part, kind: DeviceKind, symbols: Mapping[str, Symbol], variant: Variant) -> PartShape:
    """The board about its top left corner (mirrored: top right, ways leaving at the left)."""
    columns = _columns(part, variant)
    pitch = _pitch(part, variant)
    rows = {position.key: FEED_MM + FIRST_MM + n * pitch for n, position in enumerate(part.positions)}
    last = max(rows.values(), default=FEED_MM + FIRST_MM)
    others = [port.name for port in ports_of(part, kind) if port.name != "feed" and port.name[1:] not in rows]
    foot = {name: last + FIRST_MM + n * FOOT_PITCH_MM for n, name in enumerate(others)}
    height = max(foot.values(), default=last) + FOOT_MM
    box = (0.0, 0.0, columns.right, height)
    items = [
        *_frame(kind, box),
        *_head(part, kind, columns, variant.system),
        *_bus(part, columns, last, variant),
        *_foot(part, kind, columns, foot),
    ]
    for position in part.positions:
        way = _way(position, rows[position.key], columns, variant)
        items.append(Group(f"position:{part.id}/{position.key}", tuple(way)))
    pins = [ShapePin("feed", 0.0, FEED_MM, ("left",))]
    pins += [ShapePin(f"p{key}", columns.right, y, ("right",)) for key, y in rows.items()]
    pins += [ShapePin(name, 0.0, y, ("left",)) for name, y in foot.items()]
    spans = {key: (0.0, y - pitch / 2, columns.right, y + pitch / 2) for key, y in rows.items()}
    shape = PartShape(box, tuple(pins), tuple(items), (), spans)
    return flipped_shape(shape) if variant.mirrored else shape


def least_height(part: Part) -> float:
    """The height_mm at which a board's ways are as close as they go."""
    return FEED_MM + FIRST_MM + FOOT_MM + FIRST_MM + LEAST_PITCH_MM * max(1, len(part.positions) - 1)


def _has_main(part: Part) -> bool:
    return part.values.get("main_device") in ("breaker", "fuse", "switch")


def _columns(part: Part, variant: Variant) -> Columns:
    bus = 25.0 if _has_main(part) else 12.5
    device = bus + 2.5
    rating = device + GLYPH_MM + 1.5
    name = rating + _rating_width(part)
    widest = max((text_width_mm(position.label, 2.5) for position in part.positions), default=0.0)
    right = max(name + min(max(widest, NAMES_MM[0]), NAMES_MM[1]) + 4.0, _head_width(part))
    right = max(right, variant.width_mm or 0.0)
    return Columns(bus, device, rating, name, math.ceil(right / 2.5) * 2.5)


def _rating_width(part: Part) -> float:
    widths = [text_width_mm(position_rating(position), 2.5) for position in part.positions]
    widths += [text_width_mm(position_detail(position), 1.8) for position in part.positions]
    return max(widths, default=0.0) + 4.0


def _head_width(part: Part) -> float:
    return text_width_mm(part.designation + "  ", 3.5, "bold") + text_width_mm(part.label, 3.5) + 20.0


def _pitch(part: Part, variant: Variant) -> float:
    if not variant.height_mm:
        return PITCH_MM
    room = variant.height_mm - FEED_MM - FIRST_MM - FOOT_MM - FIRST_MM
    return max(LEAST_PITCH_MM, min(15.0, room / max(1, len(part.positions) - 1) // 2.5 * 2.5))


def _frame(kind: DeviceKind, box: Box) -> list[Item]:
    outline = rectangle(0.0, 0.0, box[2], box[3], 1.0)
    if kind.role != "ac_panel":
        return [Path(outline, Pen("panel.edge", 0.5), "panel.fill"), _rule(HEAD_MM, box[2])]
    edge = rectangle(1.0, 1.0, box[2] - 2.0, box[3] - 2.0, 0.6)
    return [
        Path(outline, Pen("ac.boundary", 0.5), "ac.fill"),
        Path(edge, Pen("ac.boundary", 0.25, (4.0, 1.0, 0.5, 1.0))),
        _rule(HEAD_MM, box[2]),
    ]


def _rule(y: float, right: float) -> Path:
    return Path(line(0.0, y, right, y), Pen("panel.edge", 0.25))


def _head(part: Part, kind: DeviceKind, columns: Columns, system: str) -> list[Item]:
    shift = text_width_mm(part.designation + "  ", 3.5, "bold") if part.designation else 0.0
    label = part.label or kind.title
    room = columns.right - 3.0 - shift - (12.0 if kind.role == "ac_panel" else 3.0)
    items: list[Item] = [
        Text(3.0, 5.9, part.designation, 3.5, "start", "bold"),
        Text(3.0 + shift, 5.9, fit(label, room, 3.5), 3.5),
        Text(3.0, 10.6, _head_data(part, system), 2.0, colour="faint"),
    ]
    if kind.role == "ac_panel":
        items += warning_triangle(columns.right - 7.0, HEAD_MM / 2 + 3.6, 8.6)
    return [item for item in items if not isinstance(item, Text) or item.string]


def _head_data(part: Part, system: str) -> str:
    texts = [system] if system else []
    texts.append("bus " + quantity(as_quantity(part.values.get("bus_a")), "A"))
    used = sum(position.state == "used" for position in part.positions)
    return " · ".join([*texts, f"{used} of {len(part.positions)} ways used"])


def _bus(part: Part, columns: Columns, last: float, variant: Variant) -> list[Item]:
    items: list[Item] = [Path(line(columns.bus, FEED_MM, columns.bus, last), Pen("ink", BUS_MM))]
    if not _has_main(part):
        return [*items, Path(line(0.0, FEED_MM, columns.bus, FEED_MM), Pen("ink", LINE_MM))]
    start = 7.5
    glyph = device_glyph(str(part.values["main_device"]), start, FEED_MM, variant.family)
    rating = quantity(as_quantity(part.values.get("main_rating_a")), "A")
    return [
        *items,
        Path(line(0.0, FEED_MM, start, FEED_MM), Pen("ink", LINE_MM)),
        *glyph,
        Path(line(start + GLYPH_MM, FEED_MM, columns.bus, FEED_MM), Pen("ink", LINE_MM)),
        Text(start + GLYPH_MM / 2, FEED_MM + 4.6, rating, 2.0, "middle"),
    ]


def _foot(part: Part, kind: DeviceKind, columns: Columns, foot: Mapping[str, float]) -> list[Item]:
    """Ports at the foot, each with a short line and its name."""
    titles = {port.name: port.title or port.name for port in ports_of(part, kind)}
    items: list[Item] = []
    for name, y in foot.items():
        items.append(Path(line(0.0, y, 5.0, y), Pen("ink", LINE_MM)))
        items.append(Path(circle(5.6, y, 0.6), Pen("ink", LINE_MM), "paper"))
        items.append(Text(7.5, y + 0.9, titles[name], 1.8, colour="faint"))
    return items


def _way(position: Position, y: float, columns: Columns, variant: Variant) -> list[Item]:
    spare = position.state != "used"
    colour = "provision" if spare else "ink"
    dash = DASH_MM if spare else ()
    key = Text(columns.bus - 2.0, y + 1.1, position.key, 2.2, "end", "bold", "faint" if spare else "ink")
    if position.state == "blank":
        plate = rectangle(columns.device, y - 2.0, columns.right - columns.device - 5.0, 4.0)
        return [key, Path(plate, Pen(colour, 0.18, DASH_MM)), _name(position, y + 1.9, columns)]
    pen = Pen(colour, LINE_MM, dash)
    return [
        key,
        Path(circle(columns.bus, y, 0.75), None, "ink"),
        Path(line(columns.bus, y, columns.device, y), pen),
        *device_glyph(position.device, columns.device, y, variant.family, colour),
        Path(line(columns.device + GLYPH_MM, y, columns.right, y), pen),
        *_texts(position, y, columns, colour),
    ]


def _texts(position: Position, y: float, columns: Columns, colour: str) -> list[Item]:
    tone = "faint" if colour == "provision" else "ink"
    items: list[Item] = [
        Text(columns.rating, y - 0.9, position_rating(position), 2.5, colour=tone),
        Text(columns.rating, y + 2.7, position_detail(position), 1.8, colour="faint"),
        _name(position, y, columns),
        Text(columns.name, y + 2.7, _remark(position), 1.8, colour="faint"),
    ]
    return [item for item in items if isinstance(item, Text) and item.string]


def _name(position: Position, y: float, columns: Columns) -> Text:
    room = columns.right - columns.name - 2.0
    state = STATES.get(position.state, "")
    string = position.label or state
    return Text(columns.name, y - 0.9, fit(string, room, 2.5), 2.5, colour="faint" if state else "ink")


def _remark(position: Position) -> str:
    if position.state in STATES and position.label:
        return STATES[position.state]
    return "may stay on" if position.may_stay_on else ""

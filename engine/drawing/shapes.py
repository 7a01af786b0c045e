"""The shape of a part as it stands on a sheet: outline box, pins, drawing and the lines to be written beside it.

Coordinates are millimetres from the part's origin, turning and mirroring already done, every text readable. Symbols
come from the symbol files; boards, bars, blocks and boxes are made by code. Knows no sheet and no run.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from engine.drawing.bounds import union
from engine.drawing.captions import main_data
from engine.drawing.display import Anchor, Group, Item, Path, Pen, Text, Weight
from engine.drawing.metrics import Box
from engine.drawing.outline import Transform, bounds, placement, scaling, transformed
from engine.drawing.ports import ShapePin, turn_side
from engine.library.device import DeviceKind
from engine.library.expand import ports_of
from engine.library.symbol import MODULE_MM, WIDTH_MM, Family, Letter, Stroke, Symbol
from engine.model.network import Part
from engine.model.sheets import Rotation

DASH_MM = (1.6, 1.0)
LINE_MM = 0.25


class Variant(msgspec.Struct, frozen=True):
    """How a part is to be drawn."""

    family: Family = "iec"
    rotation: Rotation = 0
    mirrored: bool = False
    width_mm: float | None = None
    height_mm: float | None = None
    unused: frozenset[str] = frozenset()
    """Ports on which no run lands: leads that only they need are left out."""
    system: str = ""
    """System voltage of a panel, as its head says it."""


class TagLine(msgspec.Struct, frozen=True):
    """One line to be written beside a part."""

    string: str
    height_mm: float = 2.5
    weight: Weight = "regular"
    colour: str = "ink"


class PartShape(msgspec.Struct, frozen=True):
    """A part's drawing about its origin; `tags` are placed by the sheet where there is room."""

    box: Box
    pins: tuple[ShapePin, ...]
    items: tuple[Item, ...]
    tags: tuple[TagLine, ...] = ()
    positions: Mapping[str, Box] = {}

    def pin(self, port: str) -> ShapePin | None:
        """The pin of a port."""
        return next((pin for pin in self.pins if pin.port == port), None)


def part_shape(part: Part, kind: DeviceKind, symbols: Mapping[str, Symbol], variant: Variant) -> PartShape:
    """The shape of a part; a kind whose symbol is not among the symbols is drawn as a box with its ports."""
    from engine.drawing.bars import bar_shape, block_shape
    from engine.drawing.boards import board_shape
    from engine.drawing.boxes import box_shape

    match kind.symbol:
        case "board":
            return board_shape(part, kind, symbols, variant)
        case "bar":
            return bar_shape(part, kind, variant)
        case "block":
            return block_shape(part, kind, variant)
    symbol = symbols.get(kind.symbol)
    if symbol is None or not {port.name for port in ports_of(part, kind)} <= {pin.name for pin in symbol.pins}:
        return box_shape(part, kind, variant)
    return symbol_shape(part, kind, symbol, variant)


def symbol_shape(part: Part, kind: DeviceKind, symbol: Symbol, variant: Variant) -> PartShape:
    """A symbol of the files, mirrored and turned, with its letters upright."""
    onto = scaling(MODULE_MM).then(placement(0.0, 0.0, variant.rotation // 90, variant.mirrored))
    figure = symbol.figure(variant.family)
    strokes = [stroke for stroke in figure.strokes if stroke.lead not in variant.unused]
    items: list[Item] = [_stroke(stroke, onto) for stroke in strokes]
    items += [_letter(one, onto) for one in figure.letters]
    ports = {port.name for port in ports_of(part, kind)}
    pins = tuple(
        ShapePin(pin.name, *onto.point(*pin.at), (turn_side(pin.side, variant.rotation, variant.mirrored),))
        for pin in symbol.pins
        if pin.name in ports
    )
    box = turned_box(symbol.box, onto) if not variant.unused else _drawn_box(items, pins, variant)
    return PartShape(box, pins, tuple(items), tag_lines(part, kind))


def _drawn_box(items: Sequence[Item], pins: Sequence[ShapePin], variant: Variant) -> Box:
    """The box of what is drawn and of the pins on which runs land: a lead that is left out takes no room."""
    landed = [(pin.x_mm, pin.y_mm, pin.x_mm, pin.y_mm) for pin in pins if pin.port not in variant.unused]
    outlines = [bounds(item.outline) for item in items if isinstance(item, Path)]
    box = union([*landed, *outlines])
    assert box is not None
    return box


def turned_box(box: Box, onto: Transform) -> Box:
    """The box under a transform that keeps the axes."""
    (x0, y0), (x1, y1) = onto.point(box[0], box[1]), onto.point(box[2], box[3])
    return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def tag_lines(part: Part, kind: DeviceKind) -> tuple[TagLine, ...]:
    """Designation, label and main data; a part without either name shows its kind."""
    name = part.label or ("" if part.designation else kind.title)
    lines = (
        TagLine(part.designation, 2.5, "bold"),
        TagLine(name, 2.5),
        TagLine(main_data(part, kind), 2.0, colour="faint"),
    )
    return tuple(line for line in lines if line.string)


def _stroke(stroke: Stroke, onto: Transform) -> Path:
    pen = Pen("ink", WIDTH_MM[stroke.width], DASH_MM if stroke.dash else ())
    return Path(transformed(stroke.outline, onto), pen, None if stroke.fill == "none" else stroke.fill)


def _letter(letter: Letter, onto: Transform) -> Text:
    """The middle of the letter's height goes with the symbol; the letter itself stays upright."""
    half = letter.height_mm / 2
    x, y = onto.point(letter.at[0], letter.at[1] - half / MODULE_MM)
    anchor = _upright_anchor(letter.anchor, onto)
    return Text(x, y + half, letter.text, letter.height_mm, anchor, letter.weight)


def _upright_anchor(anchor: Anchor, onto: Transform) -> Anchor:
    if anchor == "middle" or abs(onto.a) < 1e-9:
        return "middle"
    swapped: Anchor = "end" if anchor == "start" else "start"
    return anchor if onto.a > 0 else swapped


def flipped(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Items mirrored left for right, texts still readable."""
    return tuple(_flipped(item) for item in items)


def _flipped(item: Item) -> Item:
    if isinstance(item, Group):
        return Group(item.key, flipped(item.items))
    if isinstance(item, Path):
        return msgspec.structs.replace(item, outline=transformed(item.outline, Transform(a=-1.0)))
    if isinstance(item, Text):
        anchors: dict[Anchor, Anchor] = {"start": "end", "end": "start", "middle": "middle"}
        return msgspec.structs.replace(item, x_mm=-item.x_mm, anchor=anchors[item.anchor])
    return item


def flipped_shape(shape: PartShape) -> PartShape:
    """The shape mirrored left for right about its origin."""
    pins = tuple(
        ShapePin(pin.port, -pin.x_mm, pin.y_mm, tuple(turn_side(side, 0, True) for side in pin.sides))
        for pin in shape.pins
    )
    positions = {key: _flipped_box(box) for key, box in shape.positions.items()}
    return PartShape(_flipped_box(shape.box), pins, flipped(shape.items), shape.tags, positions)


def _flipped_box(box: Box) -> Box:
    return (-box[2], box[1], -box[0], box[3])


def way_out(pin: ShapePin) -> Box:
    """The strip (mm) along which runs leave a pin."""
    reach, half = 2 * MODULE_MM, 0.4
    ways: dict[str, Box] = {
        "left": (pin.x_mm - reach, pin.y_mm - half, pin.x_mm, pin.y_mm + half),
        "right": (pin.x_mm, pin.y_mm - half, pin.x_mm + reach, pin.y_mm + half),
        "top": (pin.x_mm - half, pin.y_mm - reach, pin.x_mm + half, pin.y_mm),
        "bottom": (pin.x_mm - half, pin.y_mm, pin.x_mm + half, pin.y_mm + reach),
    }
    strip = union(ways[side] for side in pin.sides)
    assert strip is not None
    return strip

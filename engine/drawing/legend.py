"""The legend of a sheet: what its colours, line widths, marks and unusual symbols mean; only what it shows.

Knows what was used, not where.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import msgspec

from engine.drawing.annotate import SEVERITIES, Severity, mark_items
from engine.drawing.bounds import moved
from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.labels import Ground
from engine.drawing.metrics import Box, fit, text_width_mm
from engine.drawing.outline import line, rectangle, scaling, transformed, translation
from engine.drawing.shapes import DASH_MM
from engine.drawing.wires import WIDTHS_MM, WireStyle, joint, way_outline, wire_items
from engine.library.symbol import Symbol
from engine.messages import tr

ROW_MM = 4.4
SAMPLE_MM = 12.0
TEXT_MM = 1.8
HEAD_MM = 5.5
PAD_MM = 2.0
LEAST_MM = 52.0
COLOUR_NAMES = {
    "BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
    "VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "GD": "gold", "TQ": "turquoise", "SR": "silver",
    "GNYE": "green and yellow", "LBU": "light blue", "DBU": "dark blue", "TAN": "tan",
}  # fmt: skip
CLASSES = {
    "heavy": "battery cable, 2 AWG or 35 mm² and larger",
    "feeder": "feeder, 8 AWG or 10 mm² and larger",
    "branch": "branch circuit",
    "signal": "signal, 18 AWG or 1 mm² and smaller",
    "unknown": "size unknown",
}
MARKS: dict[Severity, str] = {
    "danger": "finding: danger",
    "requirement": "finding: requirement",
    "advice": "finding: advice",
    "unknown": "finding: cannot tell",
}


class Used(msgspec.Struct, frozen=True):
    """What a sheet shows and a legend explains."""

    colours: tuple[str, ...] = ()
    classes: tuple[str, ...] = ()
    severities: tuple[Severity, ...] = ()
    symbols: tuple[Symbol, ...] = ()
    hops: bool = False
    joints: bool = False
    spares: bool = False


class Row(msgspec.Struct, frozen=True):
    """A sample about (0, 0), drawn from x 0 to 12, and what it means."""

    sample: tuple[Item, ...]
    text: str


def rows(used: Used) -> list[Row]:
    """The rows of a legend, colours first."""
    listed = [Row(_wire("branch", (code,)), f"{code}  {_colour_name(code)}") for code in used.colours]
    listed += [Row(_wire(name, ()), tr(text)) for name, text in CLASSES.items() if name in used.classes]
    if used.hops:
        listed.append(Row(_crossing(), tr("crossing, not joined")))
    if used.joints:
        listed.append(Row(_joint(), tr("joint at one terminal")))
    if used.spares:
        listed.append(Row((Path(line(0, 0, SAMPLE_MM, 0), Pen("provision", 0.25, DASH_MM)),), tr("spare or prepared")))
    listed += [Row(mark_items(one, 6.0, 0.0, 3.6), tr(MARKS[one])) for one in SEVERITIES if one in used.severities]
    return listed + [Row(_small(symbol), symbol.title + " *") for symbol in used.symbols]


def _colour_name(code: str) -> str:
    """The colour in words; a second colour is a stripe."""
    if code in COLOUR_NAMES:
        return tr(COLOUR_NAMES[code])
    base, stripe = COLOUR_NAMES.get(code[:2]), COLOUR_NAMES.get(code[2:])
    return tr("{base}, {stripe} stripe").format(base=tr(base), stripe=tr(stripe)) if base and stripe else code


def _wire(name: str, cores: tuple[str, ...]) -> tuple[Item, ...]:
    return wire_items(WireStyle(WIDTHS_MM[name], cores), ((0.0, 0.0), (SAMPLE_MM, 0.0)), {})


def _crossing() -> tuple[Item, ...]:
    level = way_outline(((0.0, 0.4), (SAMPLE_MM, 0.4)), {0: (6.0,)})
    return (Path(line(6.0, -1.8, 6.0, 1.8), Pen("ink", 0.25)), Path(level, Pen("ink", 0.25)))


def _joint() -> tuple[Item, ...]:
    return (
        Path(line(0.0, 0.0, SAMPLE_MM, 0.0), Pen("ink", 0.25)),
        Path(line(6.0, 0.0, 6.0, 1.8), Pen("ink", 0.25)),
        joint((6.0, 0.0)),
    )


def _small(symbol: Symbol) -> tuple[Item, ...]:
    """The symbol scaled to a row."""
    x0, y0, x1, y1 = symbol.box
    factor = min(SAMPLE_MM / (x1 - x0), 3.8 / (y1 - y0))
    onto = translation(-(x0 + x1) / 2, -(y0 + y1) / 2).then(scaling(factor)).then(translation(6.0, 0.0))
    return tuple(Path(transformed(stroke.outline, onto), Pen("ink", 0.18)) for stroke in symbol.iec.strokes)


def legend_group(listed: Sequence[Row], room: Box, ground: Ground) -> Group | None:
    """The legend where it fits into the room: as few columns as do, as low as it can be."""
    if not listed:
        return None
    for columns in range(1, 7):
        width, height, widths = _size(listed, columns)
        spot = ground.free_spot(room, width, height)
        if spot is not None:
            box = (*spot, spot[0] + width, spot[1] + height)
            ground.take(box)
            return Group("legend", tuple(_block(listed, columns, widths, box)))
    return None


def _size(listed: Sequence[Row], columns: int) -> tuple[float, float, list[float]]:
    per = math.ceil(len(listed) / columns)
    widths = [
        max(text_width_mm(row.text, TEXT_MM) for row in listed[n * per : (n + 1) * per] or listed[:1])
        + SAMPLE_MM + 2 * PAD_MM + 1.0
        for n in range(columns)
    ]  # fmt: skip
    return max(sum(widths) + PAD_MM, LEAST_MM), per * ROW_MM + HEAD_MM + PAD_MM / 2, widths


def _block(listed: Sequence[Row], columns: int, widths: Sequence[float], box: Box) -> Iterable[Item]:
    per = math.ceil(len(listed) / columns)
    yield Path(rectangle(box[0], box[1], box[2] - box[0], box[3] - box[1]), Pen("ink", 0.18), "paper")
    yield Text(box[0] + PAD_MM, box[1] + 3.8, tr("Legend"), 2.2, weight="bold")
    if any(row.text.endswith(" *") for row in listed):
        yield Text(box[0] + PAD_MM + 16.0, box[1] + 3.8, tr("* symbol not in IEC 60617"), TEXT_MM, colour="faint")
    for number, row in enumerate(listed):
        column, place = divmod(number, per)
        x = box[0] + PAD_MM + sum(widths[:column])
        y = box[1] + HEAD_MM + (place + 0.5) * ROW_MM
        yield from (moved(item, x, y) for item in row.sample)
        yield Text(x + SAMPLE_MM + 1.5, y + TEXT_MM / 2, fit(row.text, widths[column], TEXT_MM), TEXT_MM)


def is_own_symbol(symbol: Symbol) -> bool:
    """Whether a symbol is not one of IEC 60617 and so needs a word in the legend."""
    return symbol.source.startswith(("Own form", "IEC 60617 has no"))

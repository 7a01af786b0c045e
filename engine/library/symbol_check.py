"""What must hold for every symbol and every device file; each broken rule is one plain line.

For whoever draws a symbol or writes a device. Knows no boat.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.library.device import Default, DeviceKind, Library, LibraryError, LinkSpec, Preset, ValueSpec, load_library
from engine.library.svg_path import extent
from engine.library.symbol import MODULE_MM, WIDTH_MM, Box, Figure, Letter, Pin, Symbol, SymbolError, Tag, load_symbols

DRAWN_BY_CODE = frozenset({"bar", "block", "board"})
POLES = frozenset({"+", "-", "L", "L1", "L2", "N", "PE", "BOND"})
LEAST_LETTER_MM = 1.8
SLACK_M = 0.01
TAG_WIDTH_M = 6.0
LETTER_WIDTH = 0.75
"""Width of a letter in heights of capitals, a little more than the mean of the bundled type."""


def check_symbols() -> list[str]:
    """Every problem of the symbols and devices that come with the program, one line each; none: all is well."""
    try:
        symbols, library = load_symbols(), load_library()
    except (SymbolError, LibraryError) as error:
        return str(error).splitlines()
    return [*symbol_problems(symbols), *device_problems(library, symbols)]


def symbol_problems(symbols: Mapping[str, Symbol]) -> list[str]:
    """What is wrong with each symbol: "symbols/shapes/lamp.toml: what"."""
    return [f"symbols/shapes/{name}.toml: {what}" for name, symbol in symbols.items() for what in _symbol(symbol)]


def device_problems(library: Library, symbols: Mapping[str, Symbol]) -> list[str]:
    """What is wrong with each device, its symbol's pins included: "symbols/devices/lamp.toml: what"."""
    return [
        f"symbols/devices/{name}.toml: {what}"
        for name, kind in library.items()
        for what in (*_device(kind), *_pins_for(kind, symbols))
    ]


def _symbol(symbol: Symbol) -> Iterator[str]:
    if not symbol.title.strip():
        yield "has no title"
    if len(symbol.source.strip()) < 8:
        yield "names no source"
    if symbol.box[0] >= symbol.box[2] or symbol.box[1] >= symbol.box[3]:
        yield f"box {list(symbol.box)} must be [left, top, right, bottom]"
    yield from _pins(symbol)
    for family, figure in (("", symbol.iec), ("na: ", symbol.na)):
        if figure is not None:
            yield from (family + what for what in _figure(symbol, figure))
    yield from _tags(symbol)


def _pins(symbol: Symbol) -> Iterator[str]:
    names, places = [pin.name for pin in symbol.pins], [pin.at for pin in symbol.pins]
    yield from (f"pin {name} is there twice" for name in sorted({n for n in names if names.count(n) > 1}))
    yield from (f"two pins at {list(at)}" for at in sorted({at for at in places if places.count(at) > 1}))
    for pin in symbol.pins:
        if any(value != int(value) for value in pin.at):
            yield f"pin {pin.name} at {list(pin.at)} is not on whole modules"
        if not _on_edge(pin, symbol.box):
            yield f"pin {pin.name} at {list(pin.at)} is not on the {pin.side} edge of the box"


def _on_edge(pin: Pin, box: Box) -> bool:
    x, y = pin.at
    edge = {"left": x - box[0], "top": y - box[1], "right": x - box[2], "bottom": y - box[3]}[pin.side]
    return edge == 0 and box[0] <= x <= box[2] and box[1] <= y <= box[3]


def _figure(symbol: Symbol, figure: Figure) -> Iterator[str]:
    pins = {pin.name for pin in symbol.pins}
    if not figure.strokes:
        yield "has no strokes"
    for number, stroke in enumerate(figure.strokes, 1):
        half = WIDTH_MM[stroke.width] / 2 / MODULE_MM
        if not _inside(extent(stroke.outline), symbol.box, half):
            yield f"stroke {number} leaves the box"
        if stroke.lead and stroke.lead not in pins:
            yield f"stroke {number} is the lead of {stroke.lead}, which is no pin"
    yield from (f"nothing is drawn at pin {pin.name}" for pin in symbol.pins if not _touched(pin, figure))
    for letter in figure.letters:
        yield from _letter(letter, symbol.box)


def _touched(pin: Pin, figure: Figure) -> bool:
    """Whether a stroke comes to the pin: its extent, at least, does (a circle's edge, a box's side, a lead)."""
    return any(_inside((*pin.at, *pin.at), extent(stroke.outline), 0.0) for stroke in figure.strokes)


def _inside(inner: Box, outer: Box, slack: float) -> bool:
    slack += SLACK_M
    return (
        inner[0] >= outer[0] - slack
        and inner[1] >= outer[1] - slack
        and inner[2] <= outer[2] + slack
        and inner[3] <= outer[3] + slack
    )


def _letter(letter: Letter, box: Box) -> Iterator[str]:
    if letter.height_mm < LEAST_LETTER_MM:
        yield f"letter {letter.text} is lower than {LEAST_LETTER_MM} mm"
    height = letter.height_mm / MODULE_MM
    if not _inside(_text_box(letter.at, letter.anchor, height, len(letter.text) * height * LETTER_WIDTH), box, 0.0):
        yield f"letter {letter.text} leaves the box"


def _text_box(at: tuple[float, float], anchor: str, height: float, width: float) -> Box:
    left = at[0] - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    return (left, at[1] - height, left + width, at[1])


def _tags(symbol: Symbol) -> Iterator[str]:
    for what, tag in (("designation", symbol.tags.designation), ("data", symbol.tags.data)):
        box = _tag_box(tag)
        if _overlap(box, symbol.box):
            yield f"the {what} stands in the box"
        yield from (f"the {what} stands in the way of pin {p.name}" for p in symbol.pins if _overlap(box, _way_out(p)))
    if _overlap(_tag_box(symbol.tags.designation), _tag_box(symbol.tags.data)):
        yield "designation and data stand on each other"


def _tag_box(tag: Tag) -> Box:
    return _text_box(tag.at, tag.anchor, 1.0, TAG_WIDTH_M)


def _overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] - SLACK_M and b[0] < a[2] - SLACK_M and a[1] < b[3] - SLACK_M and b[1] < a[3] - SLACK_M


def _way_out(pin: Pin) -> Box:
    """The strip along which a run leaves a pin, two modules long."""
    (x, y), half = pin.at, 0.2
    return {
        "left": (x - 2, y - half, x, y + half),
        "right": (x, y - half, x + 2, y + half),
        "top": (x - half, y - 2, x + half, y),
        "bottom": (x - half, y, x + half, y + 2),
    }[pin.side]


def _pins_for(kind: DeviceKind, symbols: Mapping[str, Symbol]) -> Iterator[str]:
    if kind.symbol in DRAWN_BY_CODE:
        return
    symbol = symbols.get(kind.symbol)
    if symbol is None:
        yield f"there is no symbol {kind.symbol}"
        return
    pins = {pin.name for pin in symbol.pins}
    yield from (f"symbol {symbol.name} has no pin for port {p.name}" for p in kind.port if p.name not in pins)


def _device(kind: DeviceKind) -> Iterator[str]:
    if not kind.about.strip().endswith(".") or kind.about.count(". "):
        yield "about must be one sentence"
    if len(kind.letter) != 1 or not kind.letter.isupper():
        yield f"letter {kind.letter!r} is not one capital"
    yield from _ports(kind)
    for number, link in enumerate(kind.link, 1):
        yield from (f"link {number}: {what}" for what in _link(link, kind))
    for value in kind.value:
        yield from (f"value {value.name}: {what}" for what in _value(value))
    yield from _twice("value", [value.name for value in kind.value])
    yield from _twice("preset", [preset.title for preset in kind.preset])
    for preset in kind.preset:
        yield from (f"preset {preset.title}: {what}" for what in _preset(preset, kind))


def _twice(what: str, names: list[str]) -> Iterator[str]:
    yield from (f"{what} {name} is there twice" for name in sorted({n for n in names if names.count(n) > 1}))


def _ports(kind: DeviceKind) -> Iterator[str]:
    values = {value.name for value in kind.value}
    yield from _twice("port", [port.name for port in kind.port])
    yield from (f"inline port {name} is no port" for name in kind.inline if name not in {p.name for p in kind.port})
    for port in kind.port:
        yield from (f"port {port.name}: {pole} is no pole" for pole in port.poles if pole not in POLES)
        if port.count and port.count not in values:
            yield f"port {port.name}: {port.count} is no value"
        if bool(port.count) != ("{n}" in port.name):
            yield f"port {port.name}: a counted port has {{n}} in its name and a count"


def _link(link: LinkSpec, kind: DeviceKind) -> Iterator[str]:
    values = {value.name: value for value in kind.value}
    terminals = {f"{port.name}:{pole}" for port in kind.port for pole in port.poles}
    counted = {t.replace("{n}", "1") for t in terminals} | terminals
    yield from (f"{end} is no port:pole" for end in (*link.between, *link.spans) if end not in counted)
    yield from (f"{state} is no state" for state in link.states if state not in kind.states)
    if link.rating and link.rating not in values:
        yield f"rating {link.rating} is no value"
    if link.only_if and (link.only_if not in values or values[link.only_if].type != "flag"):
        yield f"only_if {link.only_if} is no flag"
    if link.kind == "residual" and not link.spans:
        yield "a residual element spans the live poles"


def _value(value: ValueSpec) -> Iterator[str]:
    if (value.type == "choice") != bool(value.choices):
        yield "a choice has choices, nothing else has"
    if value.min is not None and value.max is not None and value.min > value.max:
        yield "min is above max"
    if value.default is not None:
        yield from (f"default {what}" for what in _misfit(value, value.default))


def _preset(preset: Preset, kind: DeviceKind) -> Iterator[str]:
    values = {value.name: value for value in kind.value}
    if not preset.source.strip():
        yield "names no source"
    for name, given in preset.values.items():
        if name not in values:
            yield f"{name} is no value"
        else:
            yield from (f"{name} {what}" for what in _misfit(values[name], given))


def _misfit(value: ValueSpec, given: Default) -> Iterator[str]:
    """Why a default or a preset's value does not fit what the value may be."""
    match value.type:
        case "flag":
            fits = isinstance(given, bool)
        case "text":
            fits = isinstance(given, str)
        case "choice":
            fits = given in value.choices
        case _:
            fits = isinstance(given, (int, float, tuple)) and not isinstance(given, bool)
    if not fits:
        yield f"{given!r} does not fit type {value.type}"
    elif value.type == "quantity":
        yield from _out_of_range(value, given)


def _out_of_range(value: ValueSpec, given: Default) -> Iterator[str]:
    ends = given if isinstance(given, tuple) else (given,)
    numbers = [float(end) for end in ends if isinstance(end, (int, float))]
    if numbers != sorted(numbers):
        yield f"{given!r} runs backwards"
    low = float("-inf") if value.min is None else value.min
    high = float("inf") if value.max is None else value.max
    if any(not low <= number <= high for number in numbers):
        yield f"{given!r} is outside {low:g} to {high:g}"

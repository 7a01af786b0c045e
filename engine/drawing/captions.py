"""What is written beside things: ratings and sizes of parts, positions and runs, short, in the boat's units.

Unknown values are written as "?", never left out where a check needs them. Knows no geometry.
"""

from __future__ import annotations

from engine.library.device import DeviceKind
from engine.model.network import Part, Position, Run, UnitSystem
from engine.model.quantity import Quantity, Value, as_quantity
from engine.units import convert, sizes_shown, world_unit

DASH = "–"

MAIN_DATA = (
    ("nominal_v", "V"),
    ("capacity_ah", "Ah"),
    ("cca_a", "A CCA"),
    ("rating_a", "A"),
    ("residual_ma", "mA"),
    ("service_a", "A"),
    ("bus_a", "A"),
    ("output_a", "A"),
    ("rated_a", "A"),
    ("continuous_w", "W"),
    ("power_va", "VA"),
    ("power_w", "W"),
    ("running_a", "A"),
    ("cranking_a", "A"),
)
"""Values that are main data of a part, in the order they are written."""

SOURCES = ("battery", "ac_source", "generator_dc", "transformer")
"""Roles whose voltage is main data; of the others it goes without saying."""

NEEDED = ("rating_a", "capacity_ah")
"""Main data that is written as unknown rather than left out."""

MOST_DATA = 3
"""How many main data one line holds."""


def number(value: float) -> str:
    """A number as the trade writes it: no idle zeros."""
    return f"{value:.3f}".rstrip("0").rstrip(".") if value % 1 else f"{value:.0f}"


def quantity(value: Quantity, unit: str) -> str:
    """ "80 A", "150–175 A" or "? A"."""
    if value is None:
        return f"? {unit}"
    text = DASH.join(number(bound) for bound in value) if isinstance(value, tuple) else number(value)
    return f"{text} {unit}"


def main_data(part: Part, kind: DeviceKind) -> str:
    """The part's main data in one line: "12 V · 100 Ah"."""
    declared = {spec.name for spec in kind.value}
    listed = [pair for pair in MAIN_DATA if pair[0] in declared and (pair[0] != "nominal_v" or kind.role in SOURCES)]
    written = [_datum(part.values.get(name), name, unit) for name, unit in listed]
    texts = [text for text in written if text][:MOST_DATA]
    largest = as_quantity(part.values.get("holder_largest_a"))
    if largest is not None and largest != part.values.get("rating_a"):
        texts.append("max " + quantity(largest, "A"))
    return " · ".join(texts)


def _datum(value: Value, name: str, unit: str) -> str:
    if isinstance(value, str):
        return value if value.endswith(unit) else f"{value} {unit}".strip()
    known = as_quantity(value)
    if known is None and name not in NEEDED:
        return ""
    return quantity(known, unit)


def position_rating(position: Position) -> str:
    """ "15 A" or "2P 30 A"; empty where the way has no rating of its own."""
    if position.device not in ("breaker", "fuse") or position.state == "blank":
        return ""
    if position.rating_a is None and position.state == "spare":
        return ""
    poles = f"{position.poles}P " if position.poles > 1 else ""
    return poles + quantity(position.rating_a, "A")


def position_detail(position: Position) -> str:
    """The second line of a way: the largest fuse its carrier takes, its residual trip."""
    texts = []
    if position.device == "fuse" and position.holder_largest_a is not None:
        texts.append("max " + quantity(position.holder_largest_a, "A"))
    if position.residual_ma is not None:
        texts.append(quantity(position.residual_ma, "mA"))
    return " · ".join(texts)


def length(length_m: Quantity, units: UnitSystem) -> str:
    """ "5.2 m" or "17 ft"; empty when unknown."""
    if length_m is None:
        return ""
    unit = world_unit("m", units)
    bounds = length_m if isinstance(length_m, tuple) else (length_m,)
    return DASH.join(_short(convert(bound, "m", unit)) for bound in bounds) + f" {unit}"


def _short(value: float) -> str:
    return f"{value:.0f}" if value >= 100 else f"{value:.1f}".removesuffix(".0")


def run_tags(run: Run, units: UnitSystem) -> tuple[str, ...]:
    """What can be written on a run, longest first: "12 · 14 AWG · RD/YE · 5.2 m", …, "12"."""
    size = sizes_shown(run.size)
    colours = "/".join(colour or "?" for colour in run.colours)
    full = (run.number, size, colours, length(run.length_m, units))
    forms = (full, full[:3], full[:2], full[:1])
    written = (" · ".join(text for text in form if text) for form in forms)
    return tuple(dict.fromkeys(text for text in written if text))

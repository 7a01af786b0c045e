"""What gives current to the network: supplies that also take it back, and valves, which pass it one way up to a limit.

Alternators, solar arrays and other charging sources are valves: a set voltage, a slight fall with load, a current limit.
Knows no graph.
"""

from __future__ import annotations

import msgspec

from engine.electrics.sources import Source, number_text
from engine.electrics.tables import row_source, table_rows
from engine.graph.boat import Boat, quantity
from engine.graph.poles import Node
from engine.model.network import Part
from engine.model.quantity import Quantity
from engine.studies.values import Corner, Figure, assumed, field_source, named, pick, shown

SET_VOLTAGE = ("regulated_v", "absorption_v", "output_v")
RATED = ("hot_a", "rated_a", "charge_a", "output_a")
"""Of an inverter/charger `output_a` is its AC side."""
LEAST_OHM = 1e-5


class Supply(msgspec.Struct, frozen=True):
    """A source with an EMF, V, and an inner impedance, ohm, between its return a and its live terminal b."""

    part: Part
    a: Node
    b: Node
    emf: Figure
    ohm: Figure


class Valve(msgspec.Struct, frozen=True):
    """A source or diode that passes current from a to b only; `limit_a` None for a diode."""

    part: Part
    a: Node
    b: Node
    emf: Figure
    ohm: Figure
    limit_a: Figure | None


def charging_source(boat: Boat, part: Part, a: Node, b: Node, duty: float, corner: Corner) -> Valve:
    """An alternator, solar array or DC generating set at a share of its rated current."""
    if quantity(part, "voc_v") is not None or quantity(part, "isc_a") is not None:
        return _solar(boat, part, a, b, duty, corner)
    return regulated(boat, part, a, b, duty, corner)


def regulated(boat: Boat, part: Part, a: Node, b: Node, duty: float, corner: Corner) -> Valve:
    """A source that holds its set voltage up to a share of its rated current, then its current."""
    name, amps = _first(part, RATED)
    if amps is None:
        field = f"part:{part.id} {name}"
        limit = Figure(0.0, "A", "rated current not known, taken as none", (), (field,))
        return Valve(part, a, b, Figure(0.0, "V", "?"), Figure(1.0, "ohm", "?"), limit)
    value = pick(amps, corner, "high") * duty
    formula = f"{named(boat, part, name)} {shown(amps, value / duty)} A" + (
        "" if duty == 1 else f" × {number_text(duty)}"
    )
    limit = Figure(value, "A", formula, (field_source(boat, part, name),))
    emf = set_voltage(boat, part, corner)
    return Valve(part, a, b, emf, fall(emf.real, value, "regulation", corner), limit)


def fall(volts: float, amps: float, name: str, corner: Corner) -> Figure:
    """Inner resistance of a source whose voltage falls by some per cent at its rated current, ohm."""
    percent, source = assumed(name, corner, "low")
    ohm = max(percent / 100 * volts / max(amps, 1e-3), LEAST_OHM)
    formula = (
        f"{number_text(percent)} % × {number_text(volts)} V / {number_text(amps)} A = {number_text(1000 * ohm)} mΩ"
    )
    return Figure(ohm, "ohm", formula, (source,))


def set_voltage(boat: Boat, part: Part, corner: Corner) -> Figure:
    """The voltage a charging source holds: as stated, else 14.4 V for each 12 V nominal."""
    name, volts = _first(part, SET_VOLTAGE)
    if volts is not None:
        value = pick(volts, corner, "high")
        return Figure(
            value, "V", f"{named(boat, part, name)} {shown(volts, value)} V", (field_source(boat, part, name),)
        )
    nominal = quantity(part, "nominal_v")
    row = next(
        row for row in table_rows("batteries") if (row["topic"], row["chemistry"]) == ("absorption voltage", "flooded")
    )
    if nominal is None:
        return Figure(0.0, "V", "?", (), (f"part:{part.id} {SET_VOLTAGE[0]}",))
    systems = max(1, round(pick(nominal, "middle", "high") / 12))
    value = float(row["value"]) * systems
    return Figure(value, "V", f"{row['value']} V × {systems}, absorption voltage", (row_source(row),))


def _solar(boat: Boat, part: Part, a: Node, b: Node, duty: float, corner: Corner) -> Valve:
    """Open-circuit voltage falling to the voltage at peak power, at a share of the short-circuit current."""
    voc, isc, vmp = (quantity(part, name) for name in ("voc_v", "isc_a", "vmp_v"))
    lacks = tuple(f"part:{part.id} {name}" for name, got in (("voc_v", voc), ("isc_a", isc)) if got is None)
    if voc is None or isc is None:
        return Valve(part, a, b, Figure(0.0, "V", "?"), Figure(1.0, "ohm", "?"), Figure(0.0, "A", "?", (), lacks))
    volts, amps = pick(voc, corner, "high"), max(pick(isc, corner, "high") * duty, 1e-6)
    at_peak = pick(vmp, corner, "high") if vmp is not None else 0.8 * volts
    ohm = max((volts - at_peak) / amps, LEAST_OHM)
    source = field_source(boat, part, "isc_a")
    return Valve(
        part, a, b,
        Figure(volts, "V", f"open-circuit {number_text(volts)} V", (field_source(boat, part, "voc_v"),)),
        Figure(ohm, "ohm", f"({number_text(volts)} − {number_text(at_peak)}) V / {number_text(amps)} A", (_SOLAR,)),
        Figure(amps, "A", f"{named(boat, part, 'isc_a')} {shown(isc, amps / duty)} A × {number_text(duty)}", (source,)),
    )  # fmt: skip


_SOLAR = Source("common practice", "a straight line from open-circuit voltage to the voltage at peak power", "memory")


def _first(part: Part, names: tuple[str, ...]) -> tuple[str, Quantity]:
    """The first of the values that the part states, with its name; the first name it could have where none is stated."""
    for name in names:
        stated = quantity(part, name)
        if stated is not None:
            return name, stated
    return next((name for name in names if name in part.values), names[0]), None

"""What can feed a fault, and behind which impedance: batteries, charging sources, motors, shore, generators, inverters.

Largest: batteries full, at their least resistance, everything that pushes. Smallest: a weak battery, hot conductors. A
battery management system is never counted as a limit. Knows no matrix.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import msgspec

from engine.electrics.sources import Source, number_text
from engine.graph.boat import Boat, quantity
from engine.graph.poles import Edge, Node
from engine.model.network import AC_LINES, AC_POLES, Part
from engine.model.quantity import above_nothing, high, low
from engine.studies.ac import ac_supply
from engine.studies.batteries import battery
from engine.studies.short_circuit import rule
from engine.studies.supplies import RATED, Supply, set_voltage
from engine.studies.values import Corner, Figure, assumed, field_source, named, pick, shown

End = Literal["most", "least"]
LACKING_OHM = 1e9


class FaultSource(msgspec.Struct, frozen=True):
    """A source of fault current; `stands_alone` for one that may be the only source, as a battery or shore."""

    supply: Supply
    stands_alone: bool
    lacks: tuple[str, ...] = ()
    """Fields without which its share of the largest current has no upper bound."""


def fault_sources(boat: Boat, end: End) -> tuple[FaultSource, ...]:
    """Everything that can feed a fault, at one end of what is possible."""
    links = boat.inside("source", "converter", "load")
    found = [source for _, _, edge in links for source in sources_at(boat, edge, end)]
    distinct = {(each.supply.part.id, each.supply.b): each for each in reversed(found)}
    return tuple(reversed(distinct.values()))


def sources_at(boat: Boat, edge: Edge, end: End) -> Iterator[FaultSource]:
    """What one edge of the pole graph can feed into a fault: none or one source."""
    assert edge.link is not None or edge.kind == "core"
    if edge.link is None:
        return
    part = boat.part_of(edge)
    corner: Corner = "best" if end == "most" else "worst"
    a, b = (part.id, *edge.link.a), (part.id, *edge.link.b)
    if edge.kind == "source" and boat.role(part) == "battery":
        yield _battery(boat, part, a, b, end, corner)
    elif edge.kind == "source":
        yield _ac_source(boat, part, a, b, corner) if b[2] in AC_POLES else _limited(boat, part, a, b, corner)
    elif edge.kind == "converter" and b[2] not in ("-", "N"):
        back = boat.return_beside(b, boat.terminals)
        if back is not None:
            yield _ac_source(boat, part, back, b, corner) if b[2] in AC_LINES else _limited(boat, part, back, b, corner)
    elif edge.kind == "load" and end == "most" and a[2] == "+" and (motor := _motor(boat, part, a, b)):
        yield motor


def _battery(boat: Boat, part: Part, a: Node, b: Node, end: End, corner: Corner) -> FaultSource:
    cell = battery(boat, part, 1.0 if end == "most" else None, corner, weak=end == "least")
    lacks = (*cell.emf.lacks, *cell.resistance.lacks)
    ohm = cell.resistance
    if lacks:
        ohm = msgspec.structs.replace(ohm, value=LACKING_OHM)
    return FaultSource(Supply(part, a, b, cell.emf, ohm), True, lacks)


def _limited(boat: Boat, part: Part, a: Node, b: Node, corner: Corner) -> FaultSource:
    """A charging source: as an EMF behind what holds its short-circuit current to so many times its rated current."""
    name = next((name for name in ("isc_a", *RATED) if quantity(part, name) is not None), "")
    amps = quantity(part, name) if name else None
    if amps is None or high(amps) <= 0:
        field = next((field for field in RATED if field in part.values), RATED[1])
        nothing = Figure(LACKING_OHM, "ohm", "not known")
        return FaultSource(Supply(part, a, b, Figure(0.0, "V", "?"), nothing), False, (f"part:{part.id} {field}",))
    value = pick(amps, corner, "high")
    emf = _charging_emf(boat, part, corner)
    times, source = assumed("charger_fault", corner, "high")
    if part.values.get("self_limiting") is True or name == "isc_a":
        times, source = 1.0, field_source(boat, part, "self_limiting")
    ohm = emf.real / (value * times)
    formula = f"{number_text(emf.real)} V / ({number_text(times)} × {named(boat, part, name)} {shown(amps, value)} A)"
    supply = Supply(part, a, b, emf, Figure(ohm, "ohm", formula, (source, field_source(boat, part, name))))
    return FaultSource(supply, False)


def _charging_emf(boat: Boat, part: Part, corner: Corner) -> Figure:
    volts = quantity(part, "voc_v")
    if volts is not None:
        return Figure(
            pick(volts, corner, "high"), "V", named(boat, part, "voc_v"), (field_source(boat, part, "voc_v"),)
        )
    emf = set_voltage(boat, part, corner)
    return emf if emf.real > 0 else Figure(14.4, "V", "14.4 V taken", emf.sources)


def _motor(boat: Boat, part: Part, a: Node, b: Node) -> FaultSource | None:
    """A running motor turns on and feeds the fault for a moment; small ones with the rest."""
    kind, amps, nominal = boat.kind(part), quantity(part, "running_a"), above_nothing(quantity(part, "nominal_v"))
    if kind is None or kind.letter != "M" or amps is None or nominal is None or high(amps) <= 0:
        return None
    times, source = rule("motor_multiple")
    volts = low(nominal) * rule("charged_lead_acid_v")[0] / 12
    formula = f"{number_text(volts)} V / ({number_text(times)} × {number_text(high(amps))} A)"
    ohm = Figure(volts / (times * high(amps)), "ohm", formula, (source, field_source(boat, part, "running_a")))
    emf = Figure(
        volts, "V", f"{number_text(volts)} V, that of a full battery", (field_source(boat, part, "nominal_v"),)
    )
    return FaultSource(Supply(part, b, a, emf, ohm), False)


def _ac_source(boat: Boat, part: Part, a: Node, b: Node, corner: Corner) -> FaultSource:
    supply = ac_supply(boat, part, a, b, corner)
    if supply is None:
        nothing = Figure(LACKING_OHM, "ohm", "not known")
        field = f"part:{part.id} nominal_v"
        return FaultSource(Supply(part, a, b, Figure(0.0, "V", "?"), nothing), True, (field,))
    volts = abs(supply.emf.value)
    amps, figure_text, sources = _ac_short(boat, part, corner)
    if amps is None:
        nothing = Figure(LACKING_OHM, "ohm", "not known")
        return FaultSource(Supply(part, a, b, supply.emf, nothing), True, (f"part:{part.id} {_rated_name(part)}",))
    formula = f"{number_text(volts)} V / ({figure_text})"
    return FaultSource(Supply(part, a, b, supply.emf, Figure(volts / amps, "ohm", formula, sources)), True)


def _rated_name(part: Part) -> str:
    return next((name for name in ("rated_a", "output_a") if name in part.values), "rated_a")


def _ac_short(boat: Boat, part: Part, corner: Corner) -> tuple[float | None, str, tuple[Source, ...]]:
    """Short-circuit current at the terminals of an AC source, A, its text and sources; None where its rating is not known."""
    role = boat.role(part)
    if part.kind.startswith("shore_inlet"):
        amps, source = assumed("shore_fault", corner, "high")
        return amps, f"{number_text(amps)} A at the inlet", (source,)
    name = _rated_name(part)
    rated = quantity(part, name)
    if rated is None or high(rated) <= 0:
        return None, "", ()
    value = pick(rated, corner, "high")
    if role == "transformer":
        percent, source = assumed("transformer_drop", corner, "low")
        return (
            value * 100 / percent,
            f"{named(boat, part, name)} {number_text(value)} A / {number_text(percent)} %",
            (source,),
        )
    times, source = assumed("generator_fault" if role == "ac_source" else "inverter_fault", corner, "high")
    return (
        value * times,
        f"{number_text(times)} × {named(boat, part, name)} {number_text(value)} A",
        (source, field_source(boat, part, name)),
    )

"""The figures of one load, whatever the condition: volts, watts, running, starting and stand-by amperes, each with what it
rests on. Knows no wiring.

What a load does not state is unknown; only a stand-by current that is not stated counts as none.
"""

from __future__ import annotations

import msgspec

from engine.electrics.sources import Source, number_text
from engine.graph.boat import Boat, quantity
from engine.model.network import AC_LINES, Part
from engine.studies.draws import RESISTIVE_KINDS, RUNNING, STARTING
from engine.studies.estimate import Estimate, estimated, exactly, over, times
from engine.studies.values import assumed, field_source

MOTOR_KINDS = frozenset({
    "air_conditioner", "bilge_pump", "blower", "engine_starter", "fan", "motor", "motor_ac", "pump", "refrigerator",
    "thruster", "windlass",
})  # fmt: skip
"""Kinds that draw more while they start: for these a starting current that is not stated is not known."""
STARTER_ONLY = frozenset({"starter"})
_HEATER = Source("common practice", "a heating element has a power factor of 1", "memory")


class Load(msgspec.Struct, frozen=True):
    """A load and its figures. `starting_a` None: it has no starting current of its own."""

    part: Part
    ac: bool
    volts_v: Estimate
    watts_w: Estimate
    running_a: Estimate
    starting_a: Estimate | None
    standby_a: Estimate


def load_of(boat: Boat, part: Part, system_v: Estimate | None = None) -> Load:
    """The figures of a part that draws current; `system_v`: the voltage it is fed with, where it states none itself."""
    ac = any(end[1] in AC_LINES for link in boat.links(part) if link.kind == "load" for end in (link.a, link.b))
    volts = stated(boat, part, "nominal_v", "V") or system_v or _unknown(part, "nominal_v", "V")
    running = _running(boat, part, volts, ac)
    return Load(
        part, ac, volts, _watts(boat, part, running, volts, ac), running, _starting(boat, part), _standby(boat, part)
    )


def stated(boat: Boat, part: Part, name: str, unit: str) -> Estimate | None:
    """A value that the part states, with its evidence; None where it states none."""
    known = quantity(part, name)
    return None if known is None else estimated(known, unit, "", field_source(boat, part, name))


def _unknown(part: Part, name: str, unit: str) -> Estimate:
    return estimated(None, unit, f"part:{part.id} {name}")


def _running(boat: Boat, part: Part, volts: Estimate, ac: bool) -> Estimate:
    """The first of its current fields that is known, or its watts over its volts (and its power factor)."""
    for name in RUNNING:
        if (amps := stated(boat, part, name, "A")) is not None:
            return amps
    watts = stated(boat, part, "power_w", "W")
    if watts is None or volts.lacks:
        return _unknown(part, _current_field(boat, part), "A")
    if not ac:
        return over(watts, volts, "A")
    factor = power_factor(boat, part)
    return over(watts, times(volts, factor, "VA"), "A", f"{watts.formula} / ({volts.formula} × {factor.formula})")


def _current_field(boat: Boat, part: Part) -> str:
    kind = boat.kind(part)
    names = {value.name for value in kind.value} if kind else set()
    return next((name for name in RUNNING if name in names), RUNNING[0])


def power_factor(boat: Boat, part: Part) -> Estimate:
    """As stated, unless that cannot be; 1 for a heater; else between the bounds that are assumed."""
    known = stated(boat, part, "power_factor", "")
    if known is not None and known.least > 0:
        return known
    if part.kind in RESISTIVE_KINDS:
        return exactly(1.0, "", "1", _HEATER)
    return bounded("power_factor")


def bounded(name: str, per: float = 1.0) -> Estimate:
    """A row of engine/data/network_values.csv with its bounds, over `per`."""
    least, source = assumed(name, "best", "low")
    middle, most = assumed(name, "middle", "low")[0], assumed(name, "worst", "low")[0]
    text = f"{number_text(middle / per)} ({number_text(least / per)} to {number_text(most / per)})"
    return Estimate(least / per, middle / per, most / per, "", text, (source,))


def _watts(boat: Boat, part: Part, running: Estimate, volts: Estimate, ac: bool) -> Estimate:
    known = stated(boat, part, "power_w", "W")
    if known is not None:
        return known
    watts = times(running, volts, "W")
    return times(watts, power_factor(boat, part), "W") if ac else watts


def _starting(boat: Boat, part: Part) -> Estimate | None:
    """What it draws while it starts; an engine's starter draws its cranking current."""
    names = ("cranking_a",) if boat.role(part) in STARTER_ONLY else STARTING
    for name in names:
        if (amps := stated(boat, part, name, "A")) is not None:
            return amps
    return _unknown(part, names[0], "A") if part.kind in MOTOR_KINDS else None


def _standby(boat: Boat, part: Part) -> Estimate:
    return stated(boat, part, "standby_a", "A") or exactly(0.0, "A", "no stand-by current stated: 0 A")

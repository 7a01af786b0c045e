"""What a load asks of the network in a case: constant current, constant power or a resistance, running or starting.

Knows no graph. A load draws constant current where amperes are given, constant power where only watts are, and as a
resistance where it says so or a motor starts.
"""

from __future__ import annotations

import math
from typing import Literal

import msgspec

from engine.electrics.sources import Source, number_text
from engine.graph.boat import Boat, quantity
from engine.model.network import Part
from engine.model.quantity import Quantity, above_nothing, low
from engine.studies.conditions import Case, duty_of
from engine.studies.values import Corner, Figure, assumed, field_source, named, pick, shown

Law = Literal["current", "power", "resistance"]
RUNNING = ("running_a", "cranking_a", "draw_a")
STARTING = ("starting_a", "locked_rotor_a")
RESISTIVE_KINDS = frozenset({"water_heater"})
_RESISTIVE = Source("common practice", "a heating element is a resistance", "memory")
_STANDSTILL = Source("common practice", "a motor at standstill is a resistance", "memory")


class Draw(msgspec.Struct, frozen=True):
    """What a load draws: amperes, watts or ohms by its law, and its power factor (1 for DC)."""

    law: Law
    amount: Figure
    power_factor: float = 1.0

    @property
    def current_a(self) -> complex:
        """Constant current, A: in phase, and minus j times what lags."""
        return self.amount.real * self._phase.conjugate() if self.law == "current" else 0.0

    @property
    def power_w(self) -> complex:
        """Constant power, W: P + jQ."""
        return self.amount.real * self._phase / self.power_factor if self.law == "power" else 0.0

    @property
    def y_s(self) -> complex:
        """Conductance of a resistive load, S."""
        return 1 / self.amount.real if self.law == "resistance" else 0.0

    @property
    def _phase(self) -> complex:
        return complex(self.power_factor, math.sqrt(max(0.0, 1 - self.power_factor**2)))


def draw(boat: Boat, part: Part, case: Case, corner: Corner, *, ac: bool = False) -> Draw | None:
    """What the load draws; None where it is at rest. Where its current is not known it draws nothing and says so."""
    if part.id in case.starting and (found := _starting(boat, part, corner)):
        return found
    duty = duty_of(boat, part, case)
    factor = _power_factor(part, corner) if ac else 1.0
    if duty <= 0:
        return _standing_by(boat, part, corner, factor)
    return _running(boat, part, duty, corner, factor)


def _starting(boat: Boat, part: Part, corner: Corner) -> Draw | None:
    for name in STARTING:
        amps, nominal = quantity(part, name), above_nothing(quantity(part, "nominal_v"))
        if amps is None:
            continue
        value = pick(amps, corner, "low")
        source = field_source(boat, part, name)
        if nominal is None or value <= 0:
            return Draw("current", Figure(value, "A", f"{named(boat, part, name)} {shown(amps, value)} A", (source,)))
        volts = pick(nominal, corner, "high")
        formula = f"{number_text(volts)} V / {named(boat, part, name)} {shown(amps, value)} A = {number_text(volts / value)} Ω"
        return Draw("resistance", Figure(volts / value, "ohm", formula, (source, _STANDSTILL)))
    if quantity(part, "cranking_a") is not None:
        return None
    missing = Figure(0.0, "A", "starting current not known", (), (f"part:{part.id} starting_a",))
    return Draw("current", missing)


def _standing_by(boat: Boat, part: Part, corner: Corner, factor: float) -> Draw | None:
    amps = quantity(part, "standby_a")
    if amps is None:
        return None
    value = pick(amps, corner, "low")
    formula = f"stand-by {shown(amps, value)} A"
    return Draw("current", Figure(value, "A", formula, (field_source(boat, part, "standby_a"),)), factor)


def _running(boat: Boat, part: Part, duty: float, corner: Corner, factor: float) -> Draw:
    for name in RUNNING:
        amps = quantity(part, name)
        if amps is not None:
            return _by_current(boat, part, name, amps, duty, corner, factor)
    watts = quantity(part, "power_w")
    if watts is None:
        return Draw("current", Figure(0.0, "A", "not known, taken as none", (), (f"part:{part.id} running_a",)), factor)
    value = pick(watts, corner, "low") * duty
    formula = (
        f"{named(boat, part, 'power_w')} {shown(watts, value / duty)} W{_duty_text(duty)} = {number_text(value)} W"
    )
    figure = Figure(value, "W", formula, (field_source(boat, part, "power_w"),))
    return (
        _as_resistance(part, figure, watts=True) or _as_current(part, figure, factor) or Draw("power", figure, factor)
    )


def _as_current(part: Part, figure: Figure, factor: float) -> Draw | None:
    """Watts as the current they are at the nominal voltage, where the load says that its current stays the same."""
    nominal = above_nothing(quantity(part, "nominal_v"))
    if part.values.get("draws") != "current" or nominal is None:
        return None
    value = figure.real / low(nominal) / factor
    formula = f"({figure.formula}) / {number_text(low(nominal))} V = {number_text(value)} A"
    return Draw("current", msgspec.structs.replace(figure, value=value, unit="A", formula=formula), factor)


def _by_current(boat: Boat, part: Part, name: str, amps: Quantity, duty: float, corner: Corner, factor: float) -> Draw:
    value = pick(amps, corner, "low") * duty
    formula = f"{named(boat, part, name)} {shown(amps, value / duty)} A{_duty_text(duty)} = {number_text(value)} A"
    figure = Figure(value, "A", formula, (field_source(boat, part, name),))
    law = part.values.get("draws")
    if law == "power" and (nominal := above_nothing(quantity(part, "nominal_v"))) is not None:
        watts = value * low(nominal)
        text = f"({formula}) × {number_text(low(nominal))} V = {number_text(watts)} W"
        return Draw("power", msgspec.structs.replace(figure, value=watts, unit="W", formula=text), factor)
    return _as_resistance(part, figure, watts=False) or Draw("current", figure, factor)


def _duty_text(duty: float) -> str:
    return "" if duty == 1 else f" × duty {number_text(duty)}"


def _as_resistance(part: Part, figure: Figure, *, watts: bool) -> Draw | None:
    """The load as a resistance at its nominal voltage, where it is one."""
    nominal = above_nothing(quantity(part, "nominal_v"))
    stated = part.values.get("draws")
    resistive = stated == "resistance" or (stated is None and part.kind in RESISTIVE_KINDS)
    if not resistive or nominal is None or figure.real <= 0:
        return None
    volts = low(nominal)
    ohm = volts**2 / figure.real if watts else volts / figure.real
    formula = f"{number_text(volts)}{'²' if watts else ''} V / ({figure.formula}) = {number_text(ohm)} Ω"
    return Draw("resistance", Figure(ohm, "ohm", formula, (*figure.sources, _RESISTIVE)))


def _power_factor(part: Part, corner: Corner) -> float:
    stated = quantity(part, "power_factor")
    if stated is not None and low(stated) > 0:
        return pick(stated, corner, "high")
    if part.kind in RESISTIVE_KINDS:
        return 1.0
    return assumed("power_factor", corner, "high")[0]

"""What a battery can give and take: Peukert, usable depth, charge acceptance, hours to recharge, the sizes that suit it.

Pure functions of numbers and chemistry; knows no boat. Amperes, ampere-hours at the 20-hour rate, hours, shares 0 to 1.
"""

from __future__ import annotations

import math

from engine.electrics.sources import number_text
from engine.studies.estimate import Estimate, exactly, over, plus, scaled, smaller, times, value_of

RATED_HOURS = 20.0
STEP_SHARE = 1 / 400
SHORE_CONTINUOUS = 0.8


def peukert_hours(capacity_ah: float, current_a: float, exponent: float, rated_h: float = RATED_HOURS) -> float:
    """How long a full battery gives a current until it is empty, h: t = R (C / (R I))^n, R the hours C is rated at.

    The short form C / I^n with the 20-hour capacity is wrong and not used. Infinite for no current. Source: an article on
    Peukert's law (energy_values.csv, secondary).
    """
    if current_a <= 0:
        return math.inf
    return float(rated_h * (capacity_ah / (rated_h * current_a)) ** exponent)


def peukert_capacity(capacity_ah: float, current_a: float, exponent: float, rated_h: float = RATED_HOURS) -> float:
    """The Ah that a battery gives at a current; never more than rated: gentler use is not counted as a gain."""
    if current_a <= 0:
        return capacity_ah
    return min(capacity_ah, current_a * peukert_hours(capacity_ah, current_a, exponent, rated_h))


def peukert_exponent(first: tuple[float, float], second: tuple[float, float]) -> float:
    """From two discharge tests, each (A, h): n = (log t2 - log t1) / (log I1 - log I2)."""
    (i1, t1), (i2, t2) = first, second
    return (math.log(t2) - math.log(t1)) / (math.log(i1) - math.log(i2))


def usable(capacity: Estimate, chemistry: object) -> Estimate:
    """The Ah that are used in service: capacity times usable depth."""
    share = value_of("usable_pct", chemistry)
    return times(capacity, _percent(share), "Ah", f"{capacity.formula} × {share.formula} %")


def bank_needed(daily: Estimate, days: float, chemistry: object) -> Estimate:
    """The bank that lasts so many days between charges, Ah."""
    share = value_of("usable_pct", chemistry)
    need = scaled(daily, days, "Ah", f"{daily.formula} × {number_text(days)} d")
    return over(need, _percent(share), "Ah", f"{need.formula} / {share.formula} %")


def acceptance(capacity: Estimate, chemistry: object) -> Estimate:
    """The largest charge current the bank takes while bulk charging, A."""
    share = value_of("acceptance_pct", chemistry)
    return times(capacity, _percent(share), "A", f"{capacity.formula} × {share.formula} %")


def charger_span(capacity: Estimate, chemistry: object) -> Estimate:
    """The charge current that suits the bank, A: least and most of common practice."""
    share = value_of("charger_pct", chemistry)
    return times(capacity, _percent(share), "A", f"{capacity.formula} × {share.formula} %")


def to_return(removed: Estimate, chemistry: object) -> Estimate:
    """The Ah to put back for those removed."""
    return times(removed, value_of("return_factor", chemistry), "Ah")


def alternator_current(rated: Estimate, hot: Estimate | None, chemistry: object) -> Estimate:
    """What an alternator gives for hours: its hot rating if there is one, else derated; on lithium less still."""
    factor = value_of("alternator_on_lithium") if chemistry == "LiFePO4" else value_of("alternator_hot")
    derated = times(rated, factor, "A")
    if hot is None:
        return derated
    return smaller(hot, derated, f"min({hot.formula}, {derated.formula})") if chemistry == "LiFePO4" else hot


def solar_daily(watts: Estimate, volts: float) -> Estimate:
    """The yield of a solar array, Ah a day at the bank's voltage."""
    per_watt = value_of("solar_ah_per_w")
    text = f"{watts.formula} × {per_watt.formula} Ah/W a day" + (
        "" if volts == 12 else f" × 12 V / {number_text(volts)} V"
    )
    return scaled(times(watts, per_watt, "Ah", text), 12.0 / volts if volts else 1.0, "Ah", text)


def recharge_hours(
    capacity_ah: float, missing_ah: float, current_a: float, acceptance_a: float, tapers_at: float, factor: float,
    full: float = 0.99,
) -> float:  # fmt: skip
    """Hours until a bank that misses so much is full (to `full`): the smaller of charger and acceptance until the charge
    reaches `tapers_at`, from then on falling in proportion to what is still missing (common practice, no source).

    Infinite where nothing charges.
    """
    if missing_ah <= 0 or capacity_ah <= 0:
        return 0.0
    if min(current_a, acceptance_a) <= 0:
        return math.inf
    charge, hours = max(0.0, 1 - missing_ah / capacity_ah), 0.0
    while charge < full:
        step = min(STEP_SHARE, full - charge)
        now_a = min(current_a, accepted_a(capacity_ah, charge + step / 2, acceptance_a, tapers_at))
        hours += step * capacity_ah * factor / now_a
        charge += step
    return hours


def accepted_a(capacity_ah: float, charge: float, acceptance_a: float, tapers_at: float) -> float:
    """The current a bank takes at a state of charge: its bulk acceptance, from `tapers_at` falling to nought at full."""
    if charge <= tapers_at or tapers_at >= 1 or capacity_ah <= 0:
        return acceptance_a
    return acceptance_a * max(0.0, 1 - charge) / (1 - tapers_at)


def simple_recharge_hours(missing_ah: float, current_a: float, factor: float = 1.0) -> float:
    """Hours at one current: Ah × factor / A. Infinite for no current."""
    return missing_ah * factor / current_a if current_a > 0 else math.inf


def days_on(bank_ah: Estimate, daily: Estimate) -> Estimate:
    """How many days the usable Ah last at a daily need."""
    return over(bank_ah, daily, "d")


def shore_limit(service: Estimate) -> Estimate:
    """What may be drawn from a shore supply for hours, A: 80 % of its rating ("living on 30 A", published practice)."""
    return scaled(service, SHORE_CONTINUOUS, "A", f"{number_text(SHORE_CONTINUOUS)} × {service.formula}")


def inverter_input(ac_w: Estimate, efficiency: Estimate, volts: float) -> Estimate:
    """The DC current of an inverter, A."""
    taken = over(ac_w, efficiency, "W")
    return scaled(taken, 1 / volts, "A", f"{taken.formula} / {number_text(volts)} V")


def daily_ah(current: Estimate, hours: float, duty: float = 1.0) -> Estimate:
    """I × h × duty, Ah a day."""
    text = f"{current.formula} × {number_text(hours)} h" + ("" if duty == 1 else f" × {number_text(duty)}")
    return scaled(current, hours * duty, "Ah", text)


def total(values: list[Estimate], unit: str) -> Estimate:
    """Their sum; nought for none."""
    return plus(exactly(0.0, unit, ""), *values) if values else exactly(0.0, unit)


def _percent(share: Estimate) -> Estimate:
    return scaled(share, 0.01, "", f"{share.formula} %")

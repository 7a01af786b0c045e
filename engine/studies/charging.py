"""How long each source takes to charge a bank that is down to what is usable, with nothing drawn meanwhile. Knows no day."""

from __future__ import annotations

import math
from collections.abc import Iterator

import msgspec

from engine.electrics.sources import number_text
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import Part
from engine.studies.banks import acceptance, recharge_hours
from engine.studies.conditions import Case, is_charging
from engine.studies.daily import DAY_H, Line, given, is_ac_charger
from engine.studies.estimate import Estimate, estimated, exactly, scaled, value_of
from engine.studies.feeding import Feeding
from engine.studies.load_figures import stated


class Recharge(msgspec.Struct, frozen=True):
    """One source: the current it gives the bank (for sun and wind the mean of day and night), and the hours it takes."""

    part: Part
    current: Estimate
    hours: Estimate


def recharges(feeding: Feeding, bank: int, volts: Estimate, capacity: Estimate, chemistry: str) -> tuple[Recharge, ...]:
    """Every source that can reach the bank with some setting of the switches, whatever the condition; and the converters
    that feed it from another bank in the condition."""
    boat, own = feeding.boat, {part.id for part in feeding.batteries(bank)}
    found = [
        *_sources(boat, own, volts, chemistry),
        *((part, _output(boat, part)) for part, _, end in feeding.between_banks() if end == bank),
    ]
    return tuple(Recharge(part, current, hours_at(current, capacity, chemistry)) for part, current in found)


def _output(boat: Boat, part: Part) -> Estimate:
    return stated(boat, part, "output_a", "A") or estimated(None, "A", f"part:{part.id} output_a")


def _sources(boat: Boat, own: set[str], volts: Estimate, chemistry: str) -> Iterator[tuple[Part, Estimate]]:
    """Each source that reaches one of the batteries with every contact closed; what it reaches besides takes its part."""
    everything = boat.derive(with_everything_working)
    banks = [everything.batteries(number) for number in range(len(everything.banks))]
    sizes = [sum(_size(boat, part) for part in batteries) for batteries in banks]
    count = len(banks)
    for line in given(everything, [volts] * count, [chemistry] * count, sizes):
        inside = [part for part in banks[line.bank] if part.id in own]
        if inside:
            whole, mine = sizes[line.bank], sum(_size(boat, part) for part in inside)
            yield line.part, _partly(_mean_current(line), mine / whole if whole > 0 else 1.0)


def with_everything_working(boat: Boat) -> Feeding:
    """Every contact closed, every source and charger at work."""
    parts = (part for part in boat.network.parts if is_charging(boat, part) or is_ac_charger(boat, part))
    return Feeding(boat, Case(switches=None, duty={part.id: 1.0 for part in parts}))


def _size(boat: Boat, part: Part) -> float:
    found = stated(boat, part, "capacity_ah", "Ah")
    return found.middle if found is not None else 0.0


def _mean_current(line: Line) -> Estimate:
    if line.current is not None:
        return line.current
    return scaled(line.amount, 1 / DAY_H, "A", f"({line.amount.formula}) / {number_text(DAY_H)} h")


def _partly(current: Estimate, share: float) -> Estimate:
    if share >= 1 - 1e-9:
        return current
    text = tr("{percent} % by capacity to all of {current}").format(
        percent=number_text(round(100 * share)), current=current.formula
    )
    return msgspec.structs.replace(current, least=current.least * share, middle=current.middle * share, formula=text)


def hours_at(current: Estimate, capacity: Estimate, chemistry: str) -> Estimate:
    """Hours from usable-empty to full at a charge current, no more than the bank takes, falling from where it tapers."""
    share, tapers = value_of("usable_pct", chemistry), value_of("tapers_at_pct", chemistry)
    factor, takes = value_of("return_factor", chemistry), acceptance(exactly(1.0, "Ah"), chemistry)
    corners = (
        (capacity.least, share.least, current.most, takes.most, tapers.most, factor.least),
        (capacity.middle, share.middle, current.middle, takes.middle, tapers.middle, factor.middle),
        (capacity.most, share.most, current.least, takes.least, tapers.least, factor.most),
    )
    bounds = [_hours(*corner) for corner in corners]
    text = tr("{share} % × {capacity} × {factor} / {current}; at most {takes} A for each Ah, falling from {tapers} % on").format(
        share=share.formula, capacity=capacity.formula, factor=factor.formula, current=current.formula,
        takes=number_text(takes.middle), tapers=tapers.formula,
    )  # fmt: skip
    every = (share, tapers, factor, takes, capacity, current)
    sources = tuple(dict.fromkeys(source for each in every for source in each.sources))
    lacks = tuple(dict.fromkeys((*capacity.lacks, *current.lacks)))
    return Estimate(bounds[0], bounds[1], bounds[2], "h", text, sources, lacks)


def _hours(capacity_ah: float, share: float, current_a: float, takes: float, tapers: float, factor: float) -> float:
    """The hours at one corner. Nothing is known below of a bank or above of a current that nobody has stated."""
    if math.isinf(capacity_ah):
        return math.inf
    at_most = min(current_a, takes * capacity_ah)
    return recharge_hours(capacity_ah, share / 100 * capacity_ah, at_most, takes * capacity_ah, tapers / 100, factor)

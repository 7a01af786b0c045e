"""What each load takes out of its bank in a day of a condition, and what each source can put in, Ah at the bank, with bounds.

Loads count as even over the day, by their duty. Converters take what they give over their efficiency. Knows no state of
charge.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

import msgspec

from engine.electrics.sources import number_text
from engine.graph.boat import Boat
from engine.graph.poles import Node
from engine.model.network import AC_LINES, Part
from engine.studies.banks import alternator_current
from engine.studies.conditions import duty_of
from engine.studies.draws import RUNNING
from engine.studies.estimate import (
    Estimate,
    estimated,
    exactly,
    over,
    scaled,
    smaller,
    table_value,
    times,
    value_of,
)  # fmt: skip
from engine.studies.feeding import Feeding, Way
from engine.studies.load_figures import bounded, power_factor, stated

DAY_H = 24.0
LOADS = ("load_dc", "load_ac", "outlet_ac", "starter", "meter", "protection", "switch")
Pattern = Literal["even", "sun", "block"]
CHARGES = ("rated_a", "charge_a", "output_a")
"""What a source charges with; of an inverter/charger `output_a` is its AC side."""
SUN, WIND = "solar_array", "wind_generator"


class Line(msgspec.Struct, frozen=True):
    """One entry of a bank's day: what is used or given, Ah at the bank. `pattern`: how it lies in the day; a block is
    `run_h` hours at `current`."""

    part: Part
    bank: int
    amount: Estimate
    pattern: Pattern = "even"
    current: Estimate | None = None
    run_h: float = DAY_H
    through: tuple[Part, ...] = ()


def used(feeding: Feeding, volts: Sequence[Estimate]) -> Iterator[Line]:
    """What every load takes, from the bank that bears it; `volts`: the voltage of each bank."""
    boat = feeding.boat
    for part in boat.with_role(*LOADS):
        for node in takes_at(boat, part):
            duty = duty_of(boat, part, feeding.case)
            yield from _borne(feeding, volts, part, feeding.bearers(node), duty)
    yield from _idling(feeding, volts)


def takes_at(boat: Boat, part: Part) -> tuple[Node, ...]:
    """The live terminal of its load link; a load between two lines is one load."""
    ends = ((part.id, *end) for link in boat.links(part) if link.kind == "load" for end in (link.a, link.b))
    live = tuple(end for end in ends if end[2] in ("+", *AC_LINES))
    return live[:1]


def _borne(feeding: Feeding, volts: Sequence[Estimate], part: Part, ways: Sequence[Way], duty: float) -> Iterator[Line]:
    for way in ways:
        current = _at_bank(feeding, part, way, volts[way.bank], duty > 0)
        if current is None:
            continue
        amount = _for_hours(current, DAY_H, duty if duty > 0 else 1.0)
        if amount.most > 0:
            yield Line(part, way.bank, _shared(amount, len(ways)), through=way.parts)


def _for_hours(current: Estimate, run_h: float, duty: float) -> Estimate:
    text = f"{current.formula} × {number_text(run_h)} h" + ("" if duty == 1 else f" × {number_text(duty)}")
    return scaled(current, run_h * duty, "Ah", text)


def _shared(amount: Estimate, banks: int) -> Estimate:
    """Where several banks could bear it: from nothing to all of it, an equal part in the middle."""
    if banks == 1:
        return amount
    text = f"0 to all of ({amount.formula}): {banks} banks can bear it"
    return msgspec.structs.replace(amount, least=0.0, middle=amount.middle / banks, formula=text)


def _at_bank(feeding: Feeding, part: Part, way: Way, volts: Estimate, working: bool) -> Estimate | None:
    """The current that a load takes from its bank, A; None: at rest without a stand-by current."""
    boat = feeding.boat
    converters = [each for each in way.parts if boat.role(each) in ("converter", "transformer")]
    amps = _amps(boat, part, working)
    watts = stated(boat, part, "power_w", "W") if working and amps is None else None
    if amps is None and watts is None:
        return _unknown(part) if working else None
    if not converters:
        return amps if amps is not None else over(watts or exactly(0.0, "W"), volts, "A")
    given = watts if watts is not None else times(amps or exactly(0.0, "A"), _own_volts(boat, part, converters[0]), "W")
    for each in converters:
        efficiency = efficiency_of(boat, each)
        given = over(given, efficiency, "W", f"{given.formula} / {efficiency.formula}")
    return over(given, volts, "A")


def _amps(boat: Boat, part: Part, working: bool) -> Estimate | None:
    for name in RUNNING if working else ("standby_a",):
        found = stated(boat, part, name, "A")
        if found is not None:
            return found
    return None


def _unknown(part: Part) -> Estimate:
    return estimated(None, "A", f"part:{part.id} running_a")


def _own_volts(boat: Boat, part: Part, converter: Part) -> Estimate:
    """The voltage a load has behind its converter, V; times its power factor where that is AC."""
    for owner, name in ((part, "nominal_v"), (converter, "output_v"), (converter, "nominal_v")):
        found = stated(boat, owner, name, "V")
        if found is not None and not (owner is converter and name == "nominal_v" and _gives_ac(boat, converter)):
            return times(found, power_factor(boat, part), "V") if _gives_ac(boat, converter) else found
    return estimated(None, "V", f"part:{part.id} nominal_v")


def _gives_ac(boat: Boat, part: Part) -> bool:
    return any(link.kind == "converter" and link.b[1] in AC_LINES for link in boat.links(part))


def efficiency_of(boat: Boat, part: Part) -> Estimate:
    """What a converter gives over what it takes: stated, else between the bounds of its kind."""
    known = stated(boat, part, "efficiency_pct", "%")
    if known is not None:
        return scaled(known, 0.01, "", known.formula)
    if boat.role(part) == "transformer":
        return bounded("transformer_efficiency", 100)
    if part.kind == "charge_controller":
        return bounded("controller_efficiency", 100)
    return bounded("inverter_efficiency" if _gives_ac(boat, part) else "dcdc_efficiency", 100)


def _idling(feeding: Feeding, volts: Sequence[Estimate]) -> Iterator[Line]:
    """What an inverter that works draws for itself, all day."""
    boat = feeding.boat
    for each in feeding.crossings:
        if each.kind == "converter" and _gives_ac(boat, each.part) and boat.role(each.part) == "converter":
            rated = stated(boat, each.part, "continuous_w", "W")
            for way in feeding.bearers_of_rail(each.start):
                taken = rated if rated is not None else estimated(None, "W", f"part:{each.part.id} continuous_w")
                share = value_of("inverter_idle")
                idle = times(taken, scaled(share, 0.01, "", f"{share.formula} % without load"), "W")
                yield Line(
                    each.part, way.bank, _for_hours(over(idle, volts[way.bank], "A"), DAY_H, 1.0), through=way.parts
                )


def given(
    feeding: Feeding, volts: Sequence[Estimate], chemistry: Sequence[object], sizes: Sequence[float]
) -> Iterator[Line]:
    """What every source that works can put into the banks it reaches, before anybody asks whether they take it."""
    boat = feeding.boat
    for part in boat.network.parts:
        ways = _ways(feeding, part)
        duty = working_share(feeding, part)
        if not ways or duty <= 0:
            continue
        for way in ways:
            line = _given(boat, part, way, volts[way.bank], chemistry[way.bank], duty)
            yield msgspec.structs.replace(line, **_part_of(line, ways, way, sizes))


def _part_of(line: Line, ways: Sequence[Way], way: Way, sizes: Sequence[float]) -> dict[str, Estimate | None]:
    """A source that reaches several banks: a part by their capacity, up to all of it where the others are full."""
    whole = sum(sizes[each.bank] for each in ways)
    if len(ways) == 1 or whole <= 0:
        return {}
    share = sizes[way.bank] / whole
    return {"amount": _partly(line.amount, share), "current": _partly(line.current, share) if line.current else None}


def _partly(value: Estimate, share: float) -> Estimate:
    text = f"{number_text(round(100 * share))} % by capacity to all of {value.formula}"
    return msgspec.structs.replace(value, least=value.least * share, middle=value.middle * share, formula=text)


def _ways(feeding: Feeding, part: Part) -> tuple[Way, ...]:
    """The banks that a charging source reaches, each once."""
    boat = feeding.boat
    kinds = {"generator_dc": "source"} if boat.role(part) == "generator_dc" else {}
    kind = kinds.get(boat.role(part), "converter" if is_ac_charger(boat, part) else "")
    ends = [(part.id, *link.b) for link in boat.links(part) if link.kind == kind and link.b[1] == "+"] if kind else []
    found = [way for end in ends for way in feeding.takers(end)]
    return tuple({way.bank: way for way in reversed(found)}.values())


def is_ac_charger(boat: Boat, part: Part) -> bool:
    """Whether it charges from AC."""
    return any(link.kind == "converter" and link.a[1] in AC_LINES and link.b[1] == "+" for link in boat.links(part))


def working_share(feeding: Feeding, part: Part) -> float:
    """The share of the day that a source works: its duty; of a charger no more than that of the AC that feeds it."""
    boat = feeding.boat
    if not is_ac_charger(boat, part):
        return duty_of(boat, part, feeding.case)
    if not feeding.works(part):
        return 0.0
    inputs = {(part.id, *link.a) for link in boat.links(part) if link.kind == "converter" and link.a[1] in AC_LINES}
    rails = {feeding.rails[node] for node in inputs if node in feeding.rails}
    fed = [duty_of(boat, source, feeding.case) for rail in rails for source in feeding.ac_sources(rail)]
    return min(feeding.case.duty.get(part.id, 0.0), max(fed, default=0.0))


def _given(boat: Boat, part: Part, way: Way, volts: Estimate, chemistry: object, duty: float) -> Line:
    if part.kind in (SUN, WIND):
        amount = _by_weather(boat, part, volts, duty)
        return Line(part, way.bank, amount, "sun" if part.kind == SUN else "even", through=way.parts)
    current = charging_current(boat, part, chemistry, way.parts)
    return Line(part, way.bank, _for_hours(current, DAY_H, duty), "block", current, DAY_H * duty, way.parts)


def charging_current(boat: Boat, part: Part, chemistry: object, through: Sequence[Part] = ()) -> Estimate:
    """What a charger, alternator or generating set gives for hours, A; no more than the converters on its way pass."""
    rated = next((got for name in CHARGES if (got := stated(boat, part, name, "A"))), None)
    hot = stated(boat, part, "hot_a", "A")
    current = rated if rated is not None else hot if hot is not None else estimated(None, "A", _rating(boat, part))
    if part.kind == "alternator":
        current = hot if rated is None and hot is not None else alternator_current(current, hot, chemistry)
    for each in through:
        limit = stated(boat, each, "output_a", "A")
        if limit is not None and boat.role(each) == "converter":
            current = smaller(current, limit, f"min({current.formula}, {limit.formula})")
    return current


def _rating(boat: Boat, part: Part) -> str:
    name = next((name for name in CHARGES if name in part.values), "rated_a")
    return f"part:{part.id} {name}"


def _by_weather(boat: Boat, part: Part, volts: Estimate, duty: float) -> Estimate:
    """The usual yield of a solar array or wind generator; no more than its duty at full output."""
    if part.kind == SUN:
        watts = _peak(boat, part)
        per_watt = value_of("solar_ah_per_w")
        daily = times(watts, scaled(per_watt, 12.0, "Wh", f"{per_watt.formula} Ah a day × 12 V"), "Wh")
        full = scaled(watts, DAY_H * duty, "Wh", f"{watts.formula} × {number_text(DAY_H)} h × {number_text(duty)}")
        most = over(daily, volts, "Ah")
        return _no_more(most, over(full, volts, "Ah"), duty)
    rated = charging_current(boat, part, None)
    share = table_value("wind_share") or exactly(0.0, "")
    daily = _for_hours(times(rated, share, "A"), DAY_H, 1.0)
    return _no_more(daily, _for_hours(rated, DAY_H, duty), duty)


def _no_more(daily: Estimate, full: Estimate, duty: float) -> Estimate:
    return daily if duty == 1 else smaller(daily, full, f"min({daily.formula}, {full.formula})")


def _peak(boat: Boat, part: Part) -> Estimate:
    known = stated(boat, part, "power_w", "W")
    if known is not None:
        return known
    volts, amps = stated(boat, part, "vmp_v", "V"), stated(boat, part, "imp_a", "A")
    if volts is None or amps is None:
        return estimated(None, "W", f"part:{part.id} power_w")
    return times(volts, amps, "W")

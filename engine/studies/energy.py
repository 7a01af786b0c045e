"""The day of each bank in an operating condition: Ah out and in, days until what is usable is out, hours to charge again, and
how full it is over three days. Every value is an estimate with bounds, formula, sources and the fields it lacks.

The condition is taken to last the whole day. What this counts on is said in ASSUMPTIONS and in each day's cautions.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

import msgspec

from engine.electrics.sources import number_text
from engine.graph.boat import Boat, quantity
from engine.messages import tr
from engine.model.network import Condition, Part
from engine.studies.banks import acceptance, peukert_capacity, usable
from engine.studies.charging import Recharge, recharges
from engine.studies.conditions import case_of
from engine.studies.daily import DAY_H, SUN, WIND, Line, efficiency_of, given, takes_at, used
from engine.studies.estimate import Estimate, estimated, exactly, over, plus, scaled, smaller, times, value_of
from engine.studies.feeding import Feeding
from engine.studies.load_figures import stated
from engine.studies.state_of_charge import (
    MOST_DAYS,
    Day,
    Hour,
    Store,
    added,
    by_sun,
    days_until_used,
    even,
    hours,
    in_one_block,
)  # fmt: skip
from engine.studies.values import field_source

End = Literal["least", "middle", "most"]
TRACE_DAYS = 3
ASSUMPTIONS = (
    "The condition lasts all day, every day; the bank is full at 18:00 at the start.",
    "Loads draw evenly over the day, by their duty; what a condition does not name is off, or draws its stand-by current.",
    "The sun gives from 6:00 to 18:00, most at noon; alternators, generators and chargers run in one piece from 9:00 on.",
    "Capacity is the 20-hour rating of new batteries at about 25 °C; old or cold ones hold less.",
    "Heavier use than the 20-hour rate leaves less (Peukert); gentler use is not counted as a gain.",
    "Self-discharge is not counted.",
)


class BankDay(msgspec.Struct, frozen=True):
    """One bank in one condition. Ah and A at the bank; `days` from full until what is usable is out, infinite where it does
    not run out; `trace` the charge at the end of each hour over three days at the least, middle and most favourable
    bounds; empty where the capacity is not known."""

    condition: str
    batteries: tuple[Part, ...]
    name: str
    chemistry: str
    volts: Estimate
    capacity: Estimate
    at_use: Estimate
    """The capacity at the mean current of the day."""
    usable: Estimate
    uses: tuple[Line, ...]
    gains: tuple[Line, ...]
    out: Estimate
    into: Estimate
    days: Estimate
    recharge: tuple[Recharge, ...]
    stores: Mapping[End, Store]
    days_of: Mapping[End, Day]
    cautions: tuple[str, ...]

    def trace(self, end: End, count: int = TRACE_DAYS * 24) -> tuple[Hour, ...]:
        """Hour by hour from full at 18 o'clock, at one end of the bounds."""
        return hours(self.stores[end], self.days_of[end], count) if end in self.stores else ()

    @property
    def lacks(self) -> tuple[str, ...]:
        """The fields without which the figures are bounds at best."""
        every = (self.capacity, self.volts, *(line.amount for line in (*self.uses, *self.gains)))
        return tuple(dict.fromkeys(field for each in every for field in each.lacks))


def energy(boat: Boat, condition: Condition) -> tuple[BankDay, ...]:
    """Every bank of the boat in the condition; banks that the condition joins are one."""
    return _Study(boat, condition).days()


def anchor_conditions(boat: Boat) -> tuple[Condition, ...]:
    """The conditions whose name contains "anchor"; all where there is none."""
    every = boat.network.conditions
    return tuple(each for each in every if "anchor" in each.name.casefold()) or every


def capacity_of(boat: Boat, batteries: Sequence[Part]) -> Estimate:
    """Their capacities together, Ah at the 20-hour rate."""
    return plus(*(_capacity(boat, part) for part in batteries))


def _capacity(boat: Boat, part: Part) -> Estimate:
    source = field_source(boat, part, "capacity_ah")
    return estimated(quantity(part, "capacity_ah"), "Ah", f"part:{part.id} capacity_ah", source)


def chemistry_of(batteries: Sequence[Part]) -> str:
    """The one chemistry they have; "" where it is not known or not one."""
    found = {str(part.values.get("chemistry") or "") for part in batteries}
    return found.pop() if len(found) == 1 else ""


class _Study:
    """One condition being worked out."""

    def __init__(self, boat: Boat, condition: Condition) -> None:
        self.boat, self.condition = boat, condition
        self.feeding = Feeding(boat, case_of(boat, condition))
        self.batteries = [self.feeding.batteries(number) for number in range(len(self.feeding.banks))]
        self.volts = [self._volts(each[0]) for each in self.batteries]
        self.capacity = [capacity_of(boat, each) for each in self.batteries]
        self.chemistry = [chemistry_of(each) for each in self.batteries]
        sizes = [each.middle for each in self.capacity]
        self.uses, self.gains = [list[Line]() for _ in sizes], [list[Line]() for _ in sizes]
        for line in used(self.feeding, self.volts):
            self.uses[line.bank].append(line)
        for line in given(self.feeding, self.volts, self.chemistry, sizes):
            self.gains[line.bank].append(line)
        self.charged = [bool(gains) for gains in self.gains]
        for part, start, end in self._in_order():
            self._pass_on(part, start, end)

    def _volts(self, part: Part) -> Estimate:
        source = field_source(self.boat, part, "nominal_v")
        return estimated(quantity(part, "nominal_v"), "V", f"part:{part.id} nominal_v", source)

    def days(self) -> tuple[BankDay, ...]:
        return tuple(self._bank(number) for number in range(len(self.batteries)))

    def _in_order(self) -> list[tuple[Part, int, int]]:
        """The converters between banks, those that feed the last bank first, so that what a bank passes on is known."""
        left, ordered = list(self.feeding.between_banks()), list[tuple[Part, int, int]]()
        while left:
            starts = {start for _, start, _ in left}
            ready = [each for each in left if each[2] not in starts] or left[:1]
            ordered += ready
            left = [each for each in left if each not in ready]
        return ordered

    def _pass_on(self, part: Part, start: int, end: int) -> None:
        """A converter gives a bank what it needs over the day, as far as it can, and takes it from the other over its
        efficiency."""
        rated = stated(self.boat, part, "output_a", "A") or estimated(None, "A", f"part:{part.id} output_a")
        short = _short(self._out(end), self._into(end))
        duty = self.feeding.case.duty.get(part.id, 1.0)
        can = scaled(rated, DAY_H * duty, "Ah", f"{rated.formula} × {number_text(DAY_H * duty)} h")
        gives = smaller(short, can, tr("what {bank} lacks in a day, at most {most}").format(
            bank=self._name(end), most=can.formula))  # fmt: skip
        if gives.most <= 0:
            return
        if not self._surely_works(part, start):
            text = tr("0 to all of ({gives})").format(gives=gives.formula)
            gives = msgspec.structs.replace(gives, least=0.0, middle=0.0, formula=text)
        watt_hours = times(gives, self.volts[end], "Wh")
        efficiency = efficiency_of(self.boat, part)
        taken = over(over(watt_hours, efficiency, "Wh"), self.volts[start], "Ah")
        self.gains[end].append(Line(part, end, gives, through=(part,)))
        self.uses[start].append(Line(part, start, taken, through=(part,)))

    def _surely_works(self, part: Part, start: int) -> bool:
        """Many such chargers stop where the bank that they take from is not being charged; the condition can say."""
        return part.id in self.feeding.case.duty or self.charged[start]

    def _name(self, number: int) -> str:
        names = [self.boat.name(part) for part in self.batteries[number]]
        if len(names) > 2:
            return tr("{first} + {count} more").format(first=names[0], count=len(names) - 1)
        return " + ".join(names)

    def _out(self, number: int) -> Estimate:
        return _sum(self.uses[number])

    def _into(self, number: int) -> Estimate:
        return _sum(self.gains[number])

    def _bank(self, number: int) -> BankDay:
        chemistry, capacity = self.chemistry[number], self.capacity[number]
        out, into = self._out(number), self._into(number)
        at_use = at_current(capacity, scaled(out, 1 / DAY_H, "A", f"{out.formula} / 24 h"), chemistry)
        left = msgspec.structs.replace(at_use, formula=f"{number_text(round(at_use.middle, 1))} Ah")
        may = usable(left, chemistry)
        stores = _stores(at_use, chemistry)
        days_of = _days_of(self.uses[number], self.gains[number], stores)
        return BankDay(
            self.condition.name, self.batteries[number], self._name(number), chemistry, self.volts[number], capacity,
            at_use, may, tuple(self.uses[number]), tuple(self.gains[number]), out, into,
            _days(may, out, into, stores, days_of), recharges(self.feeding, number, self.volts[number], capacity, chemistry),
            stores, days_of, tuple(self._cautions(number)),
        )  # fmt: skip

    def _cautions(self, number: int) -> Iterator[str]:
        """What a reader of this bank's figures must know."""
        if len({each.values.get("battery_number") or each.id for each in self.batteries[number]}) > 1:
            text = tr("{names} are joined in this condition: they empty together.")
            yield text.format(names=self._name(number))
        if not self.chemistry[number]:
            yield tr("The chemistry is not known, or not one: the bounds are the widest of all chemistries.")
        for part in self._resting(number):
            yield tr("{name} is not counted: the condition does not name it.").format(name=self.boat.name(part))
        between = self.feeding.between_banks()
        for part in {part.id: part for part, *ends in between if number in ends}.values():
            if any(each.id == part.id and not self._surely_works(part, start) for each, start, _ in between):
                text = tr(
                    "Whether {name} works while nothing charges the bank it takes from is not said: give it a duty."
                )
                yield text.format(name=self.boat.name(part))
        if any(
            len(self.feeding.bearers(node)) > 1 for line in self.uses[number] for node in takes_at(self.boat, line.part)
        ):
            yield tr("Some loads can be fed from several banks here: each may bear all of them, or none.")

    def _resting(self, number: int) -> Iterator[Part]:
        """Solar arrays and wind generators that could give to this bank, and that the condition leaves out."""
        for part in self.boat.network.parts:
            if part.kind in (SUN, WIND) and part.id not in self.feeding.case.duty:
                ends = [(part.id, *link.b) for link in self.boat.links(part) if link.kind == "source"]
                if any(way.bank == number for end in ends for way in self.feeding.takers(end)):
                    yield part


def _sum(lines: Sequence[Line]) -> Estimate:
    if not lines:
        return exactly(0.0, "Ah")
    added_up = plus(*(line.amount for line in lines))
    text = lines[0].amount.formula if len(lines) == 1 else tr("sum of {count} entries").format(count=len(lines))
    return msgspec.structs.replace(added_up, formula=text)


def _short(out: Estimate, into: Estimate) -> Estimate:
    """What is used beyond what is given, Ah a day; never less than nought."""
    bounds = (
        max(0.0, out.least - into.most) if math.isfinite(into.most) else 0.0,
        max(0.0, out.middle - into.middle), max(0.0, out.most - into.least),
    )  # fmt: skip
    sources, lacks = (*out.sources, *into.sources), (*out.lacks, *into.lacks)
    return Estimate(
        *bounds, "Ah", f"{out.formula} − {into.formula}", tuple(dict.fromkeys(sources)), tuple(dict.fromkeys(lacks))
    )


def at_current(capacity: Estimate, current: Estimate, chemistry: str) -> Estimate:
    """What a bank gives at a current, Ah (Peukert with the 20-hour rating)."""
    exponent = value_of("peukert", chemistry)
    least, middle, most = (
        _peukert(held, amps, power)
        for held, amps, power in (
            (capacity.least, current.most, exponent.most), (capacity.middle, current.middle, exponent.middle),
            (capacity.most, current.least, exponent.least),
        )
    )  # fmt: skip
    text = f"I × 20 h × ({capacity.formula} / (20 h × I))^{exponent.formula}, I = {number_text(round(current.middle, 2))} A"
    gentle = math.isfinite(capacity.least) and current.most * 20 <= capacity.least
    formula = (
        f"{capacity.formula}; {number_text(round(current.middle, 2))} A is gentler than the 20-hour rate"
        if gentle
        else text
    )
    sources = tuple(dict.fromkeys((*capacity.sources, *(() if gentle else exponent.sources))))
    return Estimate(
        least, middle, most, "Ah", formula, sources, tuple(dict.fromkeys((*capacity.lacks, *current.lacks)))
    )


def _peukert(capacity_ah: float, current_a: float, exponent: float) -> float:
    if math.isinf(capacity_ah):
        return capacity_ah
    return 0.0 if math.isinf(current_a) else peukert_capacity(capacity_ah, current_a, exponent)


ENDS: Mapping[End, tuple[End, End]] = {
    "least": ("least", "most"),
    "middle": ("middle", "middle"),
    "most": ("most", "least"),
}
"""Which end of what helps and of what hurts belongs to each end of the days."""


def _stores(capacity: Estimate, chemistry: str) -> dict[End, Store]:
    """The bank in numbers at each end; none where the capacity is not known."""
    takes, tapers = acceptance(capacity, chemistry), value_of("tapers_at_pct", chemistry)
    share, factor = value_of("usable_pct", chemistry), value_of("return_factor", chemistry)
    return {
        end: Store(
            getattr(capacity, good), getattr(takes, good), getattr(tapers, good) / 100, getattr(factor, bad),
            getattr(share, good) / 100,
        )
        for end, (good, bad) in ENDS.items()
        if 0 < getattr(capacity, good) < math.inf
    }  # fmt: skip


def _days_of(uses: Sequence[Line], gains: Sequence[Line], stores: Mapping[End, Store]) -> dict[End, Day]:
    found = {}
    for end in stores:
        good, bad = ENDS[end]
        use = sum(getattr(line.amount, bad) for line in uses)
        rows = [_by_hour(line, good) for line in gains]
        if math.isfinite(use) and all(map(math.isfinite, added(rows))):
            found[end] = Day(even(use), added(rows))
    return found


def _by_hour(line: Line, end: End) -> tuple[float, ...]:
    if line.pattern == "block" and line.current is not None:
        return in_one_block(getattr(line.current, end), line.run_h)
    daily = getattr(line.amount, end)
    return by_sun(daily) if line.pattern == "sun" else even(daily)


def _days(
    may: Estimate, out: Estimate, into: Estimate, stores: Mapping[End, Store], days_of: Mapping[End, Day]
) -> Estimate:
    found = {end: days_until_used(stores[end], days_of[end]) for end in stores if end in days_of}
    bounds = (found.get("least", 0.0), found.get("middle", 0.0), found.get("most", math.inf))
    text = f"{number_text(round(may.middle, 1))} Ah usable / {number_text(round(out.middle, 1))} Ah a day"
    if into.most > 0:
        text = tr("{usable} Ah usable; {out} Ah out, {into} Ah in a day, followed hour by hour for {days} days").format(
            usable=number_text(round(may.middle, 1)), out=number_text(round(out.middle, 1)),
            into=number_text(round(into.middle, 1)), days=MOST_DAYS,
        )  # fmt: skip
    return Estimate(*bounds, "d", text, may.sources, tuple(dict.fromkeys((*may.lacks, *out.lacks, *into.lacks))))

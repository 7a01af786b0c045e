"""The day of a bank in plain words: how long it lasts, how long it takes to charge, what is not known. Knows no layout."""

from __future__ import annotations

import math
from collections.abc import Iterator

from engine.electrics.sources import number_text
from engine.graph.boat import Boat
from engine.messages import tr
from engine.studies.energy import BankDay
from engine.studies.estimate import Estimate
from engine.studies.state_of_charge import MOST_DAYS
from engine.studies.values import named

IN_HOURS_BELOW_D = 2.0
IN_DAYS_FROM_H = 72.0


def lasts(day: BankDay) -> str:
    """One sentence: "At anchor: G2 House bank lasts 2.1 to 2.9 days."."""
    says = {"bank": day.name, "condition": day.condition}
    if day.out.most <= 0:
        return tr("{condition}: nothing draws on {bank}.").format(**says)
    if math.isinf(day.days.least):
        if is_slow(day):
            return tr("{condition}: {bank} lasts more than {most} days.").format(most=MOST_DAYS, **says)
        return tr("{condition}: {bank} does not run out; it is given at least what is drawn.").format(**says)
    if day.days.least <= 0 and math.isinf(day.days.most):
        return tr("{condition}: how long {bank} lasts cannot be told.").format(**says)
    return tr("{condition}: {bank} lasts {time}.").format(time=time_text(day.days), **says)


def is_slow(day: BankDay) -> bool:
    """Whether more is drawn than given, so slowly that it is not followed to its end."""
    return day.out.most > day.into.least / day.stores["least"].factor


def time_text(days: Estimate) -> str:
    """The bounds of a time given in days: "2.1 to 2.9 days", "7 to 9 hours", "at least 2.1 days"; rounded down."""
    if math.isinf(days.least):
        return tr("without end")
    if math.isinf(days.most):
        return tr("at least {time}").format(time=_span(days.least, days.least))
    if days.least <= 0 < days.most:
        return tr("at most {time}").format(time=_span(days.most, days.most))
    return _span(days.least, days.most)


def hours_text(hours: Estimate) -> str:
    """The bounds of a time given in hours, in days where it is long."""
    if math.isinf(hours.least):
        return tr("never")
    if hours.least <= 0 and math.isinf(hours.most):
        return "?"
    if math.isinf(hours.most):
        return tr("at least {time}").format(time=_span(hours.least / 24, hours.least / 24))
    return _span(hours.least / 24, hours.most / 24, IN_DAYS_FROM_H / 24)


def _span(least_d: float, most_d: float, in_hours_below_d: float = IN_HOURS_BELOW_D) -> str:
    in_hours = most_d < in_hours_below_d
    ends = [_floor(end * (24 if in_hours else 1)) for end in (least_d, most_d)]
    text = ends[0] if ends[0] == ends[1] else tr("{least} to {most}").format(least=ends[0], most=ends[1])
    return (tr("{span} hours") if in_hours else tr("{span} days")).format(span=text)


def _floor(value: float) -> str:
    places = 10 if value < 20 else 1
    return number_text(math.floor(value * places + 1e-9) / places)


def amount_text(value: Estimate) -> str:
    """An amount with its bounds: "57.6 Ah", "50 to 67 Ah", "at least 12 Ah", "?"."""
    if math.isinf(value.most):
        return (
            tr("at least {amount} {unit}").format(amount=_round(value.least), unit=value.unit) if value.least else "?"
        )
    least, most = _round(value.least), _round(value.most)
    text = least if least == most else tr("{least} to {most}").format(least=least, most=most)
    return f"{text} {value.unit}"


def _round(value: float) -> str:
    return number_text(round(value, 1 if abs(value) < 100 else None))


def lacking(boat: Boat, fields: tuple[str, ...]) -> str:
    """The fields that are not known, by the names of their parts: "E1 Fridge running current"."""
    return ", ".join(_field(boat, each) for each in fields)


def _field(boat: Boat, field: str) -> str:
    key, _, name = field.partition(" ")
    part = boat.parts.get(key.removeprefix("part:"))
    return f"{boat.name(part)} {named(boat, part, name)}" if part else field


def figures(boat: Boat, day: BankDay) -> Iterator[tuple[str, str, Estimate]]:
    """Every figure of the day as (what it is, the value as it is shown, the estimate with formula and sources)."""
    yield tr("Capacity"), amount_text(day.capacity), day.capacity
    yield tr("Drawn in a day ({condition})").format(condition=day.condition), amount_text(day.out), day.out
    for line in sorted(day.uses, key=lambda line: -line.amount.middle):
        yield tr("… of it {name}").format(name=boat.name(line.part)), amount_text(line.amount), line.amount
    yield (
        tr("Charged in a day, if taken ({condition})").format(condition=day.condition),
        amount_text(day.into),
        day.into,
    )
    for line in day.gains:
        yield tr("… of it {name}").format(name=boat.name(line.part)), amount_text(line.amount), line.amount
    yield tr("Capacity at this use"), amount_text(day.at_use), day.at_use
    yield tr("Usable"), amount_text(day.usable), day.usable
    yield tr("From full until that is out ({condition})").format(condition=day.condition), time_text(day.days), day.days
    for each in day.recharge:
        what = tr("Charged again by {name} in").format(name=boat.name(each.part))
        yield what, hours_text(each.hours), each.hours

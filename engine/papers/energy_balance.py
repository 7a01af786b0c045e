"""The energy balance on paper: for each bank and condition what is drawn and charged in a day, how long it lasts, how long it
takes to charge again, how full it is over three days, what was assumed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from engine.drawing.charge_plot import charge_plot
from engine.drawing.display import Page
from engine.graph.boat import Boat
from engine.messages import enumerated, tr
from engine.model.network import Part
from engine.papers.page import head_of, set_pages, text_layout
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, Style, table
from engine.papers.text_flow import SMALL_MM, Block, flow, gap, heading, listed, paragraph, subheading, warning
from engine.studies.charging import Recharge
from engine.studies.daily import Line
from engine.studies.energy import ASSUMPTIONS, BankDay, anchor_conditions, energy
from engine.studies.energy_words import amount_text, hours_text, lacking, lasts, time_text
from engine.studies.estimate import Estimate

PLOT_MM = 62.0
TEXT_MM = 2.2
INTRO = (
    "How much goes out of each battery bank in a day, how much comes in, and how long it lasts. Each figure is a bound: what "
    "is not known exactly counts once at its worst and once at its best."
)
STATUS_WORDS = {
    "memory": "unconfirmed, from memory",
    "secondary": "quoted second hand",
    "published": "published",
    "computed": "computed",
}


def energy_balance(subject: Subject) -> tuple[Page, ...]:
    """All pages: first how long each bank lasts, then each bank in each condition; those at anchor first."""
    layout, boat = text_layout(subject.paper), subject.boat
    days = days_of(boat)
    blocks = [paragraph(tr(INTRO), layout.column_mm), *_summary(days, layout.column_mm)]
    for day in days:
        if day.out.most > 0 or day.into.most > 0:
            blocks += _bank(boat, day, layout.column_mm)
    blocks += [*_assumed(days, layout.column_mm), gap(3.0), warning(tr("CAUTION"), said(DEFERRAL), layout.column_mm)]
    return set_pages(flow(blocks, layout.body_mm), layout, head_of(subject.particulars, tr("Energy balance")))


def days_of(boat: Boat) -> tuple[BankDay, ...]:
    """Every bank in every condition, the conditions at anchor first."""
    first = anchor_conditions(boat)
    others = [each for each in boat.network.conditions if each not in first]
    return tuple(day for condition in (*first, *others) for day in energy(boat, condition))


def _summary(days: Sequence[BankDay], width: float) -> list[Block]:
    title = heading(tr("How long the banks last"), width, anchor="section/summary")
    if not days:
        text = tr("The drawing says no operating condition, or shows no battery: nothing can be told. Say what works, and how "
                  "much of the day, at anchor.")  # fmt: skip
        return [title, paragraph(text, width)]
    columns = (
        Column(tr("Condition"), 34), Column(tr("Bank"), 50), Column(tr("Drawn a day"), 27, "end"),
        Column(tr("Charged a day, if taken"), 29, "end"), Column(tr("Lasts from full"), 40),
    )  # fmt: skip
    rows = [Row((day.condition, day.name, *_amounts(day), Cell(_time(day), "bold"))) for day in days]
    return [title, *table(columns, rows, Style(width, TEXT_MM)), gap(3.0)]


def _amounts(day: BankDay) -> tuple[str, str]:
    return amount_text(day.out), amount_text(day.into)


def _time(day: BankDay) -> str:
    if day.out.most <= 0:
        return tr("nothing draws on it")
    if day.days.least <= 0 and math.isinf(day.days.most):
        return tr("cannot be told")
    return tr("does not run out") if math.isinf(day.days.least) else time_text(day.days)


def _bank(boat: Boat, day: BankDay, width: float) -> list[Block]:
    """One bank in one condition: the sentence, the figure, the tables, the cautions."""
    title = heading(f"{day.condition}: {day.name}", width, anchor=f"bank/{day.condition}/{day.name}")
    blocks = [title, subheading(lasts(day), width), *_figure(day, width)]
    blocks += [*_held(day, width), gap(2.0), *_entries(boat, day, width)]
    blocks += [gap(2.0), *_recharge(boat, day.recharge, width)] if day.recharge else []
    blocks += [listed("!", text, width, TEXT_MM) for text in day.cautions]
    if day.lacks:
        text = tr("Not known: {fields}. With these the bounds draw together.").format(fields=lacking(boat, day.lacks))
        blocks.append(listed("?", text, width, TEXT_MM))
    return [*blocks, gap(3.0)]


def _figure(day: BankDay, width: float) -> list[Block]:
    items = charge_plot(day, width, PLOT_MM)
    return [Block(PLOT_MM + 2.0, items)] if items else []


def _held(day: BankDay, width: float) -> list[Block]:
    columns = (Column(tr("The bank"), 70), Column(tr("Amount"), 32, "end"), Column(tr("How it was come by"), 78))
    rows = [
        _figure_row(tr("Capacity, {chemistry}, {volts}").format(
            chemistry=day.chemistry or "?", volts=amount_text(day.volts)), day.capacity),
        _figure_row(tr("Left at this use"), day.at_use),
        _figure_row(tr("Of it usable"), day.usable),
    ]  # fmt: skip
    return table(columns, rows, Style(width, SMALL_MM))


def _figure_row(what: str, value: Estimate) -> Row:
    return Row((what, amount_text(value), Cell(value.formula, colour="faint")))


def _entries(boat: Boat, day: BankDay, width: float) -> list[Block]:
    columns = (Column(tr("In a day"), 70), Column(tr("Amount"), 32, "end"), Column(tr("How it was come by"), 78))
    rows = [
        *(_entry(boat, line) for line in sorted(day.uses, key=lambda line: -line.amount.middle)),
        Row((tr("Drawn"), amount_text(day.out), _watt_hours(day, day.out)), "sum"),
        *(_entry(boat, line) for line in day.gains),
    ]
    rows += [Row((tr("Charged, if the bank takes it"), amount_text(day.into), _watt_hours(day, day.into)), "sum")]
    return table(columns, rows, Style(width, SMALL_MM))


def _watt_hours(day: BankDay, value: Estimate) -> str:
    if math.isinf(value.most) or math.isinf(day.volts.most):
        return ""
    least, most = (round(end * volts) for end, volts in ((value.least, day.volts.least), (value.most, day.volts.most)))
    return f"{least} Wh" if least == most else tr("{least} to {most} Wh").format(least=least, most=most)


def _entry(boat: Boat, entry: Line) -> Row:
    through = tr(" through {parts}").format(parts=enumerated(boat.name(each) for each in entry.through))
    name = boat.name(entry.part) + (through if _other(entry) else "")
    return Row((name, amount_text(entry.amount), Cell(entry.amount.formula, colour="faint")))


def _other(entry: Line) -> list[Part]:
    return [each for each in entry.through if each.id != entry.part.id]


def _recharge(boat: Boat, found: Sequence[Recharge], width: float) -> list[Block]:
    columns = (Column(tr("Charged again from there, nothing drawn"), 70), Column(tr("At"), 32, "end"),
               Column(tr("Takes"), 78))  # fmt: skip
    rows = [
        Row((boat.name(each.part), amount_text(each.current), Cell(hours_text(each.hours), "bold"))) for each in found
    ]
    return table(columns, rows, Style(width, SMALL_MM))


def _assumed(days: Sequence[BankDay], width: float) -> list[Block]:
    """What was assumed, and what the numbers rest on that are not the drawing's."""
    found = [heading(tr("What was assumed"), width, anchor="section/assumed")]
    found += [listed("·", tr(text), width, TEXT_MM) for text in ASSUMPTIONS]
    sources = list(dict.fromkeys(_sources(days)))
    found += [subheading(tr("Sources of the general values"), width)] if sources else []
    return found + [listed("·", text, width, SMALL_MM) for text in sources]


def _sources(days: Sequence[BankDay]) -> Iterator[str]:
    for day in days:
        every = (
            day.at_use,
            day.usable,
            *(line.amount for line in (*day.uses, *day.gains)),
            *(r.hours for r in day.recharge),
        )
        for value in every:
            for source in value.sources:
                if source.document != "the drawing":
                    yield f"{source.table}: {source.document} ({tr(STATUS_WORDS[source.status])})"

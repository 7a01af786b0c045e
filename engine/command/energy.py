"""loomwright energy: what goes out of each bank and into it in a day, how long it lasts, how long it takes to charge."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from engine.command.asking import AskError, condition_named, print_answer
from engine.messages import tr

if TYPE_CHECKING:
    from collections.abc import Sequence

    from engine.graph.boat import Boat
    from engine.model.network import Condition
    from engine.studies.daily import Line
    from engine.studies.energy import BankDay
    from engine.studies.estimate import Estimate

NAME_WIDTH = 36


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """energy FILE [--condition NAME] [--json]"""
    parser.add_argument("file", type=Path, help="boat file, or sketch (.txt)")
    parser.add_argument(
        "--condition", help="a condition by its name or id; without it those at anchor, all where there is none"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")


def run(asked: argparse.Namespace) -> int:
    """0 answered; 2 the file cannot be read, or has no such condition."""
    return print_answer(asked.file, lambda boat: answer(boat, asked))


def answer(boat: Boat, asked: argparse.Namespace) -> str:
    """The text or the JSON. Raises AskError."""
    from engine.studies.energy import energy

    days = [day for condition in conditions(boat, asked.condition) for day in energy(boat, condition)]
    return _json(boat, days) if asked.json else "\n".join(lines(boat, days))


def conditions(boat: Boat, name: str | None) -> Sequence[Condition]:
    """The condition of that name or id, else those at anchor. Raises AskError."""
    from engine.studies.energy import anchor_conditions

    every = boat.network.conditions
    if not every:
        raise AskError(tr("The boat has no operating conditions: say what works, and how much, at anchor."))
    if name is None:
        return anchor_conditions(boat)
    return (condition_named(boat, name),)


def lines(boat: Boat, days: Sequence[BankDay]) -> list[str]:
    """What is printed."""
    from engine.studies.energy import ASSUMPTIONS

    found = [tr("There is no battery on the drawing.")] if not days else []
    for day in days:
        found += [*_bank(boat, day), ""]
    found += [tr("Assumed:"), *(f"  {tr(text)}" for text in ASSUMPTIONS)]
    return [*found, tr("This reads a drawing: batteries age, and weather is what it is.")]


def _bank(boat: Boat, day: BankDay) -> list[str]:
    from engine.studies.energy_words import amount_text, hours_text, lacking, lasts

    held = f"{day.chemistry or '?'}, {amount_text(day.capacity)}, {amount_text(day.volts)}"
    found = [lasts(day), f"  {tr('Bank'):<{NAME_WIDTH}}{held}", _row(tr("Usable at this use"), day.usable)]
    found += [_row(tr("Drawn in a day"), day.out), *_entries(boat, day.uses)]
    found += [_row(tr("Charged in a day, if it takes it"), day.into), *_entries(boat, day.gains)]
    found += [f"  {tr('Charged again, with nothing drawn meanwhile, in')}"] if day.recharge else []
    for each in day.recharge:
        name = boat.name(each.part)
        found.append(f"    {name:<{NAME_WIDTH - 3}} {hours_text(each.hours)}, {amount_text(each.current)}")
    found += [f"  ! {text}" for text in day.cautions]
    return found + ([f"  ? {tr('not known')}: {lacking(boat, day.lacks)}"] if day.lacks else [])


def _row(what: str, value: Estimate) -> str:
    from engine.studies.energy_words import amount_text

    return f"  {what:<{NAME_WIDTH}}{amount_text(value)}"


def _entries(boat: Boat, entries: Sequence[Line]) -> list[str]:
    """Every entry, the largest first, with its formula."""
    from engine.studies.energy_words import amount_text

    largest = sorted(entries, key=lambda line: -line.amount.middle)
    return [
        f"    {boat.name(line.part):<{NAME_WIDTH - 3}} {amount_text(line.amount):<15} {line.amount.formula}"
        for line in largest
    ]


def _json(boat: Boat, days: Sequence[BankDay]) -> str:
    told = [
        {
            "condition": day.condition,
            "bank": day.name,
            "days": _bounds(day.days),
            "usable_ah": _bounds(day.usable),
            "out_ah": _bounds(day.out),
            "in_ah": _bounds(day.into),
            "out": {boat.name(line.part): _bounds(line.amount) for line in day.uses},
            "in": {boat.name(line.part): _bounds(line.amount) for line in day.gains},
            "recharge_h": {boat.name(each.part): _bounds(each.hours) for each in day.recharge},
            "cautions": list(day.cautions),
            "lacks": list(day.lacks),
        }
        for day in days
    ]
    return json.dumps(told, indent=1, ensure_ascii=False)


def _bounds(value: Estimate) -> list[float | None]:
    """Least, middle, most; None for what has no bound."""
    return [round(end, 3) if end < float("inf") else None for end in (value.least, value.middle, value.most)]

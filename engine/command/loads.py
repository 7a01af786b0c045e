"""loomwright loads: what every load draws in each operating condition, and what panels, banks and feeders carry."""

from __future__ import annotations

import argparse
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

from engine.command.asking import condition_named, print_answer
from engine.messages import tr

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from engine.graph.boat import Boat
    from engine.studies.estimate import Estimate
    from engine.studies.load_list import FeederRow, PlaceRow

NONE = "–"
HEAD_WIDTH = 11
SURE = "unconfirmed (from memory)"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """loads FILE [--condition NAME]"""
    parser.add_argument("file", type=Path, help="boat file, or sketch (.txt)")
    parser.add_argument("--condition", help="a condition by its name or id; without it all of them")


def run(asked: argparse.Namespace) -> int:
    """0 answered; 2 the file cannot be read, or has no such condition."""
    return print_answer(asked.file, lambda boat: "\n".join(lines(boat, _wanted(boat, asked.condition))))


def _wanted(boat: Boat, name: str | None) -> tuple[int, ...]:
    """The numbers of the cases to show. Raises LookupError."""
    from engine.studies.loads import load_analysis

    names = [case.name for case in load_analysis(boat).cases]
    if name is None:
        return tuple(range(len(names)))
    return (boat.network.conditions.index(condition_named(boat, name)),)


def lines(boat: Boat, wanted: Sequence[int]) -> Iterator[str]:
    """The whole answer."""
    yield f"{boat.network.particulars.name}: {tr('load list, A diversified in each condition')}"
    yield ""
    yield from _load_table(boat, wanted)
    yield ""
    yield from _place_table(boat, wanted)
    yield ""
    yield from _feeder_table(boat, wanted)
    yield from _method_lines(boat)
    yield ""
    yield tr(
        "This checks a drawing, not the boat; the standards, local codes and licensed practice have the last word."
    )


def _heads(boat: Boat, wanted: Sequence[int]) -> tuple[str, ...]:
    from engine.studies.loads import load_analysis

    return tuple(load_analysis(boat).cases[number].name for number in wanted)


def _load_table(boat: Boat, wanted: Sequence[int]) -> Iterator[str]:
    from engine.studies.load_list import load_rows

    duty = (tr("Duty"),) if len(wanted) == 1 else ()
    heads = (
        tr("Circuit"), tr("Load"), tr("V"), tr("W"), tr("Running A"), tr("Starting A"), tr("Stand-by A"), *duty,
        *_heads(boat, wanted),
    )  # fmt: skip
    rows = []
    for row in load_rows(boat):
        load, shown = row.load, [row.drawn[number] for number in wanted]
        share = (f"{shown[0].duty:g}",) if duty else ()
        start = NONE if load.starting_a is None else _amps(load.starting_a)
        rows.append((
            row.circuit or NONE, boat.name(load.part), _amps(load.volts_v), _amps(load.watts_w), _amps(load.running_a),
            start, _amps(load.standby_a), *share,
            *(tr("not fed") if each.state == "not fed" and each.duty else _amps(each.amount) for each in shown),
        ))  # fmt: skip
    yield from _table(heads, rows, 2)


def _place_table(boat: Boat, wanted: Sequence[int]) -> Iterator[str]:
    from engine.studies.load_list import place_name, place_rows

    heads = (tr("Sum at"), tr("Pole"), *_heads(boat, wanted), tr("May carry A"), tr("Worst"))
    rows = [
        (place_name(boat, row), row.pole, *(_amps(row.sums[n].estimate) for n in wanted), _rated(row), _worst(row))
        for row in place_rows(boat)
    ]
    yield from _table(heads, rows, 2)


def _feeder_table(boat: Boat, wanted: Sequence[int]) -> Iterator[str]:
    from engine.studies.load_list import end_names, feeder_rows

    heads = (
        tr("Feeder"), tr("From – to"), *_heads(boat, wanted), tr("May carry A"), tr("All at once"), tr("Largest starts"),
        tr("Worst"),
    )  # fmt: skip
    rows = []
    for row in feeder_rows(boat):
        may, worst = row.allowed.allowed_a, row.worst
        rows.append((
            f"{row.run.number or '?'} {row.pole}", end_names(boat, row.run), *(_amps(row.sums[n].estimate) for n in wanted),
            "?" if may is None else f"{may:.0f}", _amps(worst.sum.running), _amps(worst.sum.starting), _worst(row),
        ))  # fmt: skip
    yield from _table(heads, rows, 2)


def _method_lines(boat: Boat) -> Iterator[str]:
    """The rulebook's way for the feeders of panels, and how sure that is."""
    from engine.studies.estimate import text_of
    from engine.studies.load_method import methods_of

    found = methods_of(boat)
    if found:
        yield ""
        yield tr("Panel feeders by the method of ABYC E-11, {sure}:").format(sure=SURE)
    for each in found:
        yield f"  {boat.name(each.part)} {each.pole}  {text_of(each.total)} = {each.total.formula}"
        if each.spare_ways:
            text = tr("with its spare ways ({count}), each at 80 % of the largest device it takes (assumed)")
            yield f"      {text_of(each.with_spares)} {text.format(count=each.spare_ways)}"


def _rated(row: PlaceRow) -> str:
    return NONE if row.rated is None else _amps(row.rated)


def _worst(row: PlaceRow | FeederRow) -> str:
    from engine.studies.load_list import is_alike

    if row.worst.sum.estimate.most == 0:
        return NONE
    return tr("all alike") if is_alike(row) and len(row.sums) > 1 else row.worst.condition


def _amps(value: Estimate) -> str:
    """A figure without its unit; a dash for nought."""
    from engine.studies.estimate import text_of

    if value.most == 0:
        return NONE
    return text_of(_bare(value), 2).replace("at least ", "≥ ").replace(" to ", "–")


def _bare(value: Estimate) -> Estimate:
    """Its unit is in the head of the column."""
    import msgspec

    return msgspec.structs.replace(value, unit="")


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]], left: int) -> Iterator[str]:
    """Columns as wide as they need, the first `left` of them and the last flush left; heads wrap."""
    wrapped = [textwrap.wrap(head, HEAD_WIDTH) or [""] for head in heads]
    deep = max(len(lines) for lines in wrapped)
    tops = [[""] * (deep - len(lines)) + lines for lines in wrapped]
    cells = [*zip(*tops, strict=True), *rows]
    widths = [max(len(row[column]) for row in cells) for column in range(len(heads))]
    for number, row in enumerate(cells):
        yield "  ".join(
            text.ljust(width) if column < left else text.rjust(width)
            for column, (text, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        if number == deep - 1:
            yield "  ".join("-" * width for width in widths)

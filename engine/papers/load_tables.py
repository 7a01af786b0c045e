"""The load list as data: one table of the loads, one of what sources, buses, panels and feeders carry; for CSV and XLSX.

Also how the list groups its loads by panel and writes its amperes. Knows no layout.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from engine.export.table_data import Field, Table, Value
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import Part
from engine.papers import figures
from engine.studies.estimate import Estimate
from engine.studies.load_list import (
    FeederRow,
    LoadRow,
    PlaceRow,
    end_names,
    feeder_rows,
    is_alike,
    load_rows,
    place_name,
    place_rows,
)
from engine.studies.load_sums import Drawn
from engine.studies.loads import load_analysis

NONE = "–"


def amps(value: Estimate) -> str:
    """ "12", "12–15", "≥ 12", "?"; a dash for nought."""
    if value.most == 0:
        return NONE
    if math.isinf(value.most):
        return f"≥ {figures.number(value.least)}" if value.least > 0 else figures.UNKNOWN
    ends = dict.fromkeys((figures.number(value.least), figures.number(value.most)))
    return "–".join(ends)


def stored(value: Estimate) -> Value:
    """A number as a number; what is not exact as text."""
    return float(f"{value.least:.10g}") if value.exact else amps(value)


def worst_name(row: PlaceRow | FeederRow) -> str:
    """The condition in which most is taken there."""
    if row.worst.sum.estimate.most == 0:
        return NONE
    return tr("all alike") if is_alike(row) and len(row.sums) > 1 else row.worst.condition


def by_panel(boat: Boat) -> tuple[tuple[Part | None, tuple[LoadRow, ...]], ...]:
    """The loads under the panel that their circuit is on, those on none last."""
    panels = {part.designation: part for part in boat.with_role("dc_panel", "ac_panel")}
    found: dict[str, list[LoadRow]] = {}
    for row in load_rows(boat):
        name = row.circuit.partition(".")[0]
        found.setdefault(name if name in panels else "", []).append(row)
    named = [(panels[name], tuple(rows)) for name, rows in found.items() if name]
    return (*named, *(((None, tuple(found[""])),) if "" in found else ()))


def condition_names(boat: Boat) -> tuple[str, ...]:
    """The operating conditions, or everything on where there is none."""
    return tuple(case.name for case in load_analysis(boat).cases)


def load_table(boat: Boat) -> Table:
    """Every load: circuit, place, figures, and in each condition its duty and its diversified amperes."""
    first = (
        Field(tr("Circuit"), width=9), Field(tr("Designation"), width=12), Field(tr("Load"), width=28),
        Field(tr("Place"), width=18), Field(tr("System"), width=8), Field(tr("V"), 1, 7), Field(tr("W"), 0, 8),
        Field(tr("Running A"), 2, 10), Field(tr("Starting A"), 2, 10), Field(tr("Stand-by A"), 2, 10),
    )  # fmt: skip
    cases = [
        field
        for name in condition_names(boat)
        for field in (
            Field(tr("{name}: duty").format(name=name), 2, 14), Field(tr("{name}: A").format(name=name), 2, 14)
        )
    ]  # fmt: skip
    rows = tuple(_load(row) for row in load_rows(boat))
    return Table(tr("Loads"), (*first, *cases), rows)


def _load(row: LoadRow) -> tuple[Value, ...]:
    load = row.load
    return (
        row.circuit or NONE, load.part.designation or figures.UNKNOWN, load.part.label or NONE, row.place or figures.UNKNOWN,
        "AC" if load.ac else "DC", stored(load.volts_v), stored(load.watts_w), stored(load.running_a),
        NONE if load.starting_a is None else stored(load.starting_a), stored(load.standby_a),
        *(value for each in row.drawn for value in _drawn(each)),
    )  # fmt: skip


def _drawn(drawn: Drawn) -> tuple[Value, Value]:
    if drawn.state == "not fed" and drawn.duty > 0:
        return drawn.duty, tr("not fed")
    return drawn.duty, stored(drawn.amount)


def sums_table(boat: Boat) -> Table:
    """Sources, buses and panels, then feeders: diversified amperes in each condition, the worst of them, what is allowed."""
    first = (Field(tr("What"), width=12), Field(tr("Name"), width=26), Field(tr("Pole"), width=7))
    last = (
        Field(tr("Worst condition"), width=22), Field(tr("Diversified A"), 2, 12), Field(tr("All at once A"), 2, 12),
        Field(tr("Largest starts A"), 2, 12), Field(tr("Stand-by A"), 2, 10), Field(tr("May carry A"), 1, 10),
    )  # fmt: skip
    cases = [Field(tr("{name}: A").format(name=name), 2, 14) for name in condition_names(boat)]
    places = [_sum_row(tr("sum"), place_name(boat, row), row, _rated(row)) for row in place_rows(boat)]
    feeders = [_sum_row(tr("feeder"), _feeder_name(boat, row), row, _allowed(row)) for row in feeder_rows(boat)]
    return Table(tr("Sums and feeders"), (*first, *cases, *last), (*places, *feeders))


def _feeder_name(boat: Boat, row: FeederRow) -> str:
    return f"{row.run.number or figures.UNKNOWN}: {end_names(boat, row.run)}"


def _rated(row: PlaceRow) -> Value:
    return NONE if row.rated is None else stored(row.rated)


def _allowed(row: FeederRow) -> Value:
    may = row.allowed.allowed_a
    return figures.UNKNOWN if may is None else float(f"{may:.10g}")


def _sum_row(what: str, name: str, row: PlaceRow | FeederRow, allowed: Value) -> tuple[Value, ...]:
    worst = row.worst.sum
    sums: Sequence[Value] = [stored(each.estimate) for each in row.sums]
    return (
        what, name, _pole_word(row.pole), *sums, worst_name(row), stored(worst.estimate), stored(worst.running),
        stored(worst.starting), stored(worst.standby), allowed,
    )  # fmt: skip


def _pole_word(pole: str) -> str:
    """With the system before it: a text that is a sign would be a formula in a spreadsheet."""
    return f"DC {pole}" if pole == "+" else f"AC {pole}"

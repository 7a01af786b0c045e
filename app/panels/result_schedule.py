"""Volts, amps, losses and loading of every run in the condition that is looked at, as a table of the Schedules dock.

Its rows come from the Situation, not from the document alone; nothing in it can be edited.
"""

from __future__ import annotations

from collections.abc import Callable

from app.panels.fields import Field, part_name
from app.panels.tables import Column, Row, Schedule
from app.situation import Situation
from app.standing import Standing
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.network import Run
from engine.studies.shown import fullness, lost_in, most_in


def result_schedule(situation: Situation) -> Schedule:
    """The table of what the situation comes to."""

    def rows(document: Document, _library: Library) -> tuple[Row, ...]:
        standing = situation.current
        if standing is None or standing.boat.network is not document.network:
            return ()
        return tuple(Row(f"run:{run.id}", run, standing) for run in document.network.runs)

    empty = tr("Nothing is worked out: let the sheet show volts and amps, or open Conditions.")
    return Schedule("results", tr("Volts and amps"), rows, lambda _document, _library: columns(), empty)


def columns() -> tuple[Column, ...]:
    """Wire, ends, amps, volts lost, loading, and the voltage at the load where the run comes to one."""
    return (
        Column(Field(key="number", title=tr("Wire")), lambda row: row.record.number),
        Column(Field(key="from", title=tr("From")), lambda row: _end(row.owner, row.record.a.part)),
        Column(Field(key="to", title=tr("To")), lambda row: _end(row.owner, row.record.b.part)),
        _figure("current", tr("Current"), "A", lambda standing, run: most_in(standing.solution, run)),
        _figure("lost", tr("Lost in it"), "V", lambda standing, run: lost_in(standing.solution, run)),
        _figure("loading", tr("Loading, %"), "", loading_of),
        _figure("volts", tr("At the load"), "V", _load_volts, only=_has_load),
        _figure("drop", tr("Drop to the load, %"), "", _load_drop, only=_has_load),
        Column(Field(key="condition", title=tr("Condition")), lambda row: row.owner.case.name),
    )


def _end(standing: Standing, part_id: str) -> str:
    part = standing.boat.parts.get(part_id)
    return part_name(part) if part else "?"


def _figure(
    key: str,
    title: str,
    unit: str,
    of: Callable[[Standing, Run], float | None],
    only: Callable[[Standing, Run], bool] | None = None,
) -> Column:
    def value(row: Row) -> float | None:
        found = of(row.owner, row.record)
        return None if found is None else round(found, 3 if unit == "V" else 1 if not unit else 2)

    applies = (lambda row: only(row.owner, row.record)) if only else None
    return Column(Field(key=key, title=title, type="quantity", unit=unit), value, None, applies)


def loading_of(standing: Standing, run: Run) -> float | None:
    """How full a run is, per cent; 0 at rest, None where it is not known what it may carry."""
    return fullness(standing.boat, standing.solution, run) if most_in(standing.solution, run) else 0.0


def _fed_load(standing: Standing, run: Run) -> str:
    """The load at an end of the run that has a voltage; "" where there is none."""
    loads = standing.solution.loads
    ends = (run.a.part, run.b.part)
    return next((part for part in ends if part in loads and loads[part].state == "fed"), "")


def _has_load(standing: Standing, run: Run) -> bool:
    return bool(_fed_load(standing, run))


def _load_volts(standing: Standing, run: Run) -> float:
    return standing.solution.loads[_fed_load(standing, run)].volts_v


def _load_drop(standing: Standing, run: Run) -> float:
    return standing.solution.loads[_fed_load(standing, run)].drop_percent

"""The load list as a table: each load on its circuit, and in every operating condition its duty, which can be typed, and
the diversified current that follows. A Schedule as in listings.py; the amperes are engine/studies/loads.py's.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from app.panels.fields import Field, part_name
from app.panels.tables import Column, Row, Schedule
from app.reading import FieldRefusedError
from app.store import Edit, edit_with
from engine.electrics.sources import number_text
from engine.graph.boat import Boat
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.conditions import set_duty
from engine.model.network import Condition
from engine.model.quantity import Quantity
from engine.studies.estimate import Estimate, exactly
from engine.studies.load_list import load_rows
from engine.studies.load_sums import Drawn

NOTHING = exactly(0.0, "A")
EMPTY = tr("Full current times duty, or the stand-by current; empty: it draws nothing, or no source reaches it.")


def load_list_schedule() -> Schedule:
    """The table for the Schedules dock."""
    return Schedule("load_list", tr("Load list"), rows, columns, tr("No loads yet. Place one from Stores."))


def rows(document: Document, library: Library) -> tuple[Row, ...]:
    """A row for each load and converter, by circuit."""
    listed = load_rows(Boat(document.network, library))
    return tuple(Row(f"part:{row.load.part.id}", row) for row in listed)


def columns(document: Document, _library: Library) -> tuple[Column, ...]:
    """Circuit, load, its currents, and two columns for each condition; without conditions what it draws with all on."""
    first = (
        Column(Field(key="circuit", title=tr("Circuit")), lambda row: row.record.circuit),
        Column(Field(key="load", title=tr("Load")), lambda row: part_name(row.record.load.part)),
        _amps("running_a", tr("Running"), lambda row: row.record.load.running_a),
        _amps("starting_a", tr("Starting"), lambda row: row.record.load.starting_a),
        _amps("standby_a", tr("Stand-by"), lambda row: row.record.load.standby_a),
    )
    conditions = document.network.conditions
    if not conditions:
        return (*first, _drawn(0, tr("Everything on")))
    return (*first, *(column for number, each in enumerate(conditions) for column in _pair(number, each)))


def _pair(number: int, condition: Condition) -> tuple[Column, Column]:
    return _duty(condition), _drawn(number, condition.name)


def _amps(key: str, title: str, of: Callable[[Row], Estimate | None]) -> Column:
    return Column(
        Field(key=key, title=title, type="quantity", unit="A"),
        lambda row: quantity_of(of(row)),
        applies=lambda row: (of(row) or NOTHING).most > 0,
    )


def quantity_of(value: Estimate | None) -> Quantity:
    """A figure as a table shows it: a number, a range, or unknown where nothing bounds it."""
    if value is None or math.isinf(value.most):
        return None
    return value.least if value.exact else (value.least, value.most)


def _drawn(number: int, name: str) -> Column:
    """The diversified current in one condition; empty where it draws nothing, or no source reaches it."""

    def drawn(row: Row) -> Drawn:
        return row.record.drawn[number]  # type: ignore[no-any-return]

    return Column(
        Field(
            key=f"drawn.{number}", title=tr("{name}: draws").format(name=name), type="quantity", unit="A", about=EMPTY
        ),
        lambda row: quantity_of(drawn(row).amount),
        applies=lambda row: drawn(row).amount.most > 0,
    )


def _duty(condition: Condition) -> Column:
    about = tr(
        "The share of its full load over the time that the condition lasts, 0 to 1 or in %; empty: off or stands by."
    )

    def said(row: Row) -> str:
        duty = condition.duty.get(row.record.load.part.id)
        return "" if duty is None else number_text(duty)

    def edit(row: Row, text: Any) -> Edit:
        return edit_with(set_duty, condition.id, row.record.load.part.id, share_of(str(text or "")))

    title = tr("{name}: duty").format(name=condition.name)
    return Column(Field(key=f"duty.{condition.id}", title=title, about=about), said, edit)


def share_of(text: str) -> float | None:
    """A duty as it was typed: "0.4", "0,4", "40 %"; None for an empty text. Raises FieldRefusedError."""
    plain = text.strip().replace(",", ".")
    if not plain:
        return None
    per = 100.0 if plain.endswith("%") else 1.0
    try:
        share = float(plain.removesuffix("%")) / per
    except ValueError:
        raise FieldRefusedError(
            tr("“{text}” is no duty: write a share, 0 to 1, or per cent.").format(text=text)
        ) from None
    if not 0 <= share <= 1:
        raise FieldRefusedError(tr("A duty is a share between 0 and 1; {text} is none.").format(text=text))
    return share

"""A number with its bounds on the way into the network: which end of a range is taken, from which table, what it lacks.

Three corners of what is not known: `best` takes every open value at the end that gives the most voltage and current,
`worst` at the other, `middle` between them. Knows no circuit.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import msgspec

from engine.electrics.sources import Source, number_text
from engine.electrics.tables import row_source, table_rows
from engine.graph.boat import Boat
from engine.library.field_names import field_text, value_text
from engine.model.network import Part, Run
from engine.model.quantity import Quantity, high, is_exact, low

Corner = Literal["best", "middle", "worst"]
Favourable = Literal["low", "high"]
"""Which end of the value gives the most voltage at the loads."""


class Figure(msgspec.Struct, frozen=True):
    """A value that goes into the solution: the number, how it was come by, on what it rests, and which fields it lacks.

    With `lacks` the value is the most favourable one, so that results are at best what is shown.
    """

    value: complex
    unit: str
    formula: str
    sources: tuple[Source, ...] = ()
    lacks: tuple[str, ...] = ()

    @property
    def real(self) -> float:
        """The value where it is a real number."""
        return float(self.value.real)


def pick(quantity: Quantity, corner: Corner, favourable: Favourable) -> float:
    """The end of a known quantity that belongs to a corner; for `middle` the mean of the ends."""
    if corner == "middle":
        return (low(quantity) + high(quantity)) / 2
    return low(quantity) if (corner == "best") == (favourable == "low") else high(quantity)


@cache
def assumed(name: str, corner: Corner, favourable: Favourable) -> tuple[float, Source]:
    """A value of engine/data/network_values.csv at a corner, with its source."""
    row = next(row for row in table_rows("network_values") if row["name"] == name)
    column = "middle" if corner == "middle" else "low" if (corner == "best") == (favourable == "low") else "high"
    return float(row[column]), row_source(row)


def field_source(boat: Boat, owner: Part | Run, field: str) -> Source:
    """The drawing as source of a field, with the evidence there is for it ("design", "measured by ...")."""
    name = boat.name(owner) if isinstance(owner, Part) else boat.name_run(owner)
    stated = owner.evidence.get(field, ())
    known = "; ".join(f"{each.kind} {each.by} {each.date}".strip() for each in stated)
    return Source("the drawing", f"{name}, {named(boat, owner, field)}" + (f" ({known})" if known else ""), "published")


def named(boat: Boat, owner: Part | Run, field: str) -> str:
    """What a person calls a field of a part or a run."""
    return value_text(boat.kind(owner), field) if isinstance(owner, Part) else field_text(field)


def shown(quantity: Quantity, value: float) -> str:
    """A value as it stands in a formula, with the range it was picked from."""
    if quantity is None or is_exact(quantity):
        return number_text(value)
    return f"{number_text(value)} (of {number_text(low(quantity))} to {number_text(high(quantity))})"

"""A number between bounds with its formula, what it rests on and which fields it lacks: what the energy studies count with.

`most` is infinite where something is not known at all. Knows no boat.
"""

from __future__ import annotations

import math
from functools import cache

import msgspec

from engine.electrics.sources import Source, number_text
from engine.electrics.tables import row_source, table_rows
from engine.model.quantity import Quantity, high, low

UNKNOWN_MOST = math.inf
LEAD = frozenset({"flooded", "AGM", "gel"})


class Estimate(msgspec.Struct, frozen=True):
    """A value, the least and the most it can be, its unit, how it was come by and on what it rests."""

    least: float
    middle: float
    most: float
    unit: str
    formula: str = ""
    sources: tuple[Source, ...] = ()
    lacks: tuple[str, ...] = ()

    @property
    def exact(self) -> bool:
        """Whether the bounds are one number."""
        return self.least == self.most


def exactly(value: float, unit: str, formula: str = "", *sources: Source) -> Estimate:
    """A value without bounds."""
    return Estimate(value, value, value, unit, formula or f"{number_text(value)} {unit}".strip(), sources)


def estimated(quantity: Quantity, unit: str, field: str, *sources: Source) -> Estimate:
    """A quantity of the drawing; unknown is nought to without limit, and lacks its field."""
    if quantity is None:
        return Estimate(0.0, 0.0, UNKNOWN_MOST, unit, "?", sources, (field,))
    least, most = low(quantity), high(quantity)
    return Estimate(least, (least + most) / 2, most, unit, _shown(least, most, unit), sources)


def _shown(least: float, most: float, unit: str) -> str:
    text = number_text(least) if least == most else f"({number_text(least)} to {number_text(most)})"
    return f"{text} {unit}".strip()


@cache
def table_value(name: str, chemistry: str = "") -> Estimate | None:
    """A row of engine/data/energy_values.csv; for chemistry "" the row of all; None for a chemistry not in the table."""
    for row in table_rows("energy_values"):
        if row["name"] == name and row["chemistry"] in (chemistry, "lead" if chemistry in LEAD else chemistry):
            least, middle, most = float(row["low"]), float(row["middle"]), float(row["high"])
            text = number_text(middle) + ("" if least == most else f" ({number_text(least)} to {number_text(most)})")
            return Estimate(least, middle, most, row["unit"], text, (row_source(row),))
    return None


def value_of(name: str, chemistry: object = "") -> Estimate:
    """The same; for a chemistry that is not known, the widest bounds of all chemistries, and its middle the least
    favourable of theirs is not claimed: the mean of the bounds."""
    found = table_value(name, str(chemistry or ""))
    if found is not None:
        return found
    rows = [table_value(name, each) for each in ("flooded", "AGM", "gel", "LiFePO4")]
    known = [row for row in rows if row is not None]
    least, most = min(row.least for row in known), max(row.most for row in known)
    text = f"{number_text(least)} to {number_text(most)} (chemistry not known)"
    sources = tuple(dict.fromkeys(source for row in known for source in row.sources))
    return Estimate(least, (least + most) / 2, most, known[0].unit, text, sources)


def plus(first: Estimate, *others: Estimate) -> Estimate:
    """The sum."""
    made = first
    for each in others:
        made = Estimate(
            made.least + each.least, made.middle + each.middle, made.most + each.most, made.unit,
            f"{made.formula} + {each.formula}" if made.formula else each.formula, *_grounds(made, each),
        )  # fmt: skip
    return made


def times(first: Estimate, second: Estimate, unit: str, formula: str = "") -> Estimate:
    """The product; neither is negative."""
    text = formula or f"{first.formula} × {second.formula}"
    products = (_product(first.least, second.least), first.middle * second.middle, _product(first.most, second.most))
    return Estimate(*products, unit, text, *_grounds(first, second))


def over(first: Estimate, second: Estimate, unit: str, formula: str = "") -> Estimate:
    """The quotient; neither is negative; over nought it is without limit."""
    text = formula or f"{first.formula} / {second.formula}"
    return Estimate(
        _quotient(first.least, second.most), _quotient(first.middle, second.middle),
        _quotient(first.most, second.least), unit, text, *_grounds(first, second),
    )  # fmt: skip


def scaled(value: Estimate, factor: float, unit: str, formula: str) -> Estimate:
    """Times a plain number."""
    return Estimate(
        _product(value.least, factor), _product(value.middle, factor), _product(value.most, factor), unit, formula,
        value.sources, value.lacks,
    )  # fmt: skip


def smaller(first: Estimate, second: Estimate, formula: str) -> Estimate:
    """The smaller of two."""
    return Estimate(
        min(first.least, second.least), min(first.middle, second.middle), min(first.most, second.most), first.unit,
        formula, *_grounds(first, second),
    )  # fmt: skip


def _product(a: float, b: float) -> float:
    return 0.0 if a == 0 or b == 0 else a * b


def _quotient(a: float, b: float) -> float:
    if math.isinf(b):
        return 0.0
    return a / b if b > 0 else (0.0 if a == 0 else math.inf)


def _grounds(first: Estimate, second: Estimate) -> tuple[tuple[Source, ...], tuple[str, ...]]:
    sources = tuple(dict.fromkeys((*first.sources, *second.sources)))
    return sources, tuple(dict.fromkeys((*first.lacks, *second.lacks)))


def text_of(value: Estimate, digits: int = 1) -> str:
    """As it is shown: "36.8 Ah", "12 to 30 Ah", "at least 12 Ah", "?" where nothing bounds it."""
    if math.isinf(value.least):
        return "?"
    if math.isinf(value.most):
        return f"at least {_rounded(value.least, digits)} {value.unit}".strip() if value.least else "?"
    least, most = _rounded(value.least, digits), _rounded(value.most, digits)
    return f"{least if least == most else f'{least} to {most}'} {value.unit}".strip()


def _rounded(value: float, digits: int) -> str:
    return number_text(round(value, digits)) if abs(value) < 100 else number_text(round(value))

"""Reading the standards tables in engine/data. Knows the files and their columns' form, not their meaning."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from engine.electrics.sources import STATUSES, Source

DATA = Path(__file__).resolve().parent.parent / "data"

Row = Mapping[str, str]


@cache
def table_rows(name: str) -> tuple[Row, ...]:
    """All rows of engine/data/<name>.csv, read once. Cells are texts as they stand in the file."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(MappingProxyType(row) for row in csv.DictReader(file))


def row_source(row: Row) -> Source:
    """The source columns of a row. Raises ValueError for a status that is none of the four words."""
    status = next((word for word in STATUSES if word == row["status"]), None)
    if status is None:
        raise ValueError(f"status {row['status']!r} is none of {', '.join(STATUSES)}")
    return Source(row["document"], row["table"], status)


@cache
def constant(name: str) -> tuple[float, Source]:
    """A constant of engine/data/constants.csv and its source."""
    row = next(row for row in table_rows("constants") if row["name"] == name)
    return float(row["value"]), row_source(row)

"""A table as data: titled columns and rows of numbers and texts, for CSV and XLSX. Knows no boat."""

from __future__ import annotations

import msgspec

Value = float | str | None


class Field(msgspec.Struct, frozen=True):
    """A column: its title, the decimals its numbers are shown with (None: as many as they have), width in letters."""

    title: str
    decimals: int | None = None
    width: float = 10.0


class Table(msgspec.Struct, frozen=True):
    """Rows under their columns; every row has a value for each."""

    title: str
    fields: tuple[Field, ...]
    rows: tuple[tuple[Value, ...], ...]

"""A table as CSV: UTF-8 with a mark that spreadsheets look for, comma, CRLF (RFC 4180), decimal point."""

from __future__ import annotations

import csv
import io

from engine.export.table_data import Table, Value

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def csv_bytes(table: Table) -> bytes:
    """The table with its titles in the first row.

    A text that a spreadsheet would run as a formula gets an apostrophe before it.
    """
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow([field.title for field in table.fields])
    writer.writerows([[_cell(value) for value in row] for row in table.rows])
    return file.getvalue().encode("utf-8-sig")


def _cell(value: Value) -> str:
    if isinstance(value, str):
        return f"'{value}" if value.startswith(FORMULA_STARTS) else value
    return "" if value is None else f"{value:.10g}"

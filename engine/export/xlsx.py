"""A table as an Excel workbook: real numbers, a head that stays in sight and is repeated in print, widths, a filter."""

from __future__ import annotations

import io
from typing import Any

from engine.export.table_data import Field, Table, Value

HEAD_FILL = "E9EEF5"


def xlsx_bytes(*tables: Table, title: str = "", author: str = "") -> bytes:
    """The workbook as the bytes of a file, with a sheet for each table, named after it."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    for table in tables:
        _write_sheet(book.create_sheet(_sheet_name(table.title)), table)
    book.properties.title, book.properties.creator = title or tables[0].title, author
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _write_sheet(sheet: Any, table: Table) -> None:
    _write_head(sheet, table.fields)
    for number, row in enumerate(table.rows, 2):
        for column, (field, value) in enumerate(zip(table.fields, row, strict=True), 1):
            _write(sheet.cell(number, column), field, value)
    _furnish(sheet, table)


def _sheet_name(title: str) -> str:
    """At most 31 letters and none of those that a workbook refuses."""
    return "".join(" " if character in "[]:*?/\\" else character for character in title)[:31] or "Table"


def _write_head(sheet: Any, fields: tuple[Field, ...]) -> None:
    from openpyxl.styles import Alignment, Font, PatternFill

    for column, field in enumerate(fields, 1):
        cell = sheet.cell(1, column, field.title)
        cell.font = Font(bold=True)
        cell.fill = PatternFill("solid", fgColor=HEAD_FILL)
        cell.alignment = Alignment(wrap_text=True, vertical="top")


def _write(cell: Any, field: Field, value: Value) -> None:
    if isinstance(value, str):
        from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

        cell.value = ILLEGAL_CHARACTERS_RE.sub("", value)
        cell.data_type = "s"  # a text that begins with "=" stays a text
    elif value is not None:
        cell.value = value
        if field.decimals is not None:
            cell.number_format = "0" + ("." + "0" * field.decimals if field.decimals else "")


def _furnish(sheet: Any, table: Table) -> None:
    from openpyxl.utils import get_column_letter

    for column, field in enumerate(table.fields, 1):
        sheet.column_dimensions[get_column_letter(column)].width = field.width
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = sheet.dimensions
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True

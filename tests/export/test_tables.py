"""Tables as CSV and XLSX: what goes in comes out."""

from __future__ import annotations

import csv
import io

from openpyxl import load_workbook

from engine.export.csv_table import csv_bytes
from engine.export.table_data import Field, Table
from engine.export.xlsx import xlsx_bytes
from engine.papers.run_list import run_list_table
from tests.papers.boats import sample

TABLE = Table(
    "Runs: [all]",
    (Field("Wire"), Field("Length m", 2, 12.0), Field("Note", width=30.0)),
    (("1", 3.5, "a, \"b\"\nc"), ("2", 0.1 + 0.2, "=1+1"), ("3", "?", "Ω ž ½")),
)  # fmt: skip


def read_csv(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_csv_round_trip() -> None:
    rows = read_csv(csv_bytes(TABLE))
    assert rows[0] == ["Wire", "Length m", "Note"]
    assert rows[1] == ["1", "3.5", 'a, "b"\nc']
    assert rows[2] == ["2", "0.3", "'=1+1"], "no noise of the floating point, no formula"
    assert rows[3] == ["3", "?", "Ω ž ½"]
    assert csv_bytes(TABLE).startswith(b"\xef\xbb\xbf")
    assert b"\r\n" in csv_bytes(TABLE)


def test_xlsx_round_trip() -> None:
    sheet = load_workbook(io.BytesIO(xlsx_bytes(TABLE, title="T"))).active
    assert sheet is not None
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert rows[0] == ["Wire", "Length m", "Note"]
    assert rows[1] == ["1", 3.5, 'a, "b"\nc']
    assert rows[2][2] == "=1+1"
    assert sheet["C3"].data_type == "s", "a text, not a formula"
    assert rows[3][1] == "?"


def test_xlsx_is_furnished() -> None:
    sheet = load_workbook(io.BytesIO(xlsx_bytes(TABLE))).active
    assert sheet is not None
    assert sheet.title == "Runs   all "
    assert sheet.freeze_panes == "B2"
    assert sheet.column_dimensions["C"].width == 30.0
    assert sheet["B2"].number_format == "0.00"
    assert sheet["A1"].font.bold


def test_letters_that_a_workbook_refuses_are_left_out() -> None:
    table = Table("T", (Field("A"),), (("a\x00b\x07c",),))
    sheet = load_workbook(io.BytesIO(xlsx_bytes(table))).active
    assert sheet is not None
    assert sheet["A2"].value == "abc"


def test_the_run_list_of_the_sample_comes_back_from_both() -> None:
    table = run_list_table(sample("quill_34"))
    sheet = load_workbook(io.BytesIO(xlsx_bytes(table))).active
    assert sheet is not None
    rows = [tuple(cell.value for cell in row) for row in sheet.iter_rows(min_row=2)]
    assert rows == [tuple(row) for row in table.rows]
    lengths = [row[7] for row in rows]
    assert all(isinstance(length, (int, float)) for length in lengths), "real numbers"
    from_csv = read_csv(csv_bytes(table))[1:]
    assert [row[0] for row in from_csv] == [row[0] for row in table.rows]
    assert [float(row[7]) for row in from_csv] == lengths
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in from_csv for cell in row)

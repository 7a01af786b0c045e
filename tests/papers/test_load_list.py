"""The load list on paper and as tables: every load once, sums under it, the worst condition of every feeder."""

from __future__ import annotations

from io import BytesIO

import pytest
from openpyxl import load_workbook

from engine.export.csv_table import csv_bytes
from engine.export.table_data import Table
from engine.papers.catalogue import paper_named
from engine.papers.load_list import load_list
from engine.papers.load_tables import by_panel, load_table, sums_table
from engine.studies.load_list import feeder_rows, load_rows
from engine.studies.loads import load_analysis
from tests.papers.boats import SAMPLE_NAMES, SMALL, sample, sketched
from tests.papers.page_checks import words_on


def rows_of(table: Table, key: int = 0) -> dict[object, dict[str, object]]:
    titles = [field.title for field in table.fields]
    return {row[key]: dict(zip(titles, row, strict=True)) for row in table.rows}


@pytest.mark.parametrize("name", SAMPLE_NAMES)
def test_every_load_and_every_feeder_is_listed(name: str) -> None:
    boat = sample(name).boat
    assert len(load_table(boat).rows) == len(load_rows(boat)) == sum(len(rows) for _, rows in by_panel(boat))
    words = words_on(load_list(sample(name)))
    for row in load_rows(boat):
        assert row.load.part.designation in words
    for feeder in feeder_rows(boat):
        assert feeder.run.number in words.split()
    assert "UNCONFIRMED" in words
    assert "The drawing was checked, not the boat" in words


def test_the_columns_of_the_trade_and_a_duty_and_a_current_for_each_condition() -> None:
    table = load_table(sample("quill_34").boat)
    radio = rows_of(table)["A1.7"]
    assert (radio["Designation"], radio["Place"], radio["V"], radio["Running A"], radio["Stand-by A"]) == (
        "E7", "Nav station", 12, 6, 0.5,
    )  # fmt: skip
    assert (radio["Manoeuvring: duty"], radio["Manoeuvring: A"]) == (0.3, pytest.approx(1.8))
    assert (radio["Alongside: duty"], radio["Alongside: A"]) == (0, 0.5)


def test_the_worst_condition_is_named_for_each_feeder() -> None:
    feeders = rows_of(sums_table(sample("quill_34").boat), 1)
    assert feeders["5: G2 – F2"]["Worst condition"] == "Manoeuvring"
    assert feeders["22: F5 – A1"]["Worst condition"] == "Motoring by day"
    assert feeders["22: F5 – A1"]["Diversified A"] == pytest.approx(16.74)
    assert feeders["22: F5 – A1"]["All at once A"] == pytest.approx(50)
    assert feeders["20: F10 – A2"]["Worst condition"] == "all alike"


def test_the_listed_amperes_add_up_to_the_sum_of_the_panel() -> None:
    boat = sample("quill_34").boat
    loads, sums = load_table(boat), rows_of(sums_table(boat), 1)
    names = [case.name for case in load_analysis(boat).cases]
    for panel in ("A1 DC panel", "A2 24-hour block", "A3 AC panel"):
        on_it = [row for way, row in rows_of(loads).items() if str(way).startswith(panel[:2] + ".")]
        for name in names:
            assert sum(float(row[f"{name}: A"]) for row in on_it) == pytest.approx(sums[panel][f"{name}: A"])  # type: ignore[arg-type]


def test_what_is_not_known_is_a_question_mark_and_keeps_sums_open() -> None:
    subject = sketched(SMALL)
    unknown = rows_of(load_table(subject.boat), 1)["E2"]
    assert (unknown["Running A"], unknown["Everything on, no charging: A"]) == ("?", "?")
    words = words_on(load_list(subject))
    assert "≥" in words
    (panel,) = [row for row in sums_table(subject.boat).rows if row[1] == "A1 DC panel"]
    assert "≥ 10" in panel


def test_a_load_that_should_work_and_is_not_fed_is_told() -> None:
    text = SMALL + '\ncondition night "By night" Q1=off E1=1\n'
    subject = sketched(text)
    assert "not fed" in words_on(load_list(subject))
    assert rows_of(load_table(subject.boat), 1)["E1"]["By night: A"] == "not fed"


def test_the_workbook_has_a_sheet_for_loads_and_one_for_sums() -> None:
    files = {made.ending: made.content for made in paper_named("load-list").files(sample("quill_34"))}
    book = load_workbook(BytesIO(files["load-list.xlsx"]))
    assert book.sheetnames == ["Loads", "Sums and feeders"]
    assert book["Loads"]["A2"].value == "A1.1"
    assert files["load-list.csv"] == csv_bytes(load_table(sample("quill_34").boat))
    assert b"Manoeuvring" in files["load-sums.csv"]


def test_a_boat_without_loads_says_so() -> None:
    words = words_on(load_list(sketched('boat "Bare"\nG1 battery nominal_v=12')))
    assert "This drawing has no loads" in words

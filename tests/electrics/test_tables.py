"""The data files: every row says where it comes from and how well it is known, and names no shop or address."""

from __future__ import annotations

import math
import re

import pytest

from engine.electrics.sources import Source, number_text, weakest_status
from engine.electrics.tables import DATA, constant, row_source, table_rows

STANDARDS_TABLES = sorted(
    path.stem for path in DATA.glob("*.csv") if "document,table,status" in path.read_text(encoding="utf-8")
)


def test_the_tables_are_there() -> None:
    assert len(STANDARDS_TABLES) >= 20


@pytest.mark.parametrize("name", STANDARDS_TABLES)
def test_every_row_has_a_source_and_a_status(name: str) -> None:
    for row in table_rows(name):
        source = row_source(row)
        assert source.document
        assert source.table
        assert None not in row


@pytest.mark.parametrize("name", STANDARDS_TABLES)
def test_no_web_address_stands_in_a_table(name: str) -> None:
    text = (DATA / f"{name}.csv").read_text(encoding="utf-8")
    assert not re.search(r"https?:|www\.|\.(com|org|net|co)\b", text)


def test_a_status_that_is_no_word_is_refused() -> None:
    with pytest.raises(ValueError, match="hearsay"):
        row_source({"document": "d", "table": "t", "status": "hearsay"})


def test_the_weakest_status_counts() -> None:
    published, memory = Source("a", "b", "published"), Source("a", "b", "memory")
    computed, secondary = Source("a", "b", "computed"), Source("a", "b", "secondary")
    assert weakest_status((published, memory, secondary)) == "memory"
    assert weakest_status((published, computed)) == "computed"
    assert weakest_status((published, secondary)) == "secondary"
    assert weakest_status(()) == "memory"


def test_constants() -> None:
    """E-11 K 10.75 and the ISO 0.0164; 10.75 is copper at about 29 C (C09)."""
    assert constant("k_e11")[0] == 10.75
    assert constant("k_iso13297")[0] == 0.0164
    rho, alpha = constant("rho20_copper")[0], constant("alpha20_copper")[0]
    assert (10.75 / rho - 1) / alpha + 20 == pytest.approx(29.3, abs=0.1)


@pytest.mark.parametrize(("item", "capacity_ah"), [("flooded 4D", 225), ("group 27", 90)])
def test_battery_capacities_of_common_practice(item: str, capacity_ah: float) -> None:
    """Common practice, no source: a flooded 4D holds about 225 Ah, a group 27 about 90 Ah."""
    row = next(r for r in table_rows("batteries") if r["item"] == item and "common practice" in r["topic"])
    assert float(row["value"]) == capacity_ah
    assert (row["document"], row["status"]) == ("common practice, no source", "memory")


def test_group_27_of_common_practice_lies_in_the_range_of_a_size_chart() -> None:
    chart = next(r for r in table_rows("batteries") if (r["topic"], r["item"]) == ("capacity 20 h", "BCI 27"))
    assert float(chart["low"]) <= 90 <= float(chart["high"])


@pytest.mark.parametrize("row", table_rows("adiabatic_k"), ids=lambda row: f"{row['insulation']}-{row['use'][:12]}")
def test_adiabatic_k_follows_its_formula(row: dict[str, str]) -> None:
    """IEC 60364-5-54: k = 226 sqrt(ln(1 + (final - initial) / (234.5 + initial))) for copper."""
    initial_c, final_c = float(row["initial_c"]), float(row["final_c"])
    k = 226 * math.sqrt(math.log(1 + (final_c - initial_c) / (234.5 + initial_c)))
    assert float(row["k_recomputed"]) == pytest.approx(k, abs=0.06)
    if row["k"]:
        assert float(row["k"]) == pytest.approx(k, abs=0.61)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (30.6, "30.6"),
        (60.0, "60"),
        (0.0164, "0.0164"),
        (133076.5, "133076"),
        (0.0, "0"),
        (1e-6, "1e-06"),
        (6270.833, "6270.83"),
    ],
)
def test_numbers_in_formulae(value: float, text: str) -> None:
    assert number_text(value) == text

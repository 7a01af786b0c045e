"""Conductor sizes: the gauge formula, the spellings, and what stands in for what."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.electrics.sizes import (
    System,
    largest_not_above,
    metric,
    parse_size,
    sae,
    smallest_not_below,
    standard_sizes,
    substitutes,
)
from engine.electrics.sources import ElectricsError
from engine.electrics.tables import table_rows
from tests.electrics.published import published

GAUGES = published("awg_metric")


@pytest.mark.parametrize("row", GAUGES, ids=lambda row: f"ASTM-B258-{row['awg']}AWG")
def test_gauge_formula(row: dict[str, str]) -> None:
    size = parse_size(row["awg"], "AWG")
    assert size.area_mm2 == pytest.approx(float(row["area_mm2"]), abs=0.0006)
    assert size.area_cmil == pytest.approx(float(row["area_cmil"]), abs=0.6)
    below = largest_not_above(size.area_mm2, "metric")
    assert below is not None
    assert below.area_mm2 == float(row["metric_not_larger_mm2"])


@pytest.mark.parametrize("row", table_rows("circular_mils"), ids=lambda row: f"NEC-T8-{row['awg']}AWG")
def test_gauge_formula_agrees_with_nec_table_8(row: dict[str, str]) -> None:
    """NEC Chapter 9 Table 8 prints the areas rounded, 18 AWG as 1620 for 1624."""
    assert parse_size(row["awg"], "AWG").area_cmil == pytest.approx(float(row["area_cmil_nec_table8"]), rel=0.003)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("10 AWG", "10 AWG"),
        ("10awg", "10 AWG"),
        ("AWG 10", "10 AWG"),
        ("#10", "10 AWG"),
        ("No. 8", "8 AWG"),
        ("08 AWG", "8 AWG"),
        ("10 ga", "10 AWG"),
        ("2/0", "2/0 AWG"),
        ("2/0 AWG", "2/0 AWG"),
        ("00", "2/0 AWG"),
        ("0 AWG", "1/0 AWG"),
        ("0000 awg", "4/0 AWG"),
        ("10 SAE", "10 SAE"),
        ("SAE 2/0", "2/0 SAE"),
        ("6 mm2", "6 mm²"),
        ("6mm²", "6 mm²"),
        (" 2,5  mm² ", "2.5 mm²"),
        (".75 mm2", "0.75 mm²"),
        ("16 sq mm", "16 mm²"),
        ("13 mm²", "13 mm²"),
    ],
)
def test_spellings(text: str, name: str) -> None:
    assert parse_size(text).name == name


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("10", "size-without-system"),
        ("2.5", "size-without-system"),
        ("ten AWG", "size-not-understood"),
        ("", "size-not-understood"),
        ("5/0 AWG", "size-not-understood"),
        ("2.5 AWG", "size-not-understood"),
        ("-6 mm²", "size-not-understood"),
        ("6 mm", "size-not-understood"),
        ("99 AWG", "size-out-of-range"),
        ("0 mm²", "size-out-of-range"),
        ("5000 mm²", "size-out-of-range"),
        ("3 SAE", "no-sae-area"),
    ],
)
def test_what_is_no_size_is_refused(text: str, code: str) -> None:
    with pytest.raises(ElectricsError) as refused:
        parse_size(text)
    assert refused.value.code == code


def test_a_bare_number_is_read_in_the_system_asked_for() -> None:
    assert parse_size("10", "AWG").name == "10 AWG"
    assert parse_size("10", "metric").name == "10 mm²"


@pytest.mark.parametrize("system", ["AWG", "SAE", "metric"])
def test_standard_sizes_rise_and_read_back(system: System) -> None:
    listed = standard_sizes(system)
    assert list(listed) == sorted(listed)
    assert all(parse_size(size.name) == size for size in listed)


def test_sae_is_smaller_than_awg_of_the_same_gauge() -> None:
    """C08: cable to SAE J1127/J1128 has less copper; a cable maker prints 9343 CM for 10 gauge."""
    assert parse_size("10 SAE").area_cmil == 9343
    for size in standard_sizes("SAE"):
        assert size.area_mm2 < parse_size(size.name.replace("SAE", "AWG")).area_mm2


def test_six_gauge_sae_has_the_conservative_area() -> None:
    """C05: 24538 CM is printed by a cable maker; 25910 CM reproduces the E-11 chart (test_voltage_drop)."""
    assert sae("6").area_cmil == 24538


def test_16_awg_is_not_1_5_mm2() -> None:
    found = substitutes(parse_size("16 AWG"), "metric")
    assert (found.not_smaller, found.not_larger) == (metric(1.5), metric(1.0))
    assert found.note.text == "16 AWG is 1.31 mm²; 1.5 mm² may replace it; it may replace 1 mm² and smaller."


def test_beyond_the_listed_sizes_nothing_stands_in() -> None:
    assert substitutes(metric(240), "AWG").not_smaller is None
    assert substitutes(parse_size("24 AWG"), "metric").not_larger is None


@given(st.floats(0.06, 999), st.sampled_from(["AWG", "SAE", "metric"]))
def test_the_two_neighbours_enclose_an_area(area_mm2: float, system: System) -> None:
    above, below = smallest_not_below(area_mm2, system), largest_not_above(area_mm2, system)
    assert above is None or above.area_mm2 >= area_mm2
    assert below is None or below.area_mm2 <= area_mm2
    assert above or below


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused(text: str) -> None:
    with contextlib.suppress(ElectricsError):
        assert parse_size(text).area_mm2 > 0

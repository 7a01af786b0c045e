"""Voltage drop against the printed E-11 chart, worked examples and the laws a drop must obey."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.electrics.sizes import ConductorSize, metric, parse_size, standard_sizes
from engine.electrics.sources import ElectricsError
from engine.electrics.voltage_drop import (
    SizeBasis,
    longest_circuit_m,
    required_area,
    smallest_size,
    voltage_drop,
)
from tests.electrics.published import published

FT = 0.3048
CHART = published("voltage_drop_chart_e11")


def gauge(current_a: float, length_ft: float, system_v: float, percent: float, basis: SizeBasis) -> str:
    required = required_area(current_a, length_ft * FT, system_v, percent, "e11")
    return smallest_size(required, basis).size.name.split()[0]


def test_the_chart_has_its_cells_and_one_misprint() -> None:
    assert len(CHART) == 89
    assert [(row["current_a"], row["length_ft"]) for row in CHART if row["known_misprint"]] == [("15", "60")]


@pytest.mark.parametrize("row", CHART, ids=lambda row: f"E11-IX-12V-3pc-{row['current_a']}A-{row['length_ft']}ft")
def test_printed_chart(row: dict[str, str]) -> None:
    """88 cells follow the formula with the chart's areas; 15 A, 60 ft is the known misprint (C06)."""
    found = gauge(float(row["current_a"]), float(row["length_ft"]), 12, 3, "E-11 chart")
    if row["known_misprint"]:
        assert (found, row["printed_awg"]) == ("4", "6")
    else:
        assert found == row["printed_awg"]


def test_the_misprint_contradicts_the_chart_itself() -> None:
    """C06: 10 A over 90 ft is the same product as 15 A over 60 ft, and that cell prints 4."""
    twin = next(row for row in CHART if (row["current_a"], row["length_ft"]) == ("10", "90"))
    assert twin["printed_awg"] == "4" == gauge(15, 60, 12, 3, "E-11 chart")


def test_six_gauge_needs_the_chart_area_for_one_printed_cell() -> None:
    """C05: 12 V, 3 %, 5 A, 170 ft prints 6; with the 24538 CM of SAE cable it would be 4."""
    cell = next(row for row in CHART if (row["current_a"], row["length_ft"]) == ("5", "170"))
    assert cell["printed_awg"] == "6" == gauge(5, 170, 12, 3, "E-11 chart")
    assert gauge(5, 170, 12, 3, "SAE") == "4"
    found = smallest_size(required_area(5, 170 * FT, 12, 3, "e11"), "E-11 chart")
    assert [note.code for note in found.notes] == ["six-gauge-area"]
    assert found.sources[0].status == "memory"


@pytest.mark.parametrize(
    ("example", "system_v", "percent", "current_a", "length_ft", "basis", "expected"),
    [
        ("US-WE-01 chandlers' wire guide, 11 + 10 ft", 12, 3, 10, 21, "SAE", "10"),
        ("US-WE-02 chandler's catalogue, 11 + 10 ft", 12, 10, 10, 21, "SAE", "16"),
        ("US-WE-03 panel manual, areas to AWG", 12, 10, 45, 40, "AWG", "8"),
        ("US-WE-03 with SAE areas one gauge more", 12, 10, 45, 40, "SAE", "6"),
    ],
)
def test_worked_gauges(
    example: str, system_v: float, percent: float, current_a: float, length_ft: float, basis: SizeBasis, expected: str
) -> None:
    assert gauge(current_a, length_ft, system_v, percent, basis) == expected, example


def test_us_we_01_required_area() -> None:
    """Chandlers' wire guide: 12 V, 3 %, 10 A, 21 ft: 6271 CM; AWG-area wire of 6500 CM would pass with 12 (C08)."""
    assert required_area(10, 21 * FT, 12, 3, "e11").area_cmil == pytest.approx(6271, abs=1)
    assert gauge(10, 21, 12, 3, "AWG") == "12"


def test_int_001_us_we_22_masthead_light() -> None:
    """A boat owner's page, ISO formula: 1.6 A, 22 m out and back, 1.5 mm²: 0.38 V printed (0.385 exactly)."""
    found = voltage_drop(metric(1.5), 1.6, 22, 12, "iso13297")
    assert found.drop_v == pytest.approx(0.385, abs=0.001)
    assert found.formula.startswith("E = 0.0164 × 1.6 × 22 / 1.5 = 0.38485 V")
    assert found.status == "secondary"


def test_us_we_23_volts_left_at_the_load() -> None:
    """A battery service's page: 12.6 V less 3 % is 12.2 V, less 10 % 11.34 V; longest circuits end there."""
    for percent, load_v in ((3, 12.2), (10, 11.34)):
        size = parse_size("10 AWG")
        length_m = longest_circuit_m(size, 10, 12.6, percent, "e11")
        drop = voltage_drop(size, 10, length_m, 12.6, "e11")
        assert 12.6 - drop.drop_v == pytest.approx(load_v, abs=0.05)


def test_us_we_34_drops_of_segments_add_up() -> None:
    """A panel maker's manual: 1.5 % and 1.5 % in series are 3 %."""
    size = parse_size("2 AWG")
    half = longest_circuit_m(size, 100, 12, 1.5, "e11")
    assert voltage_drop(size, 100, 2 * half, 12, "e11").drop_percent == pytest.approx(3)


def test_the_two_formulae_stand_close_together() -> None:
    """10.75 ohm cmil/ft is 0.01787 ohm mm²/m, 9 % over 0.0164: E-11 is the stricter of the two."""
    us, iso = (voltage_drop(metric(6), 10, 10, 12, rulebook).drop_v for rulebook in ("e11", "iso13297"))
    assert us / iso == pytest.approx(1.0897, abs=0.001)


def test_e11_formula_text() -> None:
    found = voltage_drop(parse_size("10 AWG"), 10, 21 * FT, 12, "e11")
    assert found.formula == "E = 10.75 × 10 × 21 / 10383.02 = 0.21742 V (K × A × ft out and back / CM)"
    assert required_area(10, 21 * FT, 12, 3, "e11").formula == "CM = 10.75 × 10 × 21 / 0.36 = 6270.83 CM"


def test_refusals() -> None:
    size = parse_size("10 AWG")
    for arguments, code in (
        ((size, 10.0, 5.0, 12.0, "33cfr183"), "no-voltage-drop-rule"),
        ((size, -1.0, 5.0, 12.0, "e11"), "negative-quantity"),
        ((size, 1.0, float("nan"), 12.0, "e11"), "negative-quantity"),
        ((size, 1.0, 5.0, 0.0, "e11"), "voltage-not-positive"),
    ):
        with pytest.raises(ElectricsError) as refused:
            voltage_drop(*arguments)  # type: ignore[arg-type]
        assert refused.value.code == code
    with pytest.raises(ElectricsError, match="No AWG size has"):
        smallest_size(required_area(500, 100, 12, 3, "e11"), "AWG")


sizes = st.sampled_from([*standard_sizes("AWG"), *standard_sizes("metric"), *standard_sizes("SAE")])
rulebooks = st.sampled_from(["e11", "iso13297"])


@given(sizes, st.floats(0.1, 500), st.floats(0.1, 60), rulebooks)
def test_drop_is_linear_in_length_and_current(
    size: ConductorSize, current_a: float, length_m: float, rulebook: str
) -> None:
    one = voltage_drop(size, current_a, length_m, 12, rulebook).drop_v  # type: ignore[arg-type]
    assert voltage_drop(size, current_a, 3 * length_m, 12, rulebook).drop_v == pytest.approx(3 * one)  # type: ignore[arg-type]
    assert voltage_drop(size, 2 * current_a, length_m, 12, rulebook).drop_v == pytest.approx(2 * one)  # type: ignore[arg-type]


@given(st.floats(0.1, 50), st.floats(0.1, 30), st.sampled_from([3.0, 10.0]), rulebooks)
def test_the_smallest_size_keeps_within_the_limit_and_the_next_below_does_not(
    current_a: float, length_m: float, percent: float, rulebook: str
) -> None:
    required = required_area(current_a, length_m, 24, percent, rulebook)  # type: ignore[arg-type]
    basis: SizeBasis = "AWG" if rulebook == "e11" else "metric"
    chosen = smallest_size(required, basis).size
    drop = voltage_drop(chosen, current_a, length_m, 24, rulebook)  # type: ignore[arg-type]
    assert drop.drop_percent <= percent * (1 + 1e-9)
    for smaller in (size for size in standard_sizes(basis) if size < chosen):
        assert voltage_drop(smaller, current_a, length_m, 24, rulebook).drop_percent > percent  # type: ignore[arg-type]

"""Quantities as people type and read them. 1 ft = 0.3048 m, 1 lb = 0.45359237 kg (yard and pound agreement of 1959)."""

from __future__ import annotations

import contextlib
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.units import (
    QuantityError,
    World,
    convert,
    format_quantity,
    other_world_text,
    parse_quantity,
    units,
    world_unit,
)


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("12 ft", "m", 3.6576),
        ("3.7 m", "m", 3.7),
        ("3,7 m", "m", 3.7),
        ("3.7", "m", 3.7),
        ("12' 6\"", "m", 3.81),
        ("12 ft 6 in", "m", 3.81),
        ("12'6", "m", 3.81),
        ("7 in", "m", 0.1778),
        ("3/4 in", "mm", 19.05),
        ("1 1/2 in", "mm", 38.1),
        ("600 mm", "m", 0.6),
        ("150 W", "W", 150.0),
        ("1.5kW", "W", 1500.0),
        ("20 kA", "A", 20000.0),
        ("500 mA", "A", 0.5),
        ("5 amps", "A", 5.0),
        ("50 KW", "W", 50000.0),
        ("225 ah", "Ah", 225.0),
        ("4 mΩ", "mohm", 4.0),
        ("0.004 Ω", "mohm", 4.0),
        ("0.004 \u2126", "mohm", 4.0),
        ("221 °F", "degC", 105.0),
        ("-5 °C", "degC", -5.0),
        ("−5", "degC", -5.0),
        ("6 mm²", "mm2", 6.0),
        ("100 lb", "kg", 45.359237),
        ("80%", "%", 80.0),
        ("3", "", 3.0),
        ("1500 W", "kW", 1.5),
        ("0,500 A", "A", 0.5),
    ],
)
def test_one_number(text: str, unit: str, expected: float) -> None:
    assert parse_quantity(text, unit) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("150-175 A", "A", (150, 175)),
        ("150 A - 175 A", "A", (150, 175)),
        ("150 to 175 A", "A", (150, 175)),
        ("150–175", "A", (150, 175)),
        ("150..175 A", "A", (150, 175)),
        ("175-150 A", "A", (150, 175)),
        ("-5 - 30 °C", "degC", (-5, 30)),
        ("10-20 ft", "m", (3.048, 6.096)),
        ("500 mA - 2 A", "A", (0.5, 2)),
        ("1-2 kW", "W", (1000, 2000)),
    ],
)
def test_ranges(text: str, unit: str, expected: tuple[float, float]) -> None:
    assert parse_quantity(text, unit) == pytest.approx(expected)


def test_a_range_of_one_value_is_that_value() -> None:
    assert parse_quantity("150-150 A", "A") == 150


@pytest.mark.parametrize("text", ["", "  ", "?", "unknown", "Unknown", "not known"])
def test_unknown(text: str) -> None:
    assert parse_quantity(text, "A") is None


def test_a_bare_number_is_in_the_preferred_unit() -> None:
    assert parse_quantity("12", "m", "ft") == 3.6576
    assert parse_quantity("12 m", "m", "ft") == 12
    assert parse_quantity("10-20", "m", "ft") == pytest.approx((3.048, 6.096))


@pytest.mark.parametrize(
    ("text", "unit", "code", "advice"),
    [
        ("twelve", "A", "number-not-understood", "3.5 A"),
        ("1-2-3", "A", "number-not-understood", "range"),
        ("12 A 5", "A", "number-not-understood", "3.5 A"),
        ("1/0", "A", "number-not-understood", "0.5"),
        ("1e3 A", "A", "number-not-understood", "3.5 A"),
        ("nan", "A", "number-not-understood", "3.5 A"),
        ("1,500 W", "W", "comma-ambiguous", "1500"),
        ("1,000.5 W", "W", "comma-ambiguous", "1500"),
        ("12 ft", "A", "unit-of-other-kind", "3.5 A"),
        ("12 hp", "V", "unit-of-other-kind", "12 V"),
        ("12 xyzzy", "Ah", "unit-unknown", "100 Ah"),
        ("5 MA", "A", "unit-unknown", "3.5 A"),
        ("10 (A", "A", "unit-unknown", "3.5 A"),
        ("9" * 400, "A", "too-long", "too long"),
    ],
)
def test_refusals_say_what_to_type(text: str, unit: str, code: str, advice: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_quantity(text, unit)
    assert refused.value.code == code
    assert advice in str(refused.value)


@pytest.mark.parametrize(
    ("text", "unit", "expected"), [("1 hp", "W", 745.69987), ("3 yd", "m", 2.7432), ("2 fathom", "m", 3.6576)]
)
def test_rarer_units_are_looked_up(text: str, unit: str, expected: float) -> None:
    assert parse_quantity(text, unit) == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("unit", units())
def test_every_unit_can_be_asked_of_the_library(unit: str) -> None:
    """No unit of the table is spelt in a way pint does not know, whatever the outcome."""
    with contextlib.suppress(QuantityError):
        assert isinstance(parse_quantity("3 yd", unit), float)


def test_common_units_load_no_library() -> None:
    program = (
        "import sys; from engine.units import parse_quantity, format_quantity; parse_quantity('12 ft', 'm');"
        "format_quantity(3.7, 'm', 'us'); sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0


@pytest.mark.parametrize(
    ("value", "unit", "world", "here", "there"),
    [
        (3.6576, "m", "us", "12 ft", "3.658 m"),
        (3.6576, "m", "metric", "3.658 m", "12 ft"),
        (0.1778, "mm", "metric", "0.1778 mm", "0.007 in"),
        (7.0, "in", "us", "7 in", "177.8 mm"),
        ((150.0, 175.0), "A", "us", "150–175 A", ""),
        (105.0, "degC", "metric", "105 °C", "221 °F"),
        (-5.0, "degC", "metric", "−5 °C", "23 °F"),
        (None, "m", "us", "?", ""),
        (0.0, "A", "us", "0 A", ""),
        (20000.0, "A", "us", "20000 A", ""),
        (0.0042, "ohm", "us", "0.0042 Ω", ""),
        (3.0, "", "us", "3", ""),
    ],
)
def test_shown_in_one_world_and_the_other(
    value: float | tuple[float, float] | None, unit: str, world: World, here: str, there: str
) -> None:
    assert format_quantity(value, unit, world) == here
    assert other_world_text(value, unit, world) == there


def test_units_of_the_worlds() -> None:
    assert [world_unit(unit, "us") for unit in ("m", "mm", "A", "degC", "kg")] == ["ft", "in", "A", "degF", "lb"]
    assert [world_unit(unit, "metric") for unit in ("ft", "in", "A", "degF", "lb")] == ["m", "mm", "A", "degC", "kg"]


def test_converting_between_kinds_is_refused() -> None:
    assert convert(12, "in", "m") == 0.3048
    with pytest.raises(QuantityError):
        convert(12, "in", "A")


@given(st.sampled_from(units()), st.integers(-99999, 99999), st.sampled_from(["us", "metric"]))
def test_what_is_shown_reads_back(unit: str, hundredths: int, world: World) -> None:
    """To the four figures that are shown; a temperature keeps its hundredths."""
    value = hundredths / 100
    back = parse_quantity(format_quantity(value, unit, world), unit)
    assert back == pytest.approx(value, rel=1e-3, abs=0.02)


@given(st.text(max_size=15), st.sampled_from(["m", "A", "degC"]))
def test_any_text_is_read_or_refused(text: str, unit: str) -> None:
    with contextlib.suppress(QuantityError):
        found = parse_quantity(text, unit)
        assert found is None or isinstance(found, float | tuple)

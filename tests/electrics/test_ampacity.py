"""Allowed current against 33 CFR 183.425 Table 5, E-11 as a cable maker prints it, and ISO 13297 from memory."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.electrics.ampacity import allowed_current, table_columns, table_sizes
from engine.electrics.sizes import ConductorSize, metric, parse_size
from engine.electrics.sources import RULEBOOKS, ElectricsError, Rulebook
from tests.electrics.published import published

TABLE_5 = published("ampacity_33cfr183_table5")
BUNDLES = published("ampacity_e11_105c_bundles")


def test_table_5_has_all_its_cells() -> None:
    assert len(TABLE_5) == 105
    assert len(table_sizes("33cfr183")) * len(table_columns("33cfr183")) == 105


@pytest.mark.parametrize("row", TABLE_5, ids=lambda row: f"33CFR183.425-T5-{row['awg']}AWG-{row['insulation_c']}C")
def test_table_5(row: dict[str, str]) -> None:
    size, insulation_c = parse_size(row["awg"], "AWG"), float(row["insulation_c"])
    outside = allowed_current(size, insulation_c, "33cfr183")
    inside = allowed_current(size, insulation_c, "33cfr183", engine_space=True)
    assert outside.value_a == float(row["current_a"])
    assert inside.engine_factor == float(row["engine_space_factor"])
    assert inside.value_a == pytest.approx(float(row["current_in_engine_space_a"]))
    assert outside.status == inside.status == "published"


@pytest.mark.parametrize("row", BUNDLES, ids=lambda row: f"E11-105C-{row['awg']}AWG-{row['location']}-{row['bundled']}")
def test_e11_bundles_of_105_c_cable(row: dict[str, str]) -> None:
    """The cable maker prints one decimal, so half of it is the tolerance."""
    bundled = int(row["bundled"].split("-")[-1].rstrip("+"))
    inside = row["location"] == "inside"
    found = allowed_current(parse_size(row["awg"], "AWG"), 105, "e11", engine_space=inside, bundled=bundled)
    assert found.value_a == pytest.approx(float(row["printed_a"]), abs=0.0501)
    assert found.status == "secondary"


@pytest.mark.parametrize(
    ("example", "size", "engine_space", "bundled", "expected_a", "tolerance_a"),
    [
        ("US-WE-40 yacht services table", "6 AWG", True, 3, 71.4, 0.05),
        ("INT-047 cable maker 20 x 0.85", "18 AWG", True, 1, 17.0, 1e-9),
        ("INT-049 cable maker 210 x 0.5 x 0.85", "2 AWG", True, 24, 89.3, 0.1),
        ("INT-050 cable maker 445 x 0.6 x 0.85", "4/0 AWG", True, 6, 227.0, 0.5),
        ("INT-051 cable maker 60 x 0.6", "10 AWG", False, 4, 36.0, 1e-9),
        ("US-WE-27 motor boat magazine, 4 AWG", "4 AWG", True, 1, 135.0, 1.0),
        ("US-WE-27 motor boat magazine, 2 AWG", "2 AWG", True, 1, 178.0, 0.5),
    ],
)
def test_worked_examples(
    example: str, size: str, engine_space: bool, bundled: int, expected_a: float, tolerance_a: float
) -> None:
    found = allowed_current(parse_size(size), 105, "e11", engine_space=engine_space, bundled=bundled)
    assert found.value_a == pytest.approx(expected_a, abs=tolerance_a), example


def test_us_we_27_smallest_gauge_for_a_175_a_fuse_is_2_awg() -> None:
    """A motor boat magazine, inverter wiring: 105 C, engine space, smallest listed gauge that carries the fuse."""
    enough = (s for s in table_sizes("e11") if allowed_current(s, 105, "e11", engine_space=True).value_a >= 175)
    # the magazine's list jumps from 4 to 2; 3 AWG (153 A) would not do either
    assert next(enough).name == "2 AWG"


def test_bundles_below_50_v_law_and_e11_differ() -> None:
    """C03: the law has no factor below 50 V; recent E-11 has. Both readings are kept."""
    ten = parse_size("10 AWG")
    law = allowed_current(ten, 105, "33cfr183", bundled=4)
    assert law.value_a == 60
    assert [note.code for note in law.notes] == ["no-bundle-factor-below-50-v"]
    assert allowed_current(ten, 105, "33cfr183", bundled=4, ac=True).value_a == 36
    assert allowed_current(ten, 105, "e11", bundled=4).value_a == 36
    assert allowed_current(ten, 105, "e11", bundled=4, bundle_below_50_v=False).value_a == 60


def test_engine_space_amperes_are_not_rounded() -> None:
    """C04: makers print 178 or 178.5; the plain product counts."""
    assert allowed_current(parse_size("2 AWG"), 105, "e11", engine_space=True).value_a == 178.5


def test_bundling_starts_at_three_in_the_us_and_at_four_under_iso() -> None:
    assert allowed_current(parse_size("10 AWG"), 105, "e11", bundled=3).bundle_factor == 0.7
    assert allowed_current(metric(6), 105, "iso13297", bundled=3).bundle_factor == 1.0
    assert allowed_current(metric(6), 105, "iso13297", bundled=4).bundle_factor == 0.7


def test_iso_table_a_1_is_from_memory_and_says_so() -> None:
    """ISO 13297 Table A.1, recalled: 2.5 mm² at 70 C 25 A, 50 mm² at 105 C 270 A."""
    assert allowed_current(metric(2.5), 70, "iso13297").value_a == 25
    found = allowed_current(metric(50), 105, "iso13297")
    assert (found.value_a, found.status) == (270, "memory")


def test_iso_60_c_is_not_permitted_in_an_engine_space() -> None:
    found = allowed_current(metric(6), 60, "iso13297", engine_space=True)
    assert found.value_a == 0
    assert "not-in-engine-space" in [note.code for note in found.notes]


@pytest.mark.parametrize(
    ("insulation_c", "rulebook", "column_c"),
    [(100, "33cfr183", 90), (70, "e11", 60), (150, "e11", 125), (75, "iso13297", 70), (95, "iso13297", 85)],
)
def test_between_columns_the_next_lower_counts(insulation_c: float, rulebook: Rulebook, column_c: float) -> None:
    found = allowed_current(metric(6), insulation_c, rulebook)
    assert found.table_insulation_c == column_c
    assert "insulation-read-as" in [note.code for note in found.notes]


def test_iso_90_c_has_the_column_of_85_without_a_note() -> None:
    found = allowed_current(metric(6), 90, "iso13297")
    assert (found.table_insulation_c, found.notes) == (85, ())


@pytest.mark.parametrize(
    ("size", "rulebook", "row"),
    [
        ("6 mm²", "e11", "10 AWG"),
        ("1.5 mm²", "33cfr183", "16 AWG"),
        ("120 mm²", "e11", "4/0 AWG"),
        ("16 AWG", "iso13297", "1 mm²"),
        ("2/0 AWG", "iso13297", "50 mm²"),
        ("10 SAE", "33cfr183", "12 AWG"),
        ("10 SAE", "e11", "10 AWG"),
    ],
)
def test_a_size_of_another_system_takes_the_row_not_above_its_area(size: str, rulebook: Rulebook, row: str) -> None:
    found = allowed_current(parse_size(size), 105, rulebook)
    assert found.table_size.name == row
    assert found.notes[0].values == (size, row)


def test_an_sae_gauge_under_e11_rests_on_memory() -> None:
    assert allowed_current(parse_size("10 SAE"), 105, "e11").status == "memory"


@pytest.mark.parametrize(
    ("size", "insulation_c", "rulebook", "bundled", "code"),
    [
        ("20 AWG", 105, "33cfr183", 1, "size-below-table"),
        ("0.75 mm²", 105, "e11", 1, "size-below-table"),
        ("0.5 mm²", 105, "iso13297", 1, "size-below-table"),
        ("10 AWG", 59, "e11", 1, "insulation-below-table"),
        ("10 AWG", 105, "e11", 0, "bundle-count"),
        ("10 AWG", 105, "e99", 1, "rulebook-unknown"),
    ],
)
def test_outside_the_table_is_refused(
    size: str, insulation_c: float, rulebook: Rulebook, bundled: int, code: str
) -> None:
    with pytest.raises(ElectricsError) as refused:
        allowed_current(parse_size(size), insulation_c, rulebook, bundled=bundled)
    assert refused.value.code == code


def test_the_formula_has_the_numbers_put_in() -> None:
    found = allowed_current(parse_size("10 AWG"), 105, "e11", engine_space=True, bundled=4)
    assert found.formula == "60 A × 0.85 × 0.6 = 30.6 A"
    assert allowed_current(parse_size("10 AWG"), 105, "e11").formula == "60 A"


sizes = st.sampled_from([size for rulebook in RULEBOOKS for size in table_sizes(rulebook) if size.area_mm2 > 1])
insulations = st.integers(60, 260)
rulebooks = st.sampled_from(RULEBOOKS)


@given(sizes, sizes, insulations, rulebooks, st.booleans(), st.integers(1, 40))
def test_more_copper_never_carries_less(
    one: ConductorSize, other: ConductorSize, insulation_c: int, rulebook: Rulebook, engine_space: bool, bundled: int
) -> None:
    small, large = sorted((one, other))
    less = allowed_current(small, insulation_c, rulebook, engine_space=engine_space, bundled=bundled)
    more = allowed_current(large, insulation_c, rulebook, engine_space=engine_space, bundled=bundled)
    assert less.value_a <= more.value_a


@given(sizes, insulations, rulebooks, st.integers(1, 40), st.booleans())
def test_a_reduction_never_raises(
    size: ConductorSize, insulation_c: int, rulebook: Rulebook, bundled: int, ac: bool
) -> None:
    plain = allowed_current(size, insulation_c, rulebook, bundled=bundled, ac=ac)
    hot = allowed_current(size, insulation_c, rulebook, bundled=bundled, ac=ac, engine_space=True)
    fuller = allowed_current(size, insulation_c, rulebook, bundled=bundled + 1, ac=ac)
    assert hot.value_a <= plain.value_a <= plain.table_a
    assert fuller.value_a <= plain.value_a


@given(sizes, insulations, rulebooks, st.booleans())
def test_better_insulation_never_carries_less(
    size: ConductorSize, insulation_c: int, rulebook: Rulebook, engine_space: bool
) -> None:
    found = allowed_current(size, insulation_c, rulebook, engine_space=engine_space)
    better = allowed_current(size, insulation_c + 15, rulebook, engine_space=engine_space)
    assert found.value_a <= better.value_a

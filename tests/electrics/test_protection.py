"""Device limits and standard ratings: 33 CFR 183.455(c), E-11, ISO 13297, and the worked examples in scope."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.electrics.ampacity import AllowedCurrent, allowed_current
from engine.electrics.protection import (
    Use,
    alternator_device_limit,
    device_limit,
    families,
    family_source,
    family_title,
    largest_standard_rating,
    least_device_for_load,
    smallest_standard_rating,
    standard_ratings,
    transformer_primary_limit,
)
from engine.electrics.sizes import ConductorSize, parse_size, standard_sizes
from engine.electrics.sources import RULEBOOKS, ElectricsError, Rulebook


def current(
    size: str, rulebook: Rulebook, *, engine_space: bool = False, bundled: int = 1, ac: bool = False
) -> AllowedCurrent:
    return allowed_current(parse_size(size), 105, rulebook, engine_space=engine_space, bundled=bundled, ac=ac)


def test_us_we_08_largest_fuse_for_4_awg() -> None:
    """A device maker's brief, reprinted: 4 AWG of 105 C outside engine spaces (160 A) takes a fuse up to 150 A."""
    assert largest_standard_rating(current("4 AWG", "e11").value_a, "battery-terminal") == 150


def test_us_we_09_least_fuse_for_80_a() -> None:
    """The same brief: 125 % of 80 A is 100 A."""
    found = least_device_for_load(80)
    assert (found.limit_a, found.formula) == (100, "1.25 × 80 A = 100 A")


def test_us_we_10_a_fuse_between_the_two() -> None:
    """The same brief takes 125 A, a standard rating between 100 and 150 A."""
    assert [rating for rating in standard_ratings("battery-terminal") if 100 < rating < 150] == [125]


def test_law_below_50_v_is_150_percent_of_table_5() -> None:
    """33 CFR 183.455(c)(1): 10 AWG of 105 C, 60 A, up to 90 A, whatever the engine space makes of it."""
    found = device_limit(current("10 AWG", "33cfr183", engine_space=True))
    assert (found.limit_a, found.advice_a) == (90, 51)
    assert found.formula == "150 % of Table 5 = 1.5 × 60 A = 90 A"
    assert found.status == "published"
    assert [(note.code, note.values) for note in found.notes] == [("stricter-reading", ("76.5",))]


def test_law_from_50_v_grants_the_next_standard_rating() -> None:
    """33 CFR 183.455(c)(2): 12 AWG of 105 C with 3 conductors at 50 V or more, 45 x 0.7 = 31.5 A, next 35 A."""
    allowed = current("12 AWG", "33cfr183", bundled=3, ac=True)
    assert device_limit(allowed, ac=True, family="nec-240.6").limit_a == 35
    assert device_limit(allowed, ac=True).limit_a == 31.5
    assert device_limit(current("12 AWG", "33cfr183", ac=True), ac=True, family="nec-240.6").limit_a == 45


def test_the_150_percent_rule_differs_between_law_and_e11() -> None:
    """C02: the law gives 150 % flat, E-11 only the next standard rating; between 100 and 150 % a remark is due."""
    law = device_limit(current("4 AWG", "33cfr183"), family="anl")
    e11 = device_limit(current("4 AWG", "e11"), family="anl")
    assert (law.limit_a, e11.limit_a) == (240, 175)
    assert law.advice_a == e11.advice_a == 160
    assert (law.status, e11.status) == ("published", "memory")


def test_e11_without_a_rating_in_reach_keeps_100_percent() -> None:
    """18 AWG, 20 A: class T begins at 110 A, over 150 %."""
    found = device_limit(current("18 AWG", "e11"), family="class-t")
    assert found.limit_a == 20
    assert "no standard rating between" in found.formula


def test_e11_of_a_standard_ampacity_grants_nothing_more() -> None:
    found = device_limit(current("10 AWG", "e11"), family="anl")
    assert (found.limit_a, found.formula) == (60, "60 A is a standard rating")


def test_an_unknown_family_grants_no_next_rating() -> None:
    found = device_limit(current("4 AWG", "e11"))
    assert found.limit_a == 160
    assert [note.code for note in found.notes] == ["family-not-given"]


@pytest.mark.parametrize(
    ("use", "panel_rating_a", "limit_a"),
    [
        ("panel-feed", 100.0, 100),
        ("panel-feed", 300.0, 160),
        ("panel-feed", None, 160),
        ("panel-feed-with-submain", 100.0, 240),
    ],
)
def test_e11_panel_feeds(use: Use, panel_rating_a: float | None, limit_a: float) -> None:
    found = device_limit(current("4 AWG", "e11"), use=use, panel_rating_a=panel_rating_a, family="anl")
    assert found.limit_a == limit_a
    assert found.status == "memory"


@pytest.mark.parametrize(("ac", "clause"), [(True, "published"), (False, "memory")])
def test_iso_is_100_percent(ac: bool, clause: str) -> None:
    """ISO 13297:2020 13.1.5 was read for AC; the DC clause and Table A.1 are from memory."""
    found = device_limit(current("6 mm²", "iso13297"), ac=ac, family="mcb")
    assert (found.limit_a, found.advice_a) == (60, 60)
    assert (found.sources[0].status, found.status) == (clause, "memory")


def test_machines_and_transformers() -> None:
    """33 CFR 183.460(b) 120 %; ISO 13297 7.2.3 125 % as quoted in a forum."""
    assert alternator_device_limit(100).limit_a == 120
    assert transformer_primary_limit(16).limit_a == 20


@pytest.mark.parametrize("family", families())
def test_rating_series_rise_and_are_named(family: str) -> None:
    ratings = standard_ratings(family)
    assert list(ratings) == sorted(set(ratings))
    assert family_title(family)
    assert family_source(family).status in ("memory", "secondary")


def test_ends_of_a_series() -> None:
    assert largest_standard_rating(100, "class-t") is None
    assert smallest_standard_rating(101, "maxi-blade") is None
    with pytest.raises(ElectricsError) as refused:
        standard_ratings("glass")
    assert refused.value.code == "family-unknown"


us_sizes = st.sampled_from([size for size in standard_sizes("AWG") if size.area_mm2 > 1.2])


@given(
    us_sizes,
    st.sampled_from(RULEBOOKS),
    st.integers(1, 30),
    st.booleans(),
    st.booleans(),
    st.sampled_from([None, *families()]),
)
def test_no_limit_is_over_150_percent_and_advice_never_over_the_limit(
    size: ConductorSize, rulebook: Rulebook, bundled: int, engine_space: bool, ac: bool, family: str | None
) -> None:
    allowed = allowed_current(size, 105, rulebook, engine_space=engine_space, bundled=bundled, ac=ac)
    found = device_limit(allowed, ac=ac, family=family)
    assert found.advice_a <= found.limit_a <= 1.5 * allowed.table_a
    assert found.advice_a <= allowed.value_a <= found.limit_a
    if rulebook == "iso13297":
        assert found.limit_a == allowed.value_a


@given(st.floats(0, 1000), st.sampled_from(families()))
def test_standard_ratings_enclose_a_current(current_a: float, family: str) -> None:
    below, above = largest_standard_rating(current_a, family), smallest_standard_rating(current_a, family)
    assert below is None or below <= current_a
    assert above is None or above >= current_a
    assert below is not None or above is not None

"""How soon devices open, against the standards' points, a published loop-impedance table and the adiabatic constants."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.electrics.sources import ElectricsError
from engine.electrics.tables import table_rows
from engine.electrics.time_current import (
    adiabatic_k,
    band,
    currents,
    energy_text,
    largest_loop_ohm,
    most_energy,
    opening,
    opening_of,
    series_known,
    time_text,
    withstand,
)
from tests.electrics.published import published

LOOPS = published("max_loop_impedance_230v")
ROWS = table_rows("time_current_bands")


@pytest.mark.parametrize("row", LOOPS, ids=lambda row: f"{row['mcb_rating_a']} A")
def test_largest_loop_impedance_of_miniature_breakers(row: dict[str, str]) -> None:
    """BS 7671:2018+A2 Table 41.3 (reprinted): 0.95 × 230 V / (5, 10, 20 × In), printed to two places, some cut off."""
    for kind in "bcd":
        ours = largest_loop_ohm(f"mcb-{kind}", float(row["mcb_rating_a"]), 230)
        assert ours == pytest.approx(float(row[f"type_{kind}_ohm"]), abs=0.0101)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['series']} {row['rating_to_a']} {row['multiple']}")
def test_the_bands_pass_through_the_points_of_the_standards(row: dict[str, str]) -> None:
    rating = float(row["rating_to_a"])
    found = opening(band(row["series"], rating), float(row["multiple"]) * rating)
    if row["least_s"]:
        assert found.least_s == (math.inf if row["least_s"] == "carry" else float(row["least_s"]))
    if row["most_s"]:
        assert found.most_s == float(row["most_s"])
        assert found.within


@pytest.mark.parametrize(
    ("series", "rating", "current", "least", "most"),
    [
        # ISO 8820-3 type C at 200 % and 350 % (as reprinted in makers' sheets; from memory)
        ("blade", 20, 40, 0.15, 5), ("blade", 20, 70, 0.04, 0.5),
        # ISO 8820-5 type SF51 at 600 % (makers' data; from memory)
        ("mega", 200, 1200, 0.1, 1),
        # IEC 60898-1: 2.55 In opens in 1 to 60 s up to 32 A, to 120 s above (a breaker maker's sheet)
        ("mcb-c", 32, 81.6, 1, 60), ("mcb-c", 40, 102, 1, 120),
        # IEC 60898-1 type C: not within 0.1 s at 5 In, surely within it at 10 In
        ("mcb-c", 16, 80, 0.1, 15), ("mcb-c", 16, 160, 0, 0.1), ("mcb-c", 16, 2000, 0, 0.1),
        # UL 248-14: within 120 s at 200 % up to 30 A (a fuse maker's guide)
        ("glass", 30, 60, 0, 120), ("glass", 40, 80, 0, 240),
    ],
)  # fmt: skip
def test_published_times(series: str, rating: float, current: float, least: float, most: float) -> None:
    found = opening(band(series, rating), current)
    assert found.least_s == pytest.approx(least)
    assert found.most_s == pytest.approx(most)


def test_between_two_points_a_limit_is_straight_on_logarithmic_scales() -> None:
    """Half way (in logarithms) between 200 % and 350 %: the geometric mean of 5 and 0.5 s."""
    found = opening(band("blade", 10), 10 * math.sqrt(2.0 * 3.5))
    assert found.most_s == pytest.approx(math.sqrt(5 * 0.5))
    assert found.least_s == pytest.approx(math.sqrt(0.15 * 0.04))


def test_an_upper_limit_before_a_magnetic_release_does_not_slope_towards_it() -> None:
    """Type C may hold up to 10 In: at 9 In it may still take the thermal time."""
    assert opening(band("mcb-c", 10), 90).most_s == 15
    assert opening(band("mcb-c", 10), 99.9).most_s == 15


def test_beyond_the_table_a_fuse_keeps_its_energy_and_a_breaker_its_time() -> None:
    fuse, breaker = band("blade", 10), band("ul489", 20)
    assert opening(fuse, 120).most_s == pytest.approx(0.1 / 4)
    assert not opening(fuse, 120).within
    assert opening(breaker, 400).most_s == 120
    assert not opening(breaker, 400).within
    assert any(source.status == "computed" for source in opening(fuse, 120).sources)


def test_below_the_table_nothing_is_promised() -> None:
    assert opening(band("blade", 10), 12).most_s == math.inf
    assert opening(band("glass", 10), 9).never
    assert opening_of((), 500).text == "not known"


def test_several_series_give_the_widest_range() -> None:
    both = (band("blade", 10), band("glass", 10))
    found = opening_of(both, 20)
    assert (found.least_s, found.most_s) == (0, 120)
    assert not opening_of(both, 50).within


def test_what_is_not_made_or_not_known_is_refused() -> None:
    with pytest.raises(ElectricsError) as caught:
        band("blade", 100)
    assert caught.value.code == "rating-outside-series"
    with pytest.raises(ElectricsError) as caught:
        band("fairy-dust", 10)
    assert caught.value.code == "series-unknown"
    with pytest.raises(ElectricsError) as caught:
        withstand(2.5, 180)
    assert caught.value.code == "no-k"


def _ratings(series: str) -> list[float]:
    return sorted({float(row["rating_to_a"]) for row in ROWS if row["series"] == series})


@given(st.sampled_from(series_known()), st.integers(0, 10), st.floats(0.1, 60), st.floats(1.0, 3.0))
def test_more_current_never_opens_later(series: str, pick: int, multiple: float, more: float) -> None:
    """Law: both limits fall (or stay) as the current rises, and the lower never passes the upper."""
    ratings = _ratings(series)
    limits = band(series, ratings[pick % len(ratings)])
    one, other = (opening(limits, limits.rating_a * at) for at in (multiple, multiple * more))
    assert other.least_s <= one.least_s * (1 + 1e-9)
    assert other.most_s <= one.most_s * (1 + 1e-9)
    assert one.least_s <= one.most_s


@pytest.mark.parametrize(
    ("initial", "final", "k"),
    [(70, 160, 115), (70, 140, 103), (90, 160, 100), (90, 140, 86), (90, 250, 143), (60, 200, 141), (30, 160, 143)],
)
def test_adiabatic_constants(initial: float, final: float, k: float) -> None:
    """IEC 60364-5-54 Tables A.54.2 to A.54.6 (a technical article), against the formula they are made by."""
    assert adiabatic_k(initial, final) == pytest.approx(k, abs=0.6)


def test_what_conductors_stand() -> None:
    """k 115 for PVC of 70 C, 100 of 90 C, 143 not taken: the drawing does not say cross-linked; 105 C is our assumption."""
    assert withstand(2.5, 70).energy_a2s == pytest.approx(82656, rel=1e-4)  # (115 × 2.5)², worked example SC-C7
    assert withstand(2.5, 90).k == 100
    assert withstand(400, 90).k == 86
    assert withstand(2.5, 105).k == pytest.approx(adiabatic_k(105, 150), abs=0.05)
    assert withstand(2.5, 75).k < 115
    assert withstand(1, 70).seconds(115) == pytest.approx(1)


def test_energy_of_the_worked_example() -> None:
    """SC-C7: 147 A through a 20 A fuse, 7.3 times its rating: within 0.1 s, 2147 A²s, far below 82656."""
    limits = (band("blade", 20),)
    energy, at_a = most_energy(limits, 147, 147)
    assert energy <= 2147 < withstand(2.5, 70).energy_a2s
    assert at_a == 147


def test_far_end_of_a_thin_branch() -> None:
    """SC-C8: 23.1 A, only 2.3 times a 10 A fuse: clearing may take seconds."""
    found = opening(band("blade", 10), 23.1)
    assert 1 < found.most_s < 5
    assert 0.04 < found.least_s < 0.15


def test_no_current_heats_nothing() -> None:
    assert withstand(1, 70).seconds(0) == math.inf


def test_the_most_energy_is_found_between_the_ends() -> None:
    """A blade fuse's energy is largest where its limit turns, 5 s at 200 %: not at the ends of the range."""
    limits = (band("blade", 20),)
    assert most_energy(limits, 30, 1000) == (pytest.approx(40**2 * 5), 40)
    assert set(currents(limits, 30, 1000)) >= {30, 40, 1000}


def test_energy_is_counted_only_where_the_device_opens_within_5_s() -> None:
    """IEC 60364-4-43: the adiabatic formula ends there. A type C breaker below its release may take 15 s: not counted."""
    limits = (band("mcb-c", 16),)
    assert most_energy(limits, 81, 159) == (math.inf, 81)
    assert most_energy(limits, 81, 1000) == (pytest.approx(1000**2 * 0.1), 1000)


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0.0002, "1 ms"),
        (0.02, "20 ms"),
        (0.75, "0.75 s"),
        (5, "5 s"),
        (600, "10 min"),
        (360000, "100 h"),
        (math.inf, "never"),
    ],
)
def test_times_as_words(seconds: float, text: str) -> None:
    assert time_text(seconds) == text


def test_energies_as_words() -> None:
    assert energy_text(82656) == "82700 A²s"
    assert energy_text(1_440_000) == "1.44 million A²s"

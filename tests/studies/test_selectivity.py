"""Which device opens first: grades, overlaps, the way to the source, and laws over the fault range."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.electrics.time_current import Band, band
from engine.graph.boat import Boat
from engine.model.network import Part
from engine.studies.faults import fault_levels
from engine.studies.guards import Guard, guards
from engine.studies.protection import faults
from engine.studies.selectivity import compare, first_to_open, run_of, sentence
from tests.rules.cases import boat_of

TWO_IN_SERIES = """
G1 battery nominal_v=12 chemistry=flooded internal_mohm=5 capacity_ah=100
{behind}
W4 bus_positive studs=6
W5 bus_negative studs=6
{near}
E1 lamp running_a=1 nominal_v=12
1: G1.pos - F1.a + 16 mm2 RD 0.2 m 75 C tinned
2: F1.b - W4.s1 + 16 mm2 RD 2 m 75 C tinned
3: G1.neg - W5.s1 - 16 mm2 YE 2 m 75 C tinned
4: W4.s2 - F2.a + 2.5 mm2 RD 0.2 m 75 C tinned
5: F2.b - E1.supply + 2.5 mm2 RD {length} m 75 C tinned
6: W5.s2 - E1.neg - 2.5 mm2 YE {length} m 75 C tinned
"""


def boat_with(behind: str, near: str, length: float = 10) -> Boat:
    return boat_of(TWO_IN_SERIES.format(behind=f"F1 {behind}", near=f"F2 {near}", length=length))


def verdict_of(boat: Boat, number: str = "5"):
    return first_to_open(boat, next(run.id for run in boat.network.runs if run.number == number))


def test_a_small_fuse_behind_a_large_one_opens_first() -> None:
    """At 98 to 120 A a 10 A blade fuse opens within 0.1 s (6 × 10 A); a 300 A one (SF51) not before 0.1 s up to 1800 A."""
    boat = boat_with("fuse_bolt 300/300 A series=SF51", 'fuse_blade 10/30 A series="medium blade"')
    found = verdict_of(boat)
    assert found.grade == "sure"
    assert [each.guard.part.designation for each in found.candidates] == ["F2", "F1"]
    assert found.first == found.fault.guards[0].key
    assert "F2 (10 A) opens first" in sentence(boat, found)


def test_two_of_a_size_overlap() -> None:
    """30 A behind 20 A: at 70 A the 20 A fuse may take 0.5 s (350 %), the 30 A one at 233 % may be gone after 0.11 s."""
    boat = boat_with(*(f'fuse_blade {rating}/40 A series="medium blade"' for rating in (30, 20)), length=14)
    found = verdict_of(boat)
    assert found.grade == "open"
    assert found.first == ""
    assert "the two overlap" in sentence(boat, found)
    pair = found.comparisons[0]
    assert pair.near_at.most_s >= pair.behind_at.least_s > 0


def test_a_class_without_a_table_is_expected_to_wait_where_it_is_twice_as_large() -> None:
    """Common practice, no source; below that it is open."""
    near = 'fuse_blade 10/30 A series="medium blade"'
    assert verdict_of(boat_with("fuse_bolt 20/20 A", near)).grade == "expected"
    assert verdict_of(boat_with("fuse_bolt 15/15 A", near)).grade == "open"
    boat = boat_with("fuse_bolt 80/80 A", near)
    assert "No time limits are known for F1 (80 A), 8 times as large, behind it" in sentence(boat, verdict_of(boat))


def test_a_breaker_before_a_fuse_that_opens_at_once_is_not_expected_to_be_first() -> None:
    """Near the battery the current is above 10 × 40 A: the fuse may be as quick as the contacts part."""
    assert verdict_of(boat_with("fuse_bolt 40/40 A", "breaker 10 A", 0.5)).grade == "open"
    assert verdict_of(boat_with("fuse_bolt 200/200 A", "breaker 10 A", 0.5)).grade == "expected"


def test_a_fuse_larger_than_the_smallest_current_may_never_open() -> None:
    boat = boat_with("fuse_bolt 400/400 A series=SF51", 'fuse_blade 80/80 A series="large blade"', 30)
    found = verdict_of(boat)
    assert found.fault.least_a < 80
    assert found.grade == "never"
    assert "may never open: not at all at the smallest" in sentence(boat, found)


def test_what_stands_before_every_device_is_not_protected() -> None:
    boat = boat_with("fuse_bolt 100/100 A", "fuse_blade 10/30 A")
    assert verdict_of(boat, "1").grade == "unprotected"
    assert "No fuse or breaker stands between" in sentence(boat, verdict_of(boat, "1"))


def test_a_return_is_not_shorted_to_anything() -> None:
    boat = boat_with("fuse_bolt 100/100 A", "fuse_blade 10/30 A")
    found = verdict_of(boat, "6")
    assert found.grade == "dead"
    assert found.fault is None


def test_the_fault_range_is_that_of_the_two_ends() -> None:
    boat = boat_with("fuse_bolt 100/100 A", "fuse_blade 10/30 A")
    levels, fault = fault_levels(boat), verdict_of(boat).fault
    load, fuse = (next(part for part in boat.network.parts if part.designation == name) for name in ("E1", "F2"))
    assert fault.least_a == levels[load.id, "supply", "+"].least_a
    assert fault.most_a == pytest.approx(levels[fuse.id, "b", "+"].most_a)
    assert fault.far == (load.id, "supply", "+")


def test_a_length_nobody_knows_leaves_the_smallest_open_and_says_so() -> None:
    sketch = TWO_IN_SERIES.format(behind="F1 fuse_bolt 100/100 A", near="F2 fuse_blade 10/30 A", length=10)
    boat = boat_of(sketch.replace("F2.b - E1.supply + 2.5 mm2 RD 10 m", "F2.b - E1.supply + 2.5 mm2 RD"))
    found = verdict_of(boat)
    assert found.fault.least_a == 0
    assert any("length_m" in field for field in found.lacks)
    assert "the smallest is not known" in sentence(boat, found)


UNKNOWN = (
    "G1 battery nominal_v=12\n1: G1.pos - F1.a + 10 AWG 1 m",
    "G1 battery\n1: G1.pos - F1.a + 10 AWG 1 m",
    "G1 alternator\n1: G1.bplus - F1.a + 10 AWG 1 m",
)


@pytest.mark.parametrize("source", UNKNOWN)
def test_a_source_of_which_nothing_is_known_reaches_all_the_same(source: str) -> None:
    """It may drive any current; that is no reason to say that none flows."""
    boat = boat_of(f"{source}\nF1 fuse_blade 10 A\nE1 lamp running_a=1\n5: F1.b - E1.supply + 14 AWG 2 m 75 C\n")
    found = verdict_of(boat)
    assert found.fault is not None
    assert (found.fault.least_a, found.fault.most_a) == (0, math.inf)
    assert found.lacks
    assert "No source reaches" not in sentence(boat, found)
    assert "the largest is not known" in sentence(boat, found)


def test_an_unknown_battery_beside_a_known_one_leaves_no_upper_bound() -> None:
    boat = boat_of("""
    G1 battery nominal_v=12 internal_mohm=5
    G2 battery nominal_v=12
    W1 bus_positive studs=4
    E1 lamp running_a=1
    1: G1.pos - W1.s1 + 10 AWG 1 m
    2: G2.pos - W1.s2 + 10 AWG 1 m
    5: W1.s3 - E1.supply + 14 AWG 2 m
    """)
    found = verdict_of(boat).fault
    assert found is not None
    assert found.most_a == math.inf
    assert found.source == next(part.id for part in boat.network.parts if part.designation == "G1")
    assert len(found.others) == 1


RING = """
G1 battery nominal_v=12 internal_mohm=5
W1 bus_positive studs=4
W2 bus_positive studs=4
F1 fuse_blade 10 A series="medium blade"
1: G1.pos - W1.s1 + 16 mm2 RD 0.2 m 75 C
2: W1.s2 - F1.a + 6 mm2 RD 1 m 75 C
3: F1.b - W2.s1 + 6 mm2 RD 1 m 75 C
4: W2.s2 - W1.s3 + 6 mm2 RD 9 m 75 C
5: G1.neg - E1.neg - 6 mm2 YE 2 m 75 C
6: W2.s3 - E1.supply + 6 mm2 RD 2 m 75 C
E1 lamp running_a=1 nominal_v=12
"""


@pytest.mark.parametrize("number", ["2", "3", "4"])
def test_a_wire_of_a_ring_is_fed_from_both_ends(number: str) -> None:
    """No shortest way uses every wire of a ring; a short circuit on each is fed all the same."""
    boat = boat_of(RING)
    found = verdict_of(boat, number)
    assert found.fault is not None
    assert found.fault.both_ends
    assert found.fault.most_a > 500
    assert found.grade in ("open", "never", "unprotected")
    assert "No source reaches" not in sentence(boat, found)


def test_what_stands_behind_a_ring_is_fed_from_one_end() -> None:
    found = verdict_of(boat_of(RING), "6").fault
    assert found is not None
    assert not found.both_ends


def test_a_second_battery_is_named_as_feeding_too() -> None:
    sketch = TWO_IN_SERIES.format(behind="F1 fuse_bolt 100/100 A", near="F2 fuse_blade 10/30 A", length=10)
    more = "\n".join(
        [
            "G2 battery nominal_v=12 chemistry=flooded internal_mohm=10 capacity_ah=50",
            "7: G2.pos - W4.s3 + 16 mm2 RD 1 m 75 C tinned",
            "8: G2.neg - W5.s3 - 16 mm2 YE 1 m 75 C tinned",
        ]
    )
    boat = boat_of(sketch + more)
    assert "It is also fed from G2" in sentence(boat, verdict_of(boat))


def test_the_run_that_a_selected_thing_asks_about() -> None:
    boat = boat_with("fuse_bolt 100/100 A", "fuse_blade 10/30 A")
    fuse, load = (next(part for part in boat.network.parts if part.designation == name) for name in ("F2", "E1"))
    assert run_of(boat, f"part:{fuse.id}").number == "5"
    assert run_of(boat, f"part:{load.id}").number == "5"
    assert run_of(boat, "run:none") is None


def test_series_by_what_the_drawing_says() -> None:
    boat = boat_with("fuse_bolt 100/100 A series=SF30", 'fuse_blade 10/30 A series="small blade"')
    known = {guard.part.designation: [each.series for each in guard.bands] for guard in guards(boat).values()}
    assert known == {"F1": ["midi"], "F2": ["mini-blade"]}
    assert all(not guard.bands for guard in guards(boat_with("fuse_bolt 9/9 A", "fuse_post 9/9 A")).values())


def _guard(limits: Band, name: str) -> Guard:
    return Guard(name, "fuse", Part(id=name, kind="fuse_blade"), "", limits.rating_a, None, (limits.series,), (limits,))


RATINGS = [3, 5, 7.5, 10, 15, 20, 25, 30, 40]


@given(st.sampled_from(RATINGS), st.sampled_from(RATINGS), st.floats(5, 200), st.floats(1, 20), st.floats(0, 1))
def test_selective_means_so_at_every_current(near: float, behind: float, least: float, wide: float, at: float) -> None:
    """Law: where the answer is "selective", no current of the range has the nearer device later than the other may be."""
    one, other = _guard(band("blade", near), "a"), _guard(band("blade", behind), "b")
    found = compare(one, other, least, least * wide)
    current = least * wide**at
    if found.order == "selective":
        late, soon = one.opening(current), other.opening(current)
        assert late.most_s < soon.least_s or (late.never and soon.never)


def test_nothing_is_selective_with_itself_or_without_bounds() -> None:
    one = _guard(band("blade", 10), "a")
    assert compare(one, one, 20, 60).order == "overlap"
    assert compare(one, one, 0, 60).order == "unknown"
    assert compare(one, one, 20, math.inf).order == "unknown"


def test_every_live_core_that_a_source_reaches_has_a_fault() -> None:
    boat = boat_with("fuse_bolt 100/100 A", "fuse_blade 10/30 A")
    assert {boat.runs[run].number for run, _ in faults(boat)} == {"1", "2", "4", "5"}

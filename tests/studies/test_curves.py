"""What a chart gathers: faults behind the same devices together, the weakest conductor, how a motor starts."""

from __future__ import annotations

import pytest

from engine.studies.curves import chains, charts, names_of, without_limits
from engine.studies.guards import guards
from tests.rules.cases import boat_of
from tests.studies.test_selectivity import boat_with

PANEL = """
G1 battery nominal_v=12 chemistry=flooded internal_mohm=5 capacity_ah=100
F1 fuse_bolt 100/100 A series=SF51
A1 dc_panel bus_a=100 fuses=blade
  1 fuse 10/30 A
  2 fuse 10/30 A
  3 fuse 10/30 A
  4 fuse 20/30 A
W5 bus_negative studs=6
E1 lamp running_a=1 nominal_v=12
E2 lamp running_a=1 nominal_v=12
M3 pump running_a=4 starting_a=14 nominal_v=12
M4 pump running_a=9 starting_a=40 nominal_v=12
1: G1.pos - F1.a + 16 mm2 RD 0.2 m 75 C tinned
2: F1.b - A1.feed + 16 mm2 RD 2 m 75 C tinned
3: G1.neg - W5.s1 - 16 mm2 YE 2 m 75 C tinned
4: A1.neg - W5.s2 - 16 mm2 YE 2 m 75 C tinned
11: A1.1 - E1.supply +- 2.5 mm2 RD,YE 4 m 75 C tinned
12: A1.2 - E2.supply +- 1.5 mm2 RD,YE 9 m 75 C tinned
13: A1.3 - M3.supply +- 2.5 mm2 RD,YE 4 m 75 C tinned
14: A1.4 - M4.supply +- 4 mm2 RD,YE 4 m 75 C tinned
"""


def test_ways_alike_share_a_chart_over_the_widest_range() -> None:
    boat = boat_of(PANEL)
    found = {chart.curves[0].name: chart for chart in charts(boat)}
    assert set(found) == {"A1.1–3 (10 A)", "A1.4 (20 A)", "F1 (100 A)"}
    tens = found["A1.1–3 (10 A)"]
    each = [fault for group in chains(boat).values() for fault in group if fault.guards[0].rating_a == 10]
    assert tens.least_a == min(fault.least_a for fault in each)
    assert tens.most_a == max(fault.most_a for fault in each)
    assert [curve.name for curve in tens.curves] == ["A1.1–3 (10 A)", "F1 (100 A)"]


def test_the_weakest_conductor_and_the_hardest_start_are_drawn() -> None:
    tens = next(chart for chart in charts(boat_of(PANEL)) if chart.curves[0].name.startswith("A1.1"))
    assert tens.conductor.name == "wire 12, 1.5 mm²"
    assert (tens.start.name, tens.start.running_a, tens.start.starting_a) == ("M3", 4, 14)
    assert tens.start.taken


def test_a_size_nobody_knows_leaves_the_conductor_out() -> None:
    tens = next(
        chart for chart in charts(boat_of(PANEL.replace("1.5 mm2 RD,YE", "RD,YE"))) if "10 A" in chart.curves[0].name
    )
    assert tens.conductor is None


@pytest.mark.parametrize(
    ("device", "listed"),
    [
        ('fuse_blade 10/30 A series="medium blade"', False), ("fuse_bolt 10/30 A", True), ("breaker 10 A", True),
        ('breaker 10 A curve="thermal-magnetic C"', False), ("fuse_class_t 10/30 A", False),
    ],
)  # fmt: skip
def test_devices_that_no_table_limits_are_listed_once(device: str, listed: bool) -> None:
    """A supplementary breaker's standard says when an overload ends, not how soon a short circuit does."""
    boat = boat_with("fuse_bolt 300/300 A series=SF51", device)
    assert ("F2" in [guard.part.designation for guard in without_limits(boat)]) is listed


def test_names_of_devices() -> None:
    boat = boat_of(PANEL)
    ways = [guard for guard in guards(boat).values() if guard.position]
    assert names_of(boat, ways[:1]) == "A1.1 (10 A)"
    assert names_of(boat, ways[:2]) == "A1.1, 2 (10 A)"

"""The feeder by the rulebook's method. Its lists are from memory, so no published example stands here: constructed ones."""

from __future__ import annotations

import math

import pytest

from engine.graph.boat import Boat
from engine.studies.load_method import Method, methods_of
from tests.rules.cases import boat_of

# Constructed to show the sum (not a published check value): A 37 A, B 53 A, so 37 + max(5.3, 20) = 57 A
A_LOADS = (
    ("navigation_light", 6), ("blower", 5), ("bilge_pump", 8), ("radio", 6), ("electronics", 1), ("electronics", 4),
    ("electronics", 2), ("refrigerator", 5),
)  # fmt: skip
B_LOADS = (("dc_outlet", 10), ("lamp", 12), ("horn", 4), ("pump", 20), ("pump", 7))


def panel(loads: tuple[tuple[str, object], ...], spare: str = "") -> Boat:
    ways = [f'  {n} fuse 20/20 A "Way {n}"' for n in range(1, len(loads) + 1)] + ([f"  99 {spare}"] if spare else [])
    parts = [f"E{n} {kind} running_a={amps} nominal_v=12" for n, (kind, amps) in enumerate(loads, 1)]
    runs = [f"{n}: A1.{n} - E{n}.supply +- 2.5 mm2 RD,YE 3 m" for n in range(1, len(loads) + 1)]
    feed = "F: G1.pos - A1.feed + 16 mm2 RD 1 m"
    return boat_of("\n".join(["G1 battery nominal_v=12", "A1 dc_panel bus_a=100", *ways, *parts, feed, *runs]))


def only(boat: Boat) -> Method:
    (found,) = methods_of(boat)
    return found


def test_the_constructed_example() -> None:
    found = only(panel((*A_LOADS, *B_LOADS)))
    assert [value.middle for _, value in found.groups] == [37, 20]
    assert found.total.middle == pytest.approx(57)
    assert found.total.formula == "A: 37 A + B: 20 A"
    for _, value in found.groups:
        assert any("recalled" in source.table and source.status == "memory" for source in value.sources)


def test_ten_per_cent_where_column_b_is_long() -> None:
    """Twenty lamps of 2 A: 10 % of 40 A is 4 A, more than the largest."""
    assert only(panel((("lamp", 2),) * 20)).total.middle == pytest.approx(4)


def test_what_the_list_does_not_name_counts_in_full() -> None:
    found = only(panel((("heater", 9), ("lamp", 2))))
    assert found.total.middle == pytest.approx(9 + 2)
    assert "not in the list" in found.lines[0].why


def test_an_unknown_load_keeps_it_open_and_a_range_a_range() -> None:
    found = only(panel((("electronics", 3), ("lamp", "?"))))
    assert (found.total.least, math.isinf(found.total.most)) == (3, True)
    assert found.total.lacks
    ranged = only(panel((("electronics", "3..4"), ("lamp", 2))))
    assert (ranged.total.least, ranged.total.most) == (5, 6)


@pytest.mark.parametrize(("spare", "amps"), [("fuse ?/20 A spare", 16), ("breaker 10 A prepared", 8)])
def test_spare_ways_count_apart(spare: str, amps: float) -> None:
    """At 80 % of the largest device the way takes; an assumption, marked so."""
    found = only(panel((("electronics", 3),), spare))
    assert (found.total.middle, found.spares.middle, found.with_spares.middle) == (3, amps, 3 + amps)
    assert any("80 %" in source.table and source.status == "memory" for source in found.spares.sources)


def test_a_spare_of_unknown_size_is_unknown() -> None:
    found = only(panel((("electronics", 3),), "fuse ? A spare"))
    assert math.isinf(found.spares.most)
    assert "holder_largest_a" in found.spares.lacks[0]


AC = """
X1 shore_inlet_split nominal_v=240 service_a=50
A1 ac_panel_split bus_a=50
  1 breaker 20 A "Galley"
  2 breaker 20 A "Heater"
  3 breaker 20 A "Air"
  4 breaker 20 A "Saloon"
  5 breaker 20 A "Fan"
X2 ac_outlet running_a=5 nominal_v=120 where=galley
X3 ac_outlet running_a=6 nominal_v=120 where=elsewhere
E1 water_heater running_a=12 nominal_v=120
M1 air_conditioner running_a=8 nominal_v=120
M2 motor_ac running_a=2 nominal_v=120
F: X1.boat - A1.feed L1,L2,N,PE 6 mm2 4 m
1: A1.1 - X2.supply L1,N,PE 2.5 mm2 4 m
2: A1.2 - E1.supply L1,N,PE 2.5 mm2 4 m
3: A1.3 - M1.supply L2,N,PE 2.5 mm2 4 m
4: A1.4 - X3.supply L2,N,PE 2.5 mm2 4 m
5: A1.5 - M2.supply L2,N,PE 2.5 mm2 4 m
"""


def test_each_leg_of_an_ac_panel() -> None:
    """L1: galley 1500 W / 120 V = 12.5 A, heater 12 A. L2: outlet 6 A, motors 8 + 2 and a quarter of 8 A."""
    first, second = methods_of(boat_of(AC))
    assert (first.pole, second.pole) == ("L1", "L2")
    assert first.total.middle == pytest.approx(12.5 + 12)
    assert second.total.middle == pytest.approx(6 + 10 + 2)


def test_four_fixed_appliances_count_sixty_per_cent() -> None:
    ways = "\n".join(f'  {n} breaker 20 A "Way {n}"' for n in range(1, 5))
    loads = "\n".join(f"E{n} load_ac running_a=5 nominal_v=120" for n in range(1, 5))
    runs = "\n".join(f"{n}: A1.{n} - E{n}.supply L,N,PE 2.5 mm2 4 m" for n in range(1, 5))
    text = f"X1 shore_inlet nominal_v=120\nA1 ac_panel bus_a=50\n{ways}\n{loads}\nF: X1.boat - A1.feed L,N,PE 6 mm2 4 m\n{runs}"
    assert only(boat_of(text)).total.middle == pytest.approx(0.6 * 20)

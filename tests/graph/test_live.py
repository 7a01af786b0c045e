"""What is live: with the switches off only what is fed ahead of them, a charger only while shore current comes."""

from __future__ import annotations

from engine.graph.boat import Boat
from engine.graph.live import dead_without, everything_off, live, loads
from tests.rules.cases import boat_of
from tests.samples.boats import document, library

BOAT = """
boat
G1 battery nominal_v=12
F1 fuse_bolt 30 A
Q1 battery_switch
A1 dc_panel
  1 breaker 10 A "Cabin"
  2 breaker 10 A "Stereo"
E1 lamp running_a=1
E2 lamp running_a=1
M1 bilge_pump running_a=4
X1 shore_inlet nominal_v=120
T1 shore_charger output_a=20
1: G1.pos - F1.a + 10 AWG 1 m
2: F1.b - Q1.in + 10 AWG 1 m
3: Q1.out - A1.feed + 10 AWG 1 m
4: A1.1 - E1.supply + 14 AWG 1 m
5: A1.2 - E2.supply + 14 AWG 1 m
6: G1.pos - M1.supply + 14 AWG 1 m
7: X1.boat - T1.ac L,N,PE 10 AWG 1 m
8: T1.out1 - G1.pos + 10 AWG 1 m
"""


def ids(boat: Boat) -> dict[str, str]:
    return {part.designation: part.id for part in boat.network.parts}


def names(parts: object) -> list[str]:
    return [part.designation for part in parts]  # type: ignore[attr-defined]


def test_with_the_switch_off_only_what_is_ahead_of_it_is_live() -> None:
    boat = boat_of(BOAT)
    alive, dead = loads(boat, live(boat, {}))
    assert names(alive) == ["M1"]
    assert names(dead) == ["E1", "E2"]


def test_with_the_switch_on_all_are_fed_by_the_battery_and_the_charger() -> None:
    boat = boat_of(BOAT)
    named = ids(boat)
    shown = live(boat, {named["Q1"]: "on"})
    assert shown.feeds(boat.parts[named["E1"]]) == {named["G1"], named["T1"]}


def test_a_charger_gives_nothing_without_the_shore() -> None:
    boat = boat_of(BOAT)
    named = ids(boat)
    shown = live(boat, {named["Q1"]: "on"}, [named["X1"]])
    assert shown.feeds(boat.parts[named["E1"]]) == {named["G1"]}
    assert everything_off(boat).feeds(boat.parts[named["M1"]]) == {named["G1"]}


def test_an_open_way_takes_its_own_load_and_an_open_fuse_all_behind_it() -> None:
    boat = boat_of(BOAT)
    named = ids(boat)
    on = {named["Q1"]: "on"}
    assert names(dead_without(boat, on, f"position:{named['A1']}/1")) == ["E1"]
    assert names(dead_without(boat, on, f"part:{named['F1']}")) == ["E1", "E2"]
    assert names(dead_without(boat, {}, f"part:{named['F1']}")) == []


def test_on_the_sample_only_the_24_hour_block_stays_live() -> None:
    boat = Boat(document("quill_34").network, library())
    alive, _ = loads(boat, everything_off(boat))
    assert names(alive) == ["M3", "H1", "H2", "E20"]
    assert all(part.values["around_the_clock"] is True for part in alive)


def test_with_everything_off_the_sun_still_shines_and_no_engine_runs() -> None:
    boat = boat_of(
        """
boat
G3 alternator rated_a=60
G4 solar_array voc_v=22 isc_a=5
E1 lamp running_a=1
E2 lamp running_a=1
1: G3.bplus - E1.supply + 10 AWG 1 m
2: G4.pv - E2.supply + 14 AWG 1 m
"""
    )
    alive, dead = loads(boat, everything_off(boat))
    assert names(alive) == ["E2"]
    assert names(dead) == ["E1"]

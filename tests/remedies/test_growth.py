"""What may be added is what the checks allow: just below the room nothing new breaks, just above it the limit named does."""

from __future__ import annotations

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.model.network import Network, Part, Run
from engine.remedies.growth import Room, rooms, studs
from engine.rules.runner import books_of, load_rules, run_rules
from engine.sketch import read_sketch
from tests.samples.boats import document, library

ABOUT_LOAD = (
    "device-below-load", "overloaded-bus", "overloaded-switch", "undersized-conductor", "excessive-voltage-drop",
)  # fmt: skip
BOOKS = ("e11", "iso13297")
BOAT = """
boat "Growing" rules=us,iso fuel=diesel engine=inboard units=us
space dry "Cabin" kind=dry
G1 battery nominal_v=12 capacity_ah=200 @dry
W4 bus_negative studs=6 rating_a=400 @dry
W1 bus_positive studs=4 rating_a={bar} @dry
Q1 battery_switch rating_a={switch} @dry
F1 fuse_bolt 200 A @dry
F2 fuse_bolt {fuse} A @dry
A1 dc_panel bus_a={bus} main_device=breaker main_rating_a={main} @dry
  1 fuse 15/20 A "Heater"
  2 fuse ?/{holder} A spare
  3 fuse ?/30 A spare
E1 load_dc running_a={load} nominal_v=12 @dry
1: G1.pos - F1.a + 4/0 AWG 0.1 m 105 C bundled=1 tinned
2: F1.b - Q1.in + 4/0 AWG 0.5 m 105 C bundled=1 tinned
3: Q1.out - W1.s1 + 4/0 AWG 0.5 m 105 C bundled=1 tinned
4: W1.s2 - F2.a + 4/0 AWG 0.1 m 105 C bundled=1 tinned
5: F2.b - A1.feed + {size} {length} 105 C bundled=1 tinned via=dry
6: W4.s1 - A1.neg - 4/0 AWG 3 m 105 C bundled=1 tinned via=dry
7: G1.neg - W4.s2 - 4/0 AWG 1 m 105 C bundled=1 tinned
8: A1.1 - E1.supply +- 10 AWG 2 m 105 C sheath bundled=2 tinned
"""
WIDE = {"bar": "400", "switch": "400", "fuse": "150", "bus": "200", "main": "100", "holder": "30", "load": "10",
        "size": "4/0 AWG", "length": "3 m"}  # fmt: skip


def boat_with(**changed: str) -> Boat:
    return Boat(read_sketch(BOAT.format(**{**WIDE, **changed}), library()).network, library())


def way_2(boat: Boat) -> Room:
    return next(room for room in rooms(boat, BOOKS) if room.key.endswith("/2"))


@pytest.mark.parametrize(
    ("changed", "sort", "amps"),
    [
        ({}, "holder", 24.0),  # 30 A / 1.25
        ({"holder": "10"}, "holder", 8.0),
        ({"fuse": "25"}, "device", 15.0),
        ({"main": "20"}, "device", 10.0),
        ({"switch": "22"}, "switch", 12.0),
        ({"bus": "18"}, "panel", 8.0),
        ({"bar": "17"}, "bar", 7.0),
        # 1.31 mm² counts as 1 mm²: 20 A at 105 °C (ISO 13297, Table A.1)
        ({"size": "16 AWG", "length": "0.1 m"}, "conductor", 10.0),
        ({"size": "10 AWG", "length": "4 m"}, "drop", None),
    ],
)
def test_the_limit_that_binds_is_named(changed: dict[str, str], sort: str, amps: float | None) -> None:
    room = way_2(boat_with(**changed))
    assert room.binding.sort == sort
    assert room.amps.least == room.amps.most
    if amps is not None:
        assert room.amps.least == pytest.approx(amps)
    assert room.watts.least == pytest.approx(room.amps.least * 12)
    assert room.binding.formula.endswith(" A")


def test_what_is_not_known_is_a_bound_and_its_field_is_named() -> None:
    room = way_2(boat_with(fuse="?"))
    assert room.amps.least == 0
    assert room.amps.most == pytest.approx(24)
    assert any(lack.endswith(" rating_a") for lack in room.amps.lacks)
    open_load = way_2(boat_with(load="?"))
    assert (open_load.amps.least, open_load.amps.most) == (0, pytest.approx(24))
    assert any("running_a" in lack for lack in open_load.amps.lacks)


def test_a_way_without_a_device_takes_nothing() -> None:
    boat = Boat(read_sketch(BOAT.format(**WIDE).replace("2 fuse ?/30 A", "2 switch"), library()).network, library())
    room = way_2(boat)
    assert room.binding.sort == "no-device"
    assert room.amps.most == 0


@pytest.mark.parametrize("changed", [{}, {"fuse": "25"}, {"bus": "18"}, {"bar": "17"}, {"switch": "22"},
                                     {"size": "10 AWG", "length": "4 m"}, {"size": "16 AWG", "length": "0.1 m"}])  # fmt: skip
def test_the_checks_agree_on_both_sides_of_the_limit(changed: dict[str, str]) -> None:
    boat = boat_with(**changed)
    _agrees(boat, way_2(boat), BOOKS)


@pytest.mark.parametrize("name", ["quill_34", "quill_26_launch"])
def test_the_checks_agree_on_the_samples(name: str) -> None:
    boat = Boat(document(name).network, library())
    books = books_of(boat.network.particulars)
    found = [room for room in rooms(boat, books) if room.is_dc]
    assert found
    for room in found:
        _agrees(boat, room, books)


def _agrees(boat: Boat, room: Room, books) -> None:  # type: ignore[no-untyped-def]
    """Against the rules as the oracle: they know nothing of growth."""
    amps = room.amps.least
    known = _broken(boat.network, books)
    assert _broken(_loaded(boat, room, amps - 0.001), books) <= known
    if room.binding.sort != "holder":  # 80 % of a device is practice; the rule only speaks at 100 %
        new = _broken(_loaded(boat, room, amps + 0.01), books) - known
        assert room.binding.key in {key for _, key in new}


def _loaded(boat: Boat, room: Room, current_a: float) -> Network:
    load = Part(id="new", kind="load_dc", values={"running_a": current_a, "nominal_v": 12.0})
    run = Run(id="new run", a=room.end, b=msgspec.structs.replace(room.end, part="new", port="supply"), poles=room.poles,
              size="4/0 AWG", insulation_c=105, bundled=2, length_m=0.1)  # fmt: skip
    network = boat.network
    panels = tuple(_fused(part, room) for part in network.parts)
    return msgspec.structs.replace(network, parts=(*panels, load), runs=(*network.runs, run))


def _fused(part: Part, room: Room) -> Part:
    """With the largest fuse of the holder in the way."""
    if room.position is None or part.id != room.part.id:
        return part
    way = msgspec.structs.replace(room.position, rating_a=room.position.holder_largest_a or room.position.rating_a)
    return msgspec.structs.replace(
        part, positions=tuple(way if each.key == way.key else each for each in part.positions)
    )


def _broken(network: Network, books) -> set[tuple[str, str]]:  # type: ignore[no-untyped-def]
    rules = [rule for rule in load_rules() if rule.id in ABOUT_LOAD]
    report = run_rules(Boat(network, library()), books, rules)
    return {(each.outcome.code, key) for each in report.findings if each.outcome.verdict == "breaks"
            for key in each.outcome.subjects[:1]}  # fmt: skip


def test_a_bar_that_is_full_takes_nothing_and_one_with_a_stud_what_its_feed_allows() -> None:
    bar = next(room for room in studs(boat_with(bar="150"), BOOKS))
    assert bar.binding.sort == "bar"
    assert bar.amps.least == pytest.approx(140)
    full = boat_with()
    crowded = [msgspec.structs.replace(part, values={**part.values, "studs": 2.0}) if part.kind == "bus_positive" else part
               for part in full.network.parts]  # fmt: skip
    boat = Boat(msgspec.structs.replace(full.network, parts=tuple(crowded)), library())
    assert studs(boat, BOOKS)[0].binding.sort == "stud"
    assert studs(boat, BOOKS)[0].amps.most == 0


def test_every_answer_has_its_formula_and_its_sources() -> None:
    for limit in way_2(boat_with()).limits:
        assert " A" in limit.formula
        if limit.sort in ("conductor", "drop", "holder"):
            assert limit.sources


def test_a_bar_that_nothing_feeds_has_no_room_to_speak_of() -> None:
    """The papers of a boat with a bare bar drawn on it failed: there was no limit to take the least of."""
    bare = Boat(read_sketch("X1 bus_positive studs=4\nG1 battery nominal_v=12", library()).network, library())
    assert studs(bare, BOOKS) == ()


CONVERTERS = """
boat "Two systems" rules=us fuel=diesel engine=inboard units=us
G1 battery nominal_v=24 capacity_ah=200
G2 battery nominal_v=24 capacity_ah=200
F1 fuse_post 100 A
F2 fuse_post 100 A
W1 bus_positive studs=6 rating_a=400
W4 bus_negative studs=8 rating_a=400
T1 dc_dc_charger output_a=30 input_a=20 output_v=12
T2 dc_dc_charger output_a=40 input_a=25 output_v=12
A1 dc_panel bus_a=100
  1 fuse 20/20 A "Stereo"
  2 fuse ?/30 A spare
E1 load_dc running_a=10 nominal_v=12
1: G1.pos - F1.a + 4/0 AWG 0.1 m 105 C bundled=1
2: F1.b - W1.s1 + 4/0 AWG 0.5 m 105 C bundled=1
3: G2.pos - F2.a + 4/0 AWG 0.1 m 105 C bundled=1
4: F2.b - W1.s2 + 4/0 AWG 0.5 m 105 C bundled=1
5: W1.s3 - T1.{input} + 6 AWG 1 m 105 C bundled=1
6: W1.s4 - T2.{input} + 6 AWG 1 m 105 C bundled=1
7: T1.{output} - A1.feed + 6 AWG 1 m 105 C bundled=1
8: T2.{output} - A1.feed + 6 AWG 1 m 105 C bundled=1
9: A1.1 - E1.supply +- 10 AWG 2 m 105 C bundled=1
10: A1.neg - W4.s1 - 6 AWG 1 m 105 C bundled=1
11: G1.neg - W4.s2 - 4/0 AWG 1 m 105 C bundled=1
12: G2.neg - W4.s3 - 4/0 AWG 1 m 105 C bundled=1
"""


def test_converters_on_one_panel_give_together_and_two_batteries_promise_nothing_at_their_bus() -> None:
    kind = library()["dc_dc_charger"]
    link = next(link for link in kind.link if link.kind == "converter")
    ports = {"input": link.between[0].partition(":")[0], "output": link.between[1].partition(":")[0]}
    boat = Boat(read_sketch(CONVERTERS.format(**ports), library()).network, library())
    limits = {limit.sort: limit for limit in way_2(boat).limits}
    assert (limits["source"].limit.most, limits["source"].count) == (70, 2)
    assert limits["source"].room.least == pytest.approx(60)  # 30 A + 40 A - 10 A
    bus = next(room for room in studs(boat, BOOKS) if room.part.designation == "W1")
    assert (bus.binding.sort, bus.amps.least) == ("several", 0)

"""What stays live, and what each switch position feeds: computed, and changed by what is changed on the drawing."""

from __future__ import annotations

from engine.graph.boat import Boat
from engine.graph.paths import reach
from engine.papers.isolation import (
    Live,
    first_devices,
    main_breakers,
    positive_wires,
    settings,
    stays_live,
    unfused,
)  # fmt: skip
from tests.papers.boats import SMALL, sample, sketched


def names(lives: tuple[Live, ...]) -> list[str]:
    return [live.part.designation for live in lives]


def small(*changes: tuple[str, str]) -> Boat:
    text = SMALL
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return sketched(text).boat


def test_a_pump_fed_past_the_switch_stays_live() -> None:
    boat = small()
    (live,) = [live for live in stays_live(boat) if live.part.designation == "B1"]
    assert live.battery.designation == "G1"
    assert [boat.part_of(edge).designation for edge in live.devices] == ["F1", "F2"]
    assert [boat.part_of(edge).designation for edge in first_devices([live])] == ["F1"]


def test_the_same_pump_behind_the_switch_does_not() -> None:
    boat = small(("9: F1.b - F2.a", "9: Q1.common - F2.a"))
    assert names(stays_live(boat)) == []
    assert "B1" in names(next(each.feeds for each in settings(boat) if each.state == "1"))


def test_what_no_fuse_guards_is_told() -> None:
    boat = small(("9: F1.b - F2.a", "9: G1.pos - F2.a"), ("10: F2.b - B1", "10: G1.pos - B1"))
    assert names(unfused(stays_live(boat))) == ["B1"]


TWO_BATTERIES = """
boat "Two"
G1 battery
G2 battery
F1 fuse_post 100 A
F2 fuse_post 100 A
W1 bus_positive "Bus" studs=4
B1 bilge_pump "Pump"
1: G1.pos - F1.a +
2: F1.b - W1.s1 +
3: G2.pos - F2.a +
4: F2.b - W1.s2 +
5: W1.s3 - B1.supply +
"""


def test_the_fuse_of_each_battery_must_come_out_where_two_feed_one_thing() -> None:
    """The house bank of four strings was said to be dead with the fuse of the first one out."""
    boat = sketched(TWO_BATTERIES).boat
    pump = next(live for live in stays_live(boat) if live.part.designation == "B1")
    assert [way.battery.designation for way in pump.ways] == ["G1", "G2"]
    assert [boat.part_of(edge).designation for edge in first_devices([pump])] == ["F1", "F2"]


def test_a_second_way_without_a_fuse_makes_it_unfused() -> None:
    boat = sketched(TWO_BATTERIES.replace("3: G2.pos - F2.a", "3: G2.pos - W1.s4")).boat
    pump = next(live for live in stays_live(boat) if live.part.designation == "B1")
    assert names(unfused([pump])) == ["B1"]


def test_with_the_named_devices_out_nothing_is_live_any_more() -> None:
    """Of each sample that has a device on every way: what the paper says is held against the graph itself."""
    for name in ("quill_34", "quill_26_launch"):
        boat = sample(name).boat
        lives = stays_live(boat)
        assert lives
        assert not unfused(lives)
        out = {edge.key for edge in first_devices(lives)}
        roots = [source.live for source in boat.sources if source.kind == "battery"]
        reached = {node[0] for node in reach(positive_wires(boat, {}), roots, lambda edge, out=out: edge.key in out)}
        assert not reached & {live.part.id for live in lives}


def test_each_position_of_a_selector() -> None:
    found = {setting.state: setting for setting in settings(small())}
    assert set(found) == {"1", "2", "both"}
    for state, batteries in (("1", {"G1"}), ("2", {"G2"})):
        fed = {live.part.designation: live for live in found[state].feeds}
        assert {"A1", "M9", "E1", "M1", "E2"} <= set(fed)
        assert "B1" not in fed, "it is live anyway"
        assert {fed["A1"].battery.designation} == batteries
        assert found[state].joins == ()
    assert {part.designation for part in found["both"].joins} == {"G1", "G2"}


def test_a_load_on_a_panel_names_the_panel() -> None:
    found = next(setting for setting in settings(small()) if setting.state == "1")
    panel = next(live.part for live in found.feeds if live.part.designation == "A1")
    behind = {live.part.designation for live in found.feeds if live.panel == panel.id and live.part.designation}
    assert behind == {"E1", "M1", "E2"}


def test_the_sample_keeps_its_24_hour_circuits_and_nothing_else() -> None:
    boat = sample("quill_34").boat
    fed = [live for live in stays_live(boat) if boat.role(live.part) in ("load_dc", "starter")]
    assert fed
    assert {boat.parts[live.panel].label for live in fed if live.panel} == {"24-hour block"}
    assert not unfused(stays_live(boat))
    assert [boat.part_of(edge).label for edge in main_breakers(boat)] == ["Main shore breaker"]


def test_the_refit_has_terminals_without_a_fuse() -> None:
    boat = sample("marguerite_as_built").boat
    assert {"T1", "T2", "G3"} <= set(names(unfused(stays_live(boat))))

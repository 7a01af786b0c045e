"""The panel schedule: every way, circuit and wire number is on it, nothing is invented, DC and AC apart."""

from __future__ import annotations

import pytest

from engine.drawing.bounds import texts
from engine.papers.panel_schedule import panel_schedule
from tests.papers.boats import SAMPLE_NAMES, SMALL, sample, sketched
from tests.papers.page_checks import pdf_text, words_on

PANELS = ("dc_panel", "ac_panel")


@pytest.mark.parametrize("name", SAMPLE_NAMES)
def test_every_way_and_its_wire_are_on_it(name: str) -> None:
    subject = sample(name)
    words = words_on(panel_schedule(subject))
    strings = {text.string for page in panel_schedule(subject) for text in texts(page.items)}
    for panel in subject.boat.with_role(*PANELS):
        assert f"{panel.designation} {panel.label}" in words
        for position in panel.positions:
            assert position.key in strings
            assert all(word in words for word in position.label.split())
            for run in subject.boat.runs_at.get((panel.id, f"p{position.key}"), ()):
                assert run.number in words


def test_direct_and_alternating_current_have_pages_of_their_own() -> None:
    pages = panel_schedule(sample("quill_34"))
    found = [{word for word in ("AC panel", "DC panel", "24-hour block") if word in page} for page in pdf_text(pages)]
    assert all(not {"AC panel", "DC panel"} <= words for words in found)


def test_what_is_not_known_is_a_query_and_a_range_a_range() -> None:
    strings = [text.string for page in panel_schedule(sketched(SMALL)) for text in texts(page.items)]
    assert "9.8–16.4 ft (3–5 m)" in strings
    assert strings.count("?") >= 5, "rating of the spares, and all of the mysterious wire"
    assert "Blank" in strings
    assert "≥ 10 A" in strings
    assert "not known" in strings


def test_the_feed_is_told_with_device_conductor_and_source() -> None:
    words = words_on(panel_schedule(sample("quill_34")))
    assert "G2 House bank → F2 → W2 Positive bus 2 → Q2 House switch → W3 House bus → F5 Panel feed" in words
    assert "F5 Panel feed, bolt-down fuse, 80 A" in words
    assert "12 V DC" in words
    assert "120 V AC 60 Hz" in words


def test_sums_with_and_without_spares() -> None:
    words = words_on(panel_schedule(sample("quill_34")))
    assert "78.9 A" in words
    assert "159 A" in words


def test_a_split_panel_is_summed_for_each_leg() -> None:
    text = """
boat "Split" rules=us
X1 shore_inlet_split "Inlet" service_a=50 nominal_v=240 frequency_hz=60
A1 ac_panel_split "Main panel" bus_a=50
  1 breaker 30 A 2P "Range"
  2 breaker 20 A 2P "Dryer"
E1 load_ac_split "Range" running_a=22
E2 load_ac_split "Dryer" running_a=11
1: X1.boat - A1.feed L1,L2,N,PE 6 AWG BK,RD,WH,GN 3 m sheath 105 C
2: A1.1 - E1.supply L1,L2,N,PE 10 AWG BK,RD,WH,GN 3 m
3: A1.2 - E2.supply L1,L2,N,PE 12 AWG BK,RD,WH,GN 3 m
"""
    words = words_on(panel_schedule(sketched(text)))
    assert "Leg" in words
    assert "L1+L2" in words
    assert "L1 33 A   L2 33 A" in words


def test_a_boat_without_panels_says_so() -> None:
    assert "This drawing has no panel." in words_on(panel_schedule(sketched('boat "Bare"\nG1 battery')))


def test_a_meter_that_draws_current_is_a_load() -> None:
    words = words_on(panel_schedule(sample("quill_34")))
    meter = next(part for part in sample("quill_34").boat.with_role("meter") if part.kind == "battery_monitor")
    assert f"{meter.designation} " in words


INVERTING = """
boat "Inverting"
X1 shore_inlet "Shore" nominal_v=230 frequency_hz=50 service_a=32
F1 breaker_ac_2 "Shore breaker" 32 A
F2 breaker_ac_2 "Panel feed" 32 A
A1 ac_panel "AC panel" bus_a=50
  1 breaker 25 A "Inverter/charger"
T1 inverter_charger "Inverter/charger" nominal_v=12
1: X1.boat - F1.a L,N,PE
2: F1.b - F2.a L,N,PE
4: F2.b - A1.feed L,N,PE
3: A1.1 - T1.acin L,N,PE
"""


def test_a_panel_is_not_fed_by_what_hangs_on_one_of_its_ways() -> None:
    """The main AC panel was said to be fed by the inverter/charger on its way 15, at 24 V: it is the nearest source."""
    words = words_on(panel_schedule(sketched(INVERTING)))
    assert "X1 Shore → F1 Shore breaker → F2 Panel feed" in words
    assert "230 V AC 50 Hz" in words

"""A further battery: the sums against the practice they rest on, and the checks that must speak."""

from __future__ import annotations

import re

import msgspec
import pytest

from engine.model.network import Part
from engine.pipeline import Analysis, analyse
from engine.remedies.bank_growth import Answer, FurtherBattery, bank_rooms, further_battery, house_bank, one_more
from engine.sketch import read_sketch
from tests.samples.boats import analysis, document, library

BOAT = """
boat "Growing" rules=us fuel=diesel engine=inboard units=us
G1 battery "House" chemistry=flooded nominal_v=12 capacity_ah=225 cca_a={cca} internal_mohm=3
T1 shore_charger output_a={charger} nominal_v=12 self_limiting=yes
F1 fuse_post 100 A interrupting_a={interrupting}
F2 breaker 50 A interrupting_a=5000
Q1 battery_switch rating_a=150
E1 load_dc running_a=40 nominal_v=12
1: G1.pos - F1.a + 2 AWG 0.1 m 105 C bundled=1
2: F1.b - Q1.in + 2 AWG 0.5 m 105 C bundled=1
3: Q1.out - E1.supply + 2 AWG 1 m 105 C bundled=1
4: E1.neg - G1.neg - 2 AWG 1.5 m 105 C bundled=1
5: F1.b - F2.a + 2 AWG 0.1 m 105 C bundled=1
6: F2.b - T1.out1 + 6 AWG 0.5 m 105 C bundled=1
7: T1.neg - G1.neg - 6 AWG 0.5 m 105 C bundled=1
condition anchor "At anchor" Q1=on E1=0.1
"""
WIDE = {"cca": "500", "charger": "60", "interrupting": "10000"}


def grown(**changed: str) -> tuple[Analysis, FurtherBattery]:
    network = read_sketch(BOAT.format(**{**WIDE, **changed}), library()).network
    found = analyse(network, library())
    return found, further_battery(found, library(), next(part for part in network.parts if part.designation == "G1"))


def about(growth: FurtherBattery, what: str) -> Answer:
    return next(answer for answer in growth.answers if answer.what.startswith(what))


def test_two_flooded_4d_are_some_450_ah_and_like_a_tenth_to_a_quarter_of_that() -> None:
    """Common practice, no source: two flooded 4D are about 450 Ah; flooded banks like 10 to 25 % of their Ah."""
    _, growth = grown()
    assert growth.after.values["capacity_ah"] == 450
    assert "225 Ah become 450 Ah, of which 225 Ah are used" in about(growth, "Capacity").says
    assert "45 to 112.5 A suit G1" in about(growth, "T1").says
    assert about(growth, "T1").verdict == "holds"


def test_a_charger_below_a_tenth_must_change() -> None:
    assert about(grown(charger="44.9")[1], "T1").verdict == "must-change"
    assert about(grown(charger="45")[1], "T1").verdict == "holds"
    assert about(grown(charger="?")[1], "T1").verdict == "cannot-tell"


def test_a_further_battery_halves_the_resistance_and_so_nearly_doubles_the_fault() -> None:
    before = Part(id="p1", kind="battery", values={"capacity_ah": 100.0, "cca_a": (700.0, 800.0), "internal_mohm": 4.0})
    after = one_more(before)
    assert after.kind == "battery_bank"
    assert after.values["capacity_ah"] == 200
    assert after.values["cca_a"] == (1400.0, 1600.0)
    assert after.values["internal_mohm"] == pytest.approx(2)
    third = one_more(after)
    assert third.values["capacity_ah"] == pytest.approx(300)
    assert third.values["internal_mohm"] == pytest.approx(4 / 3)
    text = about(grown()[1], "F1").says
    now, was = (float(found) for found in re.findall(r"(\d+) A", text)[:2])
    assert 1.5 < now / was < 2


def test_a_fuse_that_no_longer_opens_a_fault_must_change() -> None:
    """E-11: beyond 1,100 CCA the main device interrupts 5,000 A, not 3,000 (older table, quoted second hand)."""
    weak = about(grown(cca="600", interrupting="3000")[1], "F1")
    assert weak.verdict == "must-change"
    assert "can interrupt 3000 A" in weak.says


def test_what_was_wrong_before_is_not_told_as_new() -> None:
    _, growth = grown(cca="700", interrupting="1000")
    assert any("were too weak" in answer.says for answer in growth.answers)


def test_quill_34_its_third_battery_asks_for_the_makers_figure() -> None:
    found = analysis("quill_34")
    bank = house_bank(found.boat)
    assert bank is not None
    assert bank.designation == "G2"
    growth = further_battery(found, library(), bank)
    assert "short-circuit current by its maker" in about(growth, "F2").says
    assert about(growth, "F2").verdict == "cannot-tell"
    assert about(growth, "T1").verdict == "must-change"  # 30 A for 80 Ah + 300 Ah, of which a tenth is 38 A
    assert growth.answers[0].verdict == "must-change"
    assert about(growth, "Q2").verdict == "holds"


def test_ah_a_day_of_a_bank() -> None:
    """10 % of 40 A are 4 A, 96 Ah a day; half of 225 Ah is used (quoted second hand)."""
    boat = grown()[0].boat
    (room,) = bank_rooms(boat)
    assert room.day.out.middle == pytest.approx(96)
    assert room.room.most == pytest.approx(room.day.usable.most - 96)
    (two_days,) = bank_rooms(boat, days=2)
    assert two_days.room.most == pytest.approx(room.day.usable.most / 2 - 96)


def test_a_boat_without_conditions_tells_no_ah() -> None:
    network = msgspec.structs.replace(document("quill_34").network, conditions=())
    assert bank_rooms(analyse(network, library()).boat) == ()

"""The lists: each load on its circuit, each feeder with its worst condition, the figures in words."""

from __future__ import annotations

import pytest

from engine.graph.boat import Boat
from engine.studies.conditions import case_of
from engine.studies.load_list import feeder_rows, is_alike, load_rows, place_name, place_rows
from engine.studies.load_words import load_figures
from engine.studies.loads import load_analysis, natural_key
from engine.studies.network import solve
from engine.studies.trace import trace
from tests.rules.cases import boat_of
from tests.samples.boats import NAMES, document, library
from tests.studies.test_loads import BOAT, INVERTER, TWO_BANKS, part_of, run_of


def test_each_load_is_on_its_circuit() -> None:
    boat = Boat(document("quill_34").network, library())
    found = {row.load.part.designation: (row.circuit, row.place) for row in load_rows(boat)}
    assert found["E7"] == ("A1.7", "Nav station")
    assert found["M3"] == ("A2.1", "Bilge")
    assert found["M2"] == ("F6", "Forepeak")
    assert found["M1"] == ("", "Engine space")
    assert found["E40"] == ("A3.1", "Galley")


@pytest.mark.parametrize("name", NAMES)
def test_every_load_is_listed_once_and_every_feeder_has_a_worst_condition(name: str) -> None:
    boat = Boat(document(name).network, library())
    rows, found = load_rows(boat), load_analysis(boat)
    assert sorted(row.load.part.id for row in rows) == sorted([*found.loads, *found.full.converters])
    assert [row.load.ac for row in rows] == sorted(row.load.ac for row in rows)
    assert feeder_rows(boat)
    for feeder in feeder_rows(boat):
        largest = max(each.estimate.most for each in feeder.sums)
        assert feeder.worst.sum.estimate.most == largest
        assert feeder.worst.condition in [case.name for case in load_analysis(boat).cases]


@pytest.mark.parametrize("name", NAMES)
def test_what_is_listed_on_a_panel_sums_to_what_the_panel_takes(name: str) -> None:
    boat = Boat(document(name).network, library())
    for panel in boat.with_role("dc_panel", "ac_panel"):
        pole = "L" if boat.role(panel) == "ac_panel" else "+"
        for number, case in enumerate(load_analysis(boat).each):
            found = case.through(panel, pole)
            inside = {item.part.id for item in (*found.items, *found.perhaps)}
            own = [row for row in load_rows(boat) if row.circuit.startswith(f"{panel.designation}.")]
            assert all(row.load.part.id in inside or row.drawn[number].amount.most == 0 for row in own)
            listed = [row.drawn[number].amount for row in load_rows(boat) if row.load.part.id in inside]
            assert sum(each.least for each in listed) == pytest.approx(found.estimate.least)
            assert sum(each.most for each in listed) == pytest.approx(found.estimate.most)


def test_a_charger_is_a_load_of_its_ac_panel() -> None:
    boat = Boat(document("quill_34").network, library())
    charger = next(row for row in load_rows(boat) if row.load.part.designation == "T1")
    assert (charger.circuit, charger.load.ac, charger.load.volts_v.middle) == ("A3.4", True, 120)
    assert [each.amount.middle for each in charger.drawn] == [6, 0, 0, 0, 0, 0]


def test_a_place_that_takes_the_same_always_is_alike() -> None:
    boat = Boat(document("quill_34").network, library())
    alike = {row.parts[0].designation for row in place_rows(boat) if is_alike(row)}
    assert "A2" in alike
    assert "A1" not in alike


def test_what_a_place_may_carry() -> None:
    """A 30 A inlet 24 A for hours (80 %); a panel and a bus their ratings; a battery has none."""
    boat = Boat(document("quill_34").network, library())
    rated = {row.parts[0].designation: row.rated for row in place_rows(boat)}
    assert rated["G2"] is None
    assert {name: each.middle for name, each in rated.items() if each} == {
        "X1": pytest.approx(24), "W2": 400, "W3": 400, "A1": 100, "A2": 60, "A3": 50,
    }  # fmt: skip
    assert any(source.status == "published" and "80 %" in source.table for source in rated["X1"].sources)  # type: ignore[union-attr]


def test_batteries_of_one_number_are_one_bank() -> None:
    boat = boat_of(TWO_BANKS.replace("nominal_v=12 chem", "nominal_v=12 battery_number=1 chem"))
    (bank,) = [row for row in place_rows(boat) if boat.role(row.parts[0]) == "battery"]
    assert place_name(boat, bank) == "G1, G2"
    assert [(each.estimate.least, each.estimate.most) for each in bank.sums] == [(10, 10), (10, 10)]


def test_a_charger_does_not_feed_the_loads_of_its_battery() -> None:
    boat = boat_of(INVERTER)
    taken = {row.parts[0].designation: [each.estimate.most for each in row.sums] for row in place_rows(boat)}
    assert "T2" not in taken or max(taken["T2"]) == 0
    assert max(taken["T1"]) > 0


def test_a_load_without_a_voltage_of_its_own_has_that_of_its_source() -> None:
    boat = boat_of(BOAT.replace("E1 radio running_a=6 standby_a=0.5 nominal_v=12", "E1 radio running_a=6"))
    volts = load_analysis(boat).loads[part_of(boat, "E1").id].volts_v
    assert (volts.middle, volts.lacks) == (12, ())
    assert "G1" in volts.sources[0].table


def test_the_figures_in_words() -> None:
    boat = boat_of(BOAT)
    case = case_of(boat, boat.network.conditions[0])
    radio = dict(load_figures(boat, case, f"part:{part_of(boat, 'E1').id}"))
    assert radio["Stands by in this condition"].middle == 0.5
    feeder = dict(load_figures(boat, case, f"run:{run_of(boat, '3')}"))
    assert feeder["Loads in this condition, +"].middle == pytest.approx(1.2)
    assert feeder["Worst condition, +: Anchoring"].middle == pytest.approx(6)
    panel = dict(load_figures(boat, case, f"part:{part_of(boat, 'A1').id}"))
    assert panel["Feeder method, +: in all"].middle == pytest.approx(6 + 7)
    assert panel["… with its spare ways (1)"].middle == pytest.approx(13 + 16)
    assert not list(load_figures(boat, case, "part:nobody"))


def test_explain_shows_them() -> None:
    boat = boat_of(BOAT)
    steps = trace(boat, solve(boat, boat.network.conditions[0]), f"run:{run_of(boat, '3')}")
    assert next(step for step in steps if step.what == "Loads in this condition, +").formula == "E1 0.5 + M1 0.7"


def test_numbers_in_order() -> None:
    assert sorted(["A10", "", "A2", "F1"], key=natural_key) == ["A2", "A10", "F1", ""]

"""The sentences say what the solution has: the starting motor, what goes wrong, the largest drop, what is full."""

from __future__ import annotations

from engine.graph.boat import Boat
from engine.graph.live import dead_without, live
from engine.studies.network import solve_case
from engine.studies.setting import Setting, case_for, live_in
from engine.studies.shown import amps, percent, volts
from engine.studies.telling import Told, live_told, names, opened_told, solution_told
from tests.rules.cases import boat_of
from tests.samples.boats import document, library


def told(boat: Boat, setting: Setting) -> list[Told]:
    case = case_for(boat, setting)
    shown = live_in(boat, case)
    return [*live_told(boat, shown), *solution_told(boat, solve_case(boat, case), shown)]


def quill() -> Boat:
    return Boat(document("quill_34").network, library())


def test_the_voltage_at_the_windlass_while_it_starts_is_said() -> None:
    boat = quill()
    windlass = next(part for part in boat.network.parts if part.kind == "windlass")
    setting = Setting("all", starting=windlass.id)
    load = solve_case(boat, case_for(boat, setting)).loads[windlass.id]
    (said,) = [each for each in told(boat, setting) if each.text.startswith("While")]
    assert said.key == f"part:{windlass.id}"
    assert f"it has {volts(load.volts_v)} and draws {amps(load.current_a)}" in said.text


def test_a_motor_without_voltage_cannot_start() -> None:
    boat = quill()
    windlass = next(part for part in boat.network.parts if part.kind == "windlass")
    said = told(boat, Setting("drawn", starting=windlass.id))
    assert [each.grave for each in said if "cannot start" in each.text] == [True]


def test_the_largest_drop_and_the_fullest_run_are_those_of_the_solution() -> None:
    boat = quill()
    solution = solve_case(boat, case_for(boat, Setting("all")))
    worst = max((load for load in solution.loads.values() if load.state == "fed"), key=lambda load: load.drop_percent)
    texts = [each.text for each in told(boat, Setting("all"))]
    assert any(boat.name(worst.part) in text and percent(worst.drop_percent) in text for text in texts)
    assert any(text.startswith("The fullest run is wire 203") for text in texts)


def test_what_is_dead_is_said_once_and_an_overfull_run_is_grave() -> None:
    boat = Boat(document("marguerite_as_built").network, library())
    said = told(boat, Setting("all"))
    assert sum("E17" in each.text for each in said) == 1
    assert [each.key for each in said if "108 %" in each.text and each.grave] == ["run:w13", "run:w29"]
    assert any("without a return" in each.text and each.grave for each in said)


def test_a_supply_that_collapses_is_a_sentence() -> None:
    boat = boat_of(
        """
boat
G1 battery nominal_v=12 capacity_ah=10
E1 load_dc nominal_v=12 power_w=20000
1: G1.pos - E1.supply + 14 AWG 20 m
2: E1.neg - G1.neg - 14 AWG 20 m
"""
    )
    assert any(each.grave and "E1" in each.text for each in told(boat, Setting("all")))


def test_a_long_list_of_names_is_cut_and_counted() -> None:
    boat = quill()
    assert names(boat, boat.network.parts[:3]).count(",") == 2
    assert names(boat, boat.network.parts).endswith(f"and {len(boat.network.parts) - 8} more")


def test_what_one_open_device_takes_with_it() -> None:
    boat = quill()
    switches = case_for(boat, Setting("all")).switches or {}
    fuse = next(part for part in boat.network.parts if part.designation == "F6")
    dead = dead_without(boat, switches, f"part:{fuse.id}")
    assert [part.designation for part in dead] == ["M2"]
    assert opened_told(boat, "F6", dead, ())[0].text == "With F6 open these go dead: M2 Windlass."
    assert opened_told(boat, "F6", (), ())[0].text == "With F6 open nothing else goes dead."
    assert live_told(boat, live(boat, switches))[0].text == "28 of 28 loads are live."

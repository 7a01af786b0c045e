"""The Quill 52 is large and breaks nothing under ISO: two voltages, three AC sources, lithium, 16 sheets and more."""

from __future__ import annotations

import pytest

from engine.cli import main
from engine.model.network import Part, Run
from tests.samples.boats import analysis, boat_file, document, library

NAME = "quill_52"
PARTS = {part.designation: part for part in document(NAME).network.parts}
PANELS = [part for part in PARTS.values() if part.positions]


def test_nothing_breaks_and_nothing_is_left_open() -> None:
    assert [(finding.rule.id, finding.outcome.subjects) for finding in analysis(NAME).findings] == []
    assert analysis(NAME).report.books == ("iso13297",)


def test_enough_is_asked_to_make_that_worth_something() -> None:
    report = analysis(NAME).report
    assert report.checks > 7000
    silent = {tally.rule_id for tally in report.not_applicable}
    assert len({tally.rule_id for tally in report.tallies} - silent) > 60


def test_the_command_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(boat_file(NAME))]) == 0
    assert "0 broken, 0 cannot be told" in capsys.readouterr().out


def test_she_has_some_150_circuits_and_a_fifth_to_spare() -> None:
    ways = [way for panel in PANELS for way in panel.positions]
    led = [way for way in ways if way.state != "spare"]
    assert len(PANELS) == 10
    assert len(led) >= 140
    free = [way for way in ways if way.state in ("spare", "prepared")]
    assert len(free) / len(ways) >= 0.18


@pytest.mark.parametrize("panel", PANELS, ids=lambda panel: panel.designation)
def test_a_circuit_has_the_number_of_its_panel_and_way(panel: Part) -> None:
    number = int(panel.designation.removeprefix("A"))
    runs = [run for run in document(NAME).network.runs if run.a.part == panel.id and run.a.port not in ("feed", "neg")]
    assert runs
    for run in runs:
        assert run.number == f"{number}{int(run.a.port.removeprefix('p')):02}"
        assert _load_number(run) in ("", run.number)


def _load_number(run: Run) -> str:
    """The digits of the load's designation; "" where the circuit feeds a part that other sheets show as well."""
    load = next(part for part in PARTS.values() if part.id == run.b.part)
    shared = sum(load.id == place.part for sheet in document(NAME).sheets for place in sheet.places) > 1
    return "" if shared else load.designation.lstrip("EKMPX")


def test_every_run_is_drawn_somewhere() -> None:
    network, sheets = document(NAME).network, document(NAME).sheets
    drawn = [{place.part for place in sheet.places} for sheet in sheets]
    assert [run.number for run in network.runs if not any({run.a.part, run.b.part} <= parts for parts in drawn)] == []


@pytest.mark.parametrize("name", ["alongside", "anchor", "day", "night", "manoeuvring"])
def test_a_condition_says_where_every_switch_stands(name: str) -> None:
    condition = next(each for each in document(NAME).network.conditions if each.id == name)
    kinds = ("battery_switch", "bms_disconnect", "ac_selector", "inverter_charger")
    switches = {part.id for part in PARTS.values() if part.kind in kinds}
    assert set(condition.switches) == switches
    assert len(condition.duty) > 20
    assert all(library()[part.kind] is not None for part in PARTS.values() if part.id in condition.duty)

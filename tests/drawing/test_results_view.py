"""Volts, amps and loading as annotation: the numbers are the solution's own, and what has none says why."""

from __future__ import annotations

import pytest

from engine.drawing.overlay import heat_class
from engine.drawing.results_view import loading_annotation, volts_annotation
from engine.drawing.sheet import draw_sheet
from engine.graph.boat import Boat
from engine.studies.loading import allowed
from engine.studies.network import solve, solve_case
from engine.studies.setting import Setting, case_for
from engine.studies.shown import amps, lost_in, millivolts, percent, volts
from tests.drawing import laws
from tests.drawing.boats import symbols
from tests.rules.cases import boat_of
from tests.samples.boats import document, library

PLAIN = """
boat rules=us
G1 battery nominal_v=12 capacity_ah=100
F1 fuse_bolt 30 A
E1 lamp nominal_v=12 running_a=10
E2 lamp nominal_v=12 running_a=?
E3 lamp nominal_v=12 running_a=1
1: G1.pos - F1.a + 10 AWG 1 m 105 C bundled=1
2: F1.b - E1.supply + 14 AWG 5 m bundled=1
3: E1.neg - G1.neg - 14 AWG 5 m 105 C bundled=1
4: F1.b - E2.supply + 14 AWG 5 m
5: E2.neg - G1.neg - 14 AWG 5 m
"""


def plain() -> tuple[Boat, dict[str, str], dict[str, str]]:
    boat = boat_of(PLAIN)
    parts = {part.designation: part.id for part in boat.network.parts}
    return boat, parts, {run.number: run.id for run in boat.network.runs}


def test_what_is_written_is_what_the_network_has() -> None:
    boat, parts, runs = plain()
    solution = solve(boat)
    shown = volts_annotation(boat, solution)
    lamp = solution.loads[parts["E1"]]
    assert shown.beside[f"part:{parts['E1']}"] == f"{volts(lamp.volts_v)}, −{percent(lamp.drop_percent)}"
    assert shown.values[runs["2"]] == (f"10 A, −{millivolts(lost_in(solution, boat.runs[runs['2']]))}", "10 A")
    assert shown.beside[f"part:{parts['G1']}"].endswith("gives 10 A")


def test_what_has_no_voltage_says_why() -> None:
    boat, parts, runs = plain()
    shown = volts_annotation(boat, solve(boat))
    assert shown.beside[f"part:{parts['E2']}"] == "current not known"
    assert shown.beside[f"part:{parts['E3']}"] == "no source"
    assert runs["4"] not in shown.values


def test_loading_is_current_over_allowed_and_unknown_is_a_query_without_a_band() -> None:
    boat, _, runs = plain()
    shown = loading_annotation(boat, solve(boat))
    may = allowed(boat, boat.runs[runs["1"]]).allowed_a
    assert may is not None
    assert shown.values[runs["1"]][-1] == percent(1000 / may, 0)
    assert shown.heat[runs["1"]] == heat_class(1000 / may)
    assert shown.values[runs["2"]][-1] == "? %"  # its insulation is not known
    assert shown.heat[runs["2"]] == 0


@pytest.mark.parametrize(
    ("value", "text"), [(0.25, "0.25 A"), (4.8, "4.8 A"), (12.44, "12.4 A"), (100.4, "100 A"), (245.0, "245 A")]
)
def test_amps_have_the_digits_that_matter(value: float, text: str) -> None:
    assert amps(value) == text


def test_losses_below_a_tenth_of_a_volt_are_millivolts() -> None:
    assert (millivolts(0.0312), millivolts(0.31)) == ("31 mV", "0.31 V")


@pytest.mark.parametrize(
    ("sheet", "base"), [("s1", "all"), ("s1", "motoring_night"), ("s2", "anchor"), ("s3", "alongside")]
)
@pytest.mark.parametrize("view", [volts_annotation, loading_annotation])
def test_on_the_sample_every_value_is_written_and_covers_nothing(sheet: str, base: str, view: object) -> None:
    boat_document = document("quill_34")
    boat = Boat(boat_document.network, library())
    shown = view(boat, solve_case(boat, case_for(boat, Setting(base))))  # type: ignore[operator]
    drawing = draw_sheet(boat_document, sheet, library(), symbols(), annotation=shown)
    assert laws.overlapping_labels(drawing) == []
    assert laws.labels_on_parts(drawing) == []
    assert laws.labels_on_runs(drawing) == []
    written = {text.string for _, text in laws.labels(drawing)}
    assert not [
        forms for run, forms in shown.values.items() if run in drawing.paths and not written.intersection(forms)
    ]
    assert not [text for key, text in shown.beside.items() if key in drawing.boxes and text not in written]


def test_a_motor_that_starts_has_less_than_while_it_runs() -> None:
    boat = Boat(document("quill_34").network, library())
    windlass = next(part for part in boat.network.parts if part.kind == "windlass")
    runs, starts = solve(boat), solve(boat, starting=[windlass.id])
    told = [volts_annotation(boat, each).beside[f"part:{windlass.id}"] for each in (runs, starts)]
    assert told == [f"{volts(each.loads[windlass.id].volts_v)}, −{percent(each.loads[windlass.id].drop_percent)}"
                    for each in (runs, starts)]  # fmt: skip
    assert starts.loads[windlass.id].volts_v < runs.loads[windlass.id].volts_v


def test_a_long_name_in_a_boards_head_is_not_written_over() -> None:
    boat_document = document("quill_52")
    boat = Boat(boat_document.network, library())
    shown = volts_annotation(boat, solve_case(boat, case_for(boat, Setting("all"))))
    for sheet in boat_document.sheets:
        drawing = draw_sheet(boat_document, sheet.id, library(), symbols(), annotation=shown)
        assert laws.overlapping_labels(drawing) == []

"""The table of volts and amps: what the network has in the condition that is looked at; empty where nobody looks."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from app.workbench import Workbench
from engine.studies.shown import fullness, most_in
from tests.app.conftest import with_boat
from tests.samples.boats import document


def test_the_table_has_the_numbers_of_the_condition(empty_bench: Workbench, qtbot: QtBot) -> None:
    bench = with_boat(empty_bench, document("quill_34"), qtbot)
    situation, schedules = bench.panes.conditions.situation, bench.panes.schedules
    bench.window.dock("schedules").bring()
    schedules.show_table("results")
    assert schedules.view.table.rows == ()
    situation.choose("all")
    situation.look("volts")
    qtbot.waitUntil(lambda: situation.current is not None and bool(schedules.view.table.rows), timeout=20_000)
    standing = situation.current
    assert standing is not None
    table = schedules.view.table
    keys = [column.field.key for column in table.columns]
    cells = {row.record.number: [column.value(row) for column in table.columns[:6]] for row in table.rows}
    run = next(run for run in standing.boat.network.runs if run.number == "203")
    assert cells["203"][keys.index("current")] == round(most_in(standing.solution, run), 2)
    assert cells["203"][keys.index("loading")] == round(fullness(standing.boat, standing.solution, run) or 0.0, 1)
    row = next(row for row in table.rows if row.record.number == "101")
    load = standing.solution.loads[row.record.b.part]
    assert table.columns[keys.index("volts")].value(row) == round(load.volts_v, 3)
    assert table.columns[keys.index("volts")].edit is None

"""Findings: counted, filtered, explained, walked through by key, shown on the sheet; never "none" where nothing ran."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.marks import SEVERITIES
from app.panels.finding_text import texts_of
from app.workbench import Workbench
from engine.model.edits.placing import delete
from tests.app.conftest import checked


def test_an_empty_boat_is_not_called_sound(empty_bench: Workbench, qtbot: QtBot) -> None:
    checked(empty_bench, qtbot)
    panel = empty_bench.panes.findings
    assert panel.model.rows == ()
    assert "Nothing could be checked" in panel.text._sentence.text()
    assert panel.summary.text().startswith("0 checks ran")


def test_counts_stand_in_the_status_line_and_on_the_filters(bench: Workbench) -> None:
    counts = bench.panes.findings.model.counts()
    assert sum(counts.values()) > 0
    for severity in SEVERITIES:
        assert bench.window.foot.counts[severity].text() == str(counts[severity])
        assert bench.panes.findings.filters[severity].text().startswith(str(counts[severity]))


def test_filters_let_through_what_is_asked_for(bench: Workbench) -> None:
    panel = bench.panes.findings
    total, counts = len(panel.model.rows), panel.model.counts()
    panel.filters["unknown"].click()
    assert len(panel.model.rows) == total - counts["unknown"]
    panel.filters["unknown"].click()
    assert len(panel.model.rows) == total


def test_f8_walks_the_findings_and_shows_each(bench: Workbench) -> None:
    panel = bench.panes.findings
    for one in panel.model.rows[:5]:
        QTest.keyClick(bench.window, Qt.Key.Key_F8)
        assert panel.current() == one
        about = [key for key in one.finding.outcome.subjects if key.partition(":")[0] in ("part", "run", "position")]
        assert bench.selection.keys == set(about)
    QTest.keyClick(bench.window, Qt.Key.Key_F8, Qt.KeyboardModifier.ShiftModifier)
    assert panel.current() == panel.model.rows[3]


def test_the_detail_says_sum_clause_and_remedy(bench: Workbench) -> None:
    panel = bench.panes.findings
    assert bench.analyst.analysis is not None
    for one in panel.model.rows:
        told = dict(texts_of(one, bench.analyst.analysis))
        assert told["Remedy"]
        assert told["Rule"] == one.finding.rule.id
        assert "Basis" in told
        assert "[" in told["Basis"], "says how well the clause is known"
    panel.step(1)
    shown = [label.text() for label in panel.text._labels]
    assert "Remedy" in shown
    assert panel.text._sentence.text() == panel.model.rows[0].sentence


def test_findings_follow_an_edit_and_the_picked_one_stays(bench: Workbench, qtbot: QtBot) -> None:
    panel = bench.panes.findings
    panel.step(-1)
    picked = panel.current()
    assert picked is not None
    bench.window.menus.run("sheet-new")
    bench.store.apply(lambda document: delete(document, {"run:w8"}), "Delete")
    checked(bench, qtbot)
    rows = [one.identity for one in panel.model.rows]
    now = panel.current()
    assert (now.identity if now else None) == (picked.identity if picked.identity in rows else None)


def test_what_a_finding_lacks_is_one_key_away(bench: Workbench) -> None:
    panel = bench.panes.findings
    lacking = [one for one in panel.model.rows if one.finding.outcome.lacks[:1] == ("run:w7 size",)]
    assert lacking
    panel._select(panel.model.rows.index(lacking[0]))
    bench.window.menus.refresh()
    bench.window.menus.run("measure")
    key, _, field = lacking[0].finding.outcome.lacks[0].partition(" ")
    assert bench.selection.keys == {key}
    assert bench.panes.particulars.rows[key, field].editor.hasFocus()


def test_dragging_on_the_sheet_asks_for_no_check(bench: Workbench) -> None:
    analysis = bench.analyst.analysis
    bench.selection.set(("part:p4",))
    bench.window.menus.run("turn")
    assert bench.analyst.analysis is analysis
    assert bench.analyst.current

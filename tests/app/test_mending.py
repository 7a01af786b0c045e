"""Remedies in the window: tried only for the finding that is picked, shown on the sheet before one is taken, one step of
undo, and gone when the boat is another."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.mender import Case, offers
from app.panels.finding_remedies import effect_text
from app.workbench import Workbench
from engine.library.device import load_library
from engine.model.edits.fields import set_run_fields
from engine.remedies.stock import Stock
from tests.app.conftest import checked, with_boat
from tests.samples.boats import analysis, document


@pytest.fixture(name="refit")
def refit_fixture(empty_bench: Workbench, qtbot: QtBot) -> Iterator[Workbench]:
    yield with_boat(empty_bench, document("marguerite_as_built"), qtbot)
    empty_bench.mending.mender.wait()


def pick(bench: Workbench, rule: str, about: str, qtbot: QtBot) -> None:
    """Pick a finding and wait for its remedies."""
    panel = bench.panes.findings
    rows = panel.model.rows
    row = next(n for n, one in enumerate(rows) if (one.finding.rule.id, one.keys[0]) == (rule, about))
    with qtbot.waitSignal(bench.mending.mender.offered, timeout=20_000):
        panel.list.setCurrentIndex(panel.model.index(row, 0))


def titles(bench: Workbench) -> list[str]:
    return [offer.remedy.title for offer in bench.panes.findings.remedies.offers]


def test_nothing_is_tried_before_a_finding_is_picked(refit: Workbench, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(refit.mending.mender.begun, wait=200):
        checked(refit, qtbot)
    assert titles(refit) == []
    assert not refit.window.menus.usable("remedy-first")
    pick(refit, "oversized-device", "run:w13", qtbot)
    assert set(titles(refit)) == {"wire 13: 16 mm²", "F2 Windlass: 50 A"}
    assert refit.window.menus.made["remedy-first"].isEnabled()


def test_the_one_that_brings_nothing_stands_first(refit: Workbench, qtbot: QtBot) -> None:
    pick(refit, "oversized-device", "run:w13", qtbot)
    first, second = refit.panes.findings.remedies.offers
    got = refit.analyst.analysis
    assert got is not None
    assert first.breaks == 0
    assert "brings none" in effect_text(first, got)
    assert second.breaks == 1
    assert "70 A flow through it" in effect_text(second, got)


def test_a_remedy_is_shown_before_it_is_taken(refit: Workbench, qtbot: QtBot) -> None:
    pick(refit, "oversized-device", "run:w13", qtbot)
    before, bench = refit.store.document, refit.view.bench
    assert bench.shown is bench.drawing
    refit.window.activateWindow()
    refit.window.menus.run("remedies")
    assert bench.redlined == ("run:w13",)
    assert bench.shown is not bench.drawing
    QTest.keyClick(refit.panes.findings.remedies.list, Qt.Key.Key_Down)
    assert bench.redlined == ("part:p11",)
    assert refit.store.document is before
    refit.view.setFocus()
    qtbot.waitUntil(lambda: bench.redlined == ())
    assert bench.shown is bench.drawing


def test_enter_takes_it_as_one_step_of_undo(refit: Workbench, qtbot: QtBot) -> None:
    pick(refit, "oversized-device", "run:w13", qtbot)
    before = refit.store.document
    refit.window.activateWindow()
    refit.window.menus.run("remedies")
    QTest.keyClick(refit.panes.findings.remedies.list, Qt.Key.Key_Return)
    assert next(run.size for run in refit.store.document.network.runs if run.id == "w13") == "16 mm²"
    assert refit.store.undo_stack.undoText() == "Remedy: wire 13: 16 mm²"
    assert refit.view.bench.redlined == ()
    checked(refit, qtbot)
    told = {(one.finding.rule.id, one.keys[0]) for one in refit.panes.findings.model.rows}
    assert ("oversized-device", "run:w13") not in told
    refit.window.menus.run("undo")
    assert refit.store.document is before


def test_the_first_is_taken_by_its_key(refit: Workbench, qtbot: QtBot) -> None:
    pick(refit, "exposed-ac-parts", "part:p39", qtbot)
    refit.window.menus.run("remedy-first")
    assert next(box.ac_guard for box in refit.store.document.network.enclosures if box.id == "locker") == "tool"
    assert refit.store.undo_stack.count() == 1


def test_remedies_of_another_boat_are_not_taken(refit: Workbench, qtbot: QtBot) -> None:
    pick(refit, "oversized-device", "run:w13", qtbot)
    offer = refit.panes.findings.remedies.offers[0]
    refit.store.apply(lambda given: set_run_fields(given, "w20", note="Seen"), "Note")
    assert not refit.window.menus.usable("remedy-first")
    after = refit.store.document
    refit.panes.findings.remedies.taken.emit(offer)
    assert refit.store.document is after
    with qtbot.waitSignal(refit.mending.mender.offered, timeout=20_000):
        checked(refit, qtbot)
    assert refit.window.menus.usable("remedy-first"), "tried anew, on the boat as it is now"


def test_what_cannot_be_told_is_offered_nothing(refit: Workbench, qtbot: QtBot) -> None:
    panel = refit.panes.findings
    row = next(n for n, one in enumerate(panel.model.rows) if one.severity == "unknown")
    with qtbot.assertNotEmitted(refit.mending.mender.begun, wait=200):
        panel.list.setCurrentIndex(panel.model.index(row, 0))
    assert titles(refit) == []


def test_where_no_edit_helps_it_says_so(refit: Workbench, qtbot: QtBot) -> None:
    pick(refit, "joined-banks", "part:p1", qtbot)
    assert titles(refit) == []
    assert "a decision" in refit.panes.findings.remedies.said.text()


def test_the_search_ends_when_nobody_waits_for_it() -> None:
    got, given = analysis("marguerite_as_built"), document("marguerite_as_built")
    finding = next(each for each in got.findings if each.rule.id == "exposed-ac-parts")
    case = Case(got, finding, given)
    assert offers(case, load_library(), Stock(), lambda: True) == ()
    assert len(offers(case, load_library(), Stock(), lambda: False)) == 2

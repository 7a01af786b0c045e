"""Questions: what is open is listed by gravity; an answer is one step of undo and becomes a finding where it is a no."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from app.panels.questions import QuestionsPanel, identity
from app.workbench import Workbench
from engine.rules.inspection.questions import Question
from engine.rules.missing import what_next
from tests.app.conftest import checked


def pick(panel: QuestionsPanel, item_id: str) -> Question:
    for item in panel.items():
        panel.list.setCurrentItem(item)
        found = panel.current()
        if isinstance(found, Question) and found.item.id == item_id:
            return found
    raise AssertionError(f"{item_id} is not asked")


@pytest.fixture
def panel(bench: Workbench, qtbot: QtBot) -> QuestionsPanel:
    """The panel with its dock in sight: behind another tab it leaves its list as it is."""
    bench.window.dock("questions").bring()
    qtbot.waitUntil(lambda: bench.window.dock("questions").is_in_sight())
    return bench.panes.questions


def test_behind_another_tab_it_waits_until_somebody_looks(bench: Workbench, qtbot: QtBot) -> None:
    panel = bench.panes.questions
    assert not bench.window.dock("questions").is_in_sight()
    assert list(panel.items()) == []
    bench.window.dock("questions").bring()
    qtbot.waitUntil(lambda: list(panel.items()) != [])


def test_it_lists_every_open_field_and_every_question(bench: Workbench, panel: QuestionsPanel) -> None:
    analysis = bench.analyst.analysis
    assert analysis is not None
    listed = [identity(panel.items()[row].data(0, 256)) for row in range(len(panel.items()))]
    assert {(ask.field, ask.key) for ask in what_next(analysis.report)} <= set(listed)
    assert "are not answered" in panel.summary.text()


def test_a_no_is_kept_in_the_document_and_becomes_a_finding(
    bench: Workbench, panel: QuestionsPanel, qtbot: QtBot
) -> None:
    question = pick(panel, "cable-marking")
    assert not panel.buttons["yes"].isHidden()
    assert panel.value.isHidden()
    panel.by.setText("R. Thorne")
    panel.buttons["no"].click()
    kept = bench.store.document.network.answers
    assert [(each.item, each.subject, each.answer, each.by) for each in kept] == [
        ("cable-marking", question.subject, False, "R. Thorne")
    ]
    checked(bench, qtbot)
    assert any(row.finding.rule.id == "failed-inspection" for row in bench.panes.findings.model.rows)
    assert identity(panel.current()) == ("cable-marking", question.subject)
    bench.store.undo()
    assert bench.store.document.network.answers == ()


def test_a_measured_answer_is_a_number_and_can_be_taken_back(
    bench: Workbench, panel: QuestionsPanel, qtbot: QtBot
) -> None:
    pick(panel, "support")
    assert panel.buttons["yes"].isHidden()
    panel.value.setText("0.4")
    panel.buttons["value"].click()
    assert [each.answer for each in bench.store.document.network.answers] == [0.4]
    checked(bench, qtbot)
    panel.buttons["back"].click()
    assert bench.store.document.network.answers == ()

"""Questions: what is open is listed by gravity; an answer is one step of undo and becomes a finding where it is a no."""

from __future__ import annotations

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


def test_it_lists_every_open_field_and_every_question(bench: Workbench) -> None:
    panel, analysis = bench.panes.questions, bench.analyst.analysis
    assert analysis is not None
    listed = [identity(panel.items()[row].data(0, 256)) for row in range(len(panel.items()))]
    assert {(ask.field, ask.key) for ask in what_next(analysis.report)} <= set(listed)
    assert "are not answered" in panel.summary.text()


def test_a_no_is_kept_in_the_document_and_becomes_a_finding(bench: Workbench, qtbot: QtBot) -> None:
    panel = bench.panes.questions
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


def test_a_measured_answer_is_a_number_and_can_be_taken_back(bench: Workbench, qtbot: QtBot) -> None:
    panel = bench.panes.questions
    pick(panel, "support")
    assert panel.buttons["yes"].isHidden()
    panel.value.setText("0.4")
    panel.buttons["value"].click()
    assert [each.answer for each in bench.store.document.network.answers] == [0.4]
    checked(bench, qtbot)
    panel.buttons["back"].click()
    assert bench.store.document.network.answers == ()

"""Leaving a finding as it is, and house rules, at the window: by the actions and dialogs a person uses."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.dialogs.deviation import DeviationDialog
from app.dialogs.house import HouseDialog
from app.workbench import Workbench
from engine.drawing.layout import lay_out
from engine.files.opening import open_boat
from engine.model.house import House
from engine.sketch import read_sketch
from tests.app.conftest import checked, with_boat

HOUSE = Path(__file__).parents[2] / "sample_boats" / "quillan_bay_house.txt"
SKETCH = """
boat "Bare" rules=us fuel=diesel engine=inboard drawn_by="T. Arden"
G1 battery nominal_v=12 cca_a=700
E1 lamp running_a=1
W1: G1.pos - E1.supply + 14 AWG RD 2 m bare
W2: E1.neg - G1.neg - 14 AWG YE 2 m tinned
"""


@pytest.fixture
def bare(empty_bench: Workbench, qtbot: QtBot) -> Workbench:
    document = read_sketch(SKETCH, empty_bench.library)
    return with_boat(empty_bench, lay_out(document, empty_bench.library, empty_bench.symbols), qtbot)


def pick(bench: Workbench, rule: str) -> None:
    """The finding of that rule in front."""
    row = next(row for row, one in enumerate(bench.panes.findings.model.rows) if one.finding.rule.id == rule)
    bench.panes.findings.list.setCurrentIndex(bench.panes.findings.model.index(row, 0))


def opened(kind: type) -> object:
    QApplication.processEvents()
    return next(each for each in QApplication.topLevelWidgets() if isinstance(each, kind) and each.isVisible())


def test_a_finding_is_left_as_it_is_with_reason_name_and_date_and_counted_again_when_that_is_withdrawn(
    bare: Workbench, qtbot: QtBot
) -> None:
    before = bare.panes.findings.model.counts()["advice"]
    pick(bare, "untinned-conductor")
    bare.window.menus.run("deviate")
    asked = opened(DeviationDialog)
    assert isinstance(asked, DeviationDialog)
    assert asked.by.text() == "T. Arden"
    assert not asked.leave.isEnabled(), "no deviation without a reason"
    QTest.keyClicks(asked.reason, "a dry saloon")
    assert asked.leave.isEnabled()
    QTest.mouseClick(asked.leave, Qt.MouseButton.LeftButton)
    checked(bare, qtbot)
    assert bare.panes.findings.model.counts()["advice"] == before - 1
    last = bare.panes.findings.model.rows[-1]
    assert last.sentence.startswith("Left as it is: ")
    pick(bare, "untinned-conductor")
    assert any("a dry saloon" in label.text() for label in bare.panes.findings.text._labels)
    bare.window.menus.run("withdraw")
    checked(bare, qtbot)
    assert bare.panes.findings.model.counts()["advice"] == before
    bare.store.undo()
    checked(bare, qtbot)
    assert bare.panes.findings.model.counts()["advice"] == before - 1


def test_a_danger_stays_counted(bare: Workbench, qtbot: QtBot) -> None:
    grave = next(one for one in bare.panes.findings.model.rows if one.severity == "danger")
    before = bare.panes.findings.model.counts()["danger"]
    pick(bare, grave.finding.rule.id)
    bare.window.menus.run("deviate")
    asked = opened(DeviationDialog)
    assert isinstance(asked, DeviationDialog)
    QTest.keyClicks(asked.reason, "nobody goes there")
    asked.accept()
    checked(bare, qtbot)
    assert bare.store.document.network.deviations
    assert bare.panes.findings.model.counts()["danger"] == before


def test_what_cannot_be_told_or_is_answered_for_cannot_be_left(bare: Workbench) -> None:
    untold = next(one for one in bare.panes.findings.model.rows if one.severity == "unknown")
    pick(bare, untold.finding.rule.id)
    current = bare.panes.findings.current()
    assert current is not None
    assert bare.window.menus.usable("deviate") is (current.finding.outcome.verdict == "breaks")
    assert not bare.window.menus.usable("withdraw")


def test_house_rules_come_from_a_file_and_can_be_taken_out(bare: Workbench, qtbot: QtBot, tmp_path: Path) -> None:
    bare.window.menus.run("house")
    shown = opened(HouseDialog)
    assert isinstance(shown, HouseDialog)
    assert not shown.drop.isEnabled()
    shown.read(HOUSE)
    assert bare.store.document.network.house == open_boat(HOUSE, bare.library).network.house
    assert "Quillan Bay" in shown.text.toPlainText()
    shown.read(tmp_path / "none.txt")
    assert "none.txt was not read" in shown.said.text()
    QTest.mouseClick(shown.drop, Qt.MouseButton.LeftButton)
    assert bare.store.document.network.house == House()
    shown.reject()

"""A person at the window, by mouse and keyboard: two batteries, ten circuits, a fuse forgotten and found, papers, a crash.

Every step is an event on a real widget; the document is only looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from app.dialogs.papers import PapersDialog
from app.main import furnish, open_window
from app.panels.editors import Line
from app.panels.small_lists import PositionList
from app.start_card import StartCard
from app.workbench import Workbench
from engine.model.network import Part, Run
from tests.app.conftest import checked

LEFT = Qt.MouseButton.LeftButton
MISSING_FUSE = {"unprotected-conductor", "distant-device"}
"""No device at all, or none near the battery: the breakers in the panel are too far away."""


class Person:
    """What one can do at the window."""

    def __init__(self, bench: Workbench) -> None:
        self.bench, self.view = bench, bench.view

    def spot(self, x_mm: float, y_mm: float) -> QPoint:
        x, y = self.view.camera.to_px(x_mm, y_mm)
        return QPoint(round(x), round(y))

    def click(self, x_mm: float, y_mm: float) -> None:
        at = self.spot(x_mm, y_mm)
        QTest.mouseMove(self.view, at)
        QTest.mouseClick(self.view, LEFT, Qt.KeyboardModifier.NoModifier, at)
        QApplication.processEvents()

    def seek(self, words: str) -> None:
        QTest.keyClick(self.bench.window, Qt.Key.Key_E, Qt.KeyboardModifier.ControlModifier)
        QTest.keyClicks(self.bench.window.finder, words)
        QTest.keyClick(self.bench.window.finder, Qt.Key.Key_Return)

    def place(self, kind: str, x_mm: float, y_mm: float) -> Part:
        """Found by name, clicked onto the sheet."""
        self.seek(kind)
        self.click(x_mm, y_mm)
        return self.bench.store.document.network.parts[-1]

    def connect(self, a: Part, a_port: str, b: Part, b_port: str) -> Run:
        """The run tool, a click on each port."""
        QTest.keyClick(self.bench.window, Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
        for part, port in ((a, a_port), (b, b_port)):
            spot = self.view.bench.drawing.ports[part.id, port]
            self.click(spot.x_mm, spot.y_mm)
        QTest.keyClick(self.view, Qt.Key.Key_Escape)
        QTest.keyClick(self.view, Qt.Key.Key_Escape)
        return self.bench.store.document.network.runs[-1]

    def fill_in(self, key: str, **texts: str) -> None:
        """Selects a thing and types into its form."""
        self.bench.selection.set((key,))
        for (_, name), row in self.bench.panes.particulars.rows.items():
            text = texts.get(name.removeprefix("values."))
            if text is not None:
                editor = row.editor
                assert isinstance(editor, Line), name
                editor.setFocus()
                editor.selectAll()
                QTest.keyClicks(editor, text)
                QTest.keyClick(editor, Qt.Key.Key_Return)
                assert not editor.wrong, row.why.text()


@pytest.fixture
def person(qtbot: QtBot, tmp_path: Path) -> Iterator[Person]:
    window = open_window(tmp_path / "settings.json")
    qtbot.addWidget(window, before_close_func=lambda _window: bench.store.mark_clean())
    bench = furnish(window, None, tmp_path / "recovery")
    window.resize(1600, 1000)
    window.activateWindow()
    QApplication.processEvents()
    yield Person(bench)
    bench.analyst.wait()


def rules_broken(bench: Workbench, about: set[str]) -> set[str]:
    return {
        one.finding.rule.id
        for one in bench.panes.findings.model.all
        if one.severity != "unknown" and about & set(one.finding.outcome.subjects)
    }


def test_a_boat_from_nothing_to_its_papers_and_back_after_a_crash(person: Person, qtbot: QtBot, tmp_path: Path) -> None:
    bench = person.bench
    card = bench.window.card
    assert isinstance(card, StartCard)
    begin = next(button for button in card.findChildren(QPushButton) if "Draw" in button.text())
    QTest.mouseClick(begin, LEFT)
    assert bench.window.card is None

    batteries = [person.place("Battery", 60, y) for y in (60, 120)]
    positive = person.place("Positive bus", 130, 85)
    negative = person.place("Negative bus", 130, 190)
    panel = person.place("DC panel", 200, 60)
    assert [part.kind for part in batteries] == ["battery", "battery"]
    person.fill_in(f"part:{panel.id}", bus_a="100 A")

    bench.selection.set((f"part:{panel.id}",))
    positions = next(made for made in bench.panes.particulars.lists if isinstance(made, PositionList))
    count = len(bench.store.document.network.parts[-1].positions)
    for _ in range(10 - count):
        positions.add()
    table = positions.view.table
    columns = [column.field.key for column in table.columns]
    for row in range(10):
        table.setData(table.index(row, columns.index("label")), f"Cabin light {row + 1}")
        table.setData(table.index(row, columns.index("rating_a")), "10 A")
    loads = [person.place("DC load", 360, 50 + 18 * n) for n in range(10)]
    assert len({load.id for load in loads}) == 10

    for number, load in enumerate(loads, 1):
        run = person.connect(panel, f"p{number}", load, "supply")
        assert run.poles == ("+", "-"), number
        person.fill_in(f"run:{run.id}", size="14 AWG", length_m="12 ft", insulation_c="105")
        person.fill_in(f"part:{load.id}", label=f"Light {number}", running_a="2 A")
    cables = [person.connect(battery, "pos", positive, f"s{n}") for n, battery in enumerate(batteries, 1)]
    feed = person.connect(positive, "s3", panel, "feed")
    back = [person.connect(battery, "neg", negative, f"s{n}") for n, battery in enumerate(batteries, 1)]
    back.append(person.connect(negative, "s3", panel, "neg"))
    for run in (*cables, feed, *back):
        person.fill_in(f"run:{run.id}", size="2 AWG", length_m="8 ft", insulation_c="105")
    network = bench.store.document.network
    assert len(network.runs) == 16
    assert {pole for run in (*cables, feed) for pole in run.poles} == {"+"}

    checked(bench, qtbot)
    assert MISSING_FUSE & rules_broken(bench, {f"run:{feed.id}"})
    before = [one.identity for one in bench.panes.findings.model.all if one.finding.rule.id in MISSING_FUSE]

    for cable, y in zip(cables, (60, 120), strict=True):
        points = bench.view.bench.drawing.paths[cable.id]
        (ax, ay), (bx, by) = max(
            pairwise(points),
            key=lambda leg: abs(leg[0][0] - leg[1][0]) + abs(leg[0][1] - leg[1][1]),
        )
        fuse = person.place("Battery-post fuse", (ax + bx) / 2, (ay + by) / 2)
        assert len([run for run in bench.store.document.network.runs if fuse.id in (run.a.part, run.b.part)]) == 2, y
        person.fill_in(f"part:{fuse.id}", rating_a="50 A", interrupting_a="10 kA", voltage_v="32 V")
        for run in bench.store.document.network.runs:
            if fuse.id in (run.a.part, run.b.part):
                near = "7 in" if run.a.part in {battery.id for battery in batteries} else "8 ft"
                person.fill_in(f"run:{run.id}", length_m=near, size="2 AWG", insulation_c="105")
    checked(bench, qtbot)
    assert not MISSING_FUSE & rules_broken(bench, {f"run:{feed.id}"})
    after = [one.identity for one in bench.panes.findings.model.all if one.finding.rule.id in MISSING_FUSE]
    assert len(after) < len(before)

    dialog = PapersDialog(bench, bench.window)
    dialog.folder.setText(str(tmp_path / "papers"))
    dialog.name.setText("boat")
    dialog.show()
    with qtbot.waitSignal(dialog.work.ended, timeout=90_000):
        QTest.mouseClick(dialog.make, LEFT)
    dialog.close()
    words = "".join(page.extract_text() for page in PdfReader(tmp_path / "papers" / "boat-panel-schedule.pdf").pages)
    assert "Cabin light 10" in words
    assert (tmp_path / "papers" / "boat-owners-drawing.pdf").stat().st_size > 1000

    bench.files.keeper.keep()
    drawn = bench.store.document
    window = open_window(tmp_path / "settings.json")
    qtbot.addWidget(window, before_close_func=lambda _window: again.store.mark_clean())
    again = furnish(window, None, tmp_path / "recovery")
    QTest.mouseClick(window.offers._buttons[0], LEFT)
    assert again.store.document == drawn
    again.analyst.wait()

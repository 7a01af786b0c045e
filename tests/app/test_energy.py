"""How long at anchor: press the keys, choose condition and bank, read the sentence and the figure; it follows the boat."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.deeds.energy import has_conditions
from app.dialogs.energy import EnergyDialog
from app.workbench import Workbench
from engine.drawing.bounds import texts
from engine.files.opening import open_boat
from engine.graph.boat import Boat
from engine.model.document import Document
from engine.studies.energy import energy
from engine.studies.energy_words import lasts
from tests.app.conftest import checked, with_boat

SAMPLES = Path(__file__).parent.parent.parent / "sample_boats"


@pytest.fixture
def sloop(empty_bench: Workbench, qtbot: QtBot) -> Workbench:
    return with_boat(empty_bench, open_boat(SAMPLES / "quill_34.boat", empty_bench.library), qtbot)


def asked(bench: Workbench) -> EnergyDialog:
    QTest.keyClick(bench.window, Qt.Key.Key_H, Qt.KeyboardModifier.ControlModifier)
    dialog = bench.window.findChild(EnergyDialog)
    assert dialog is not None
    return dialog


def expected(bench: Workbench, condition: str, bank: str) -> str:
    boat = Boat(bench.store.document.network, bench.library)
    chosen = next(each for each in boat.network.conditions if each.name == condition)
    return next(lasts(day) for day in energy(boat, chosen) if day.name == bank)


def doubled_house(document: Document) -> Document:
    """The house bank twice as large."""
    parts = tuple(
        msgspec.structs.replace(part, values={**part.values, "capacity_ah": 400.0})
        if part.designation == "G2"
        else part
        for part in document.network.parts
    )
    return msgspec.structs.replace(document, network=msgspec.structs.replace(document.network, parts=parts))


def test_how_long_do_we_last_at_anchor(sloop: Workbench) -> None:
    dialog = asked(sloop)
    assert (dialog.condition.currentText(), dialog.bank.currentText()) == ("At anchor", "G2 House bank")
    assert dialog.told.text() == expected(sloop, "At anchor", "G2 House bank")
    assert "lasts" in dialog.told.text()
    assert dialog.told.text() in sloop.window.foot.next_click.text()
    assert "by T1 Shore charger in" in dialog.charged.text()
    dialog.grab()
    assert "used to 50 %" in {text.string for text in texts(dialog.view.items)}
    assert dialog.view.accessibleDescription() == dialog.told.text()
    dialog.close()


def test_another_condition_and_another_bank(sloop: Workbench) -> None:
    dialog = asked(sloop)
    dialog.bank.setCurrentText("G1 Start battery")
    assert dialog.told.text() == "At anchor: nothing draws on G1 Start battery."
    dialog.condition.setCurrentText("Motoring by day")
    assert dialog.told.text() == expected(sloop, "Motoring by day", "G1 Start battery + G2 House bank")
    assert "joined in this condition" in dialog.cautions.text()
    dialog.close()


def test_it_follows_the_boat_and_is_opened_once(sloop: Workbench, qtbot: QtBot) -> None:
    dialog = asked(sloop)
    before = dialog.told.text()
    sloop.store.apply(doubled_house, "Enlarge the house bank")
    checked(sloop, qtbot)
    assert dialog.told.text() == expected(sloop, "At anchor", "G2 House bank") != before
    assert asked(sloop) is dialog
    assert len(sloop.window.findChildren(EnergyDialog)) == 1
    dialog.close()


def test_it_is_shown_in_the_dark_too(sloop: Workbench) -> None:
    sloop.window.set_look(dark=True)
    dialog = asked(sloop)
    shade = dialog.view.grab().toImage().pixelColor(2, 2)
    assert shade.lightness() < 80
    dialog.close()


def test_a_boat_without_conditions_cannot_be_asked(bench: Workbench) -> None:
    assert not bench.store.document.network.conditions
    assert not has_conditions(bench)
    dialog = EnergyDialog(bench, bench.window)
    assert "no operating condition" in " ".join(label.text() for label in dialog.findChildren(QLabel))
    dialog.grab()
    dialog.close()

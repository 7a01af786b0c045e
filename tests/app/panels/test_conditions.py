"""Conditions: switches set by hand change what is live; conditions are kept, named and deleted with undo; values traced."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.panels.conditions import ConditionsPanel
from app.situation import Situation
from app.standing import Standing
from app.workbench import Workbench
from engine.drawing.overlay import DEAD
from engine.model.edits.placing import delete
from tests.app.conftest import checked, with_boat
from tests.samples.boats import document


@pytest.fixture
def sample(empty_bench: Workbench, qtbot: QtBot) -> Workbench:
    """The window with the sample boat, its Conditions dock in front."""
    bench = with_boat(empty_bench, document("quill_34"), qtbot)
    bench.window.dock("conditions").bring()
    return bench


def part_id(bench: Workbench, designation: str) -> str:
    return next(part.id for part in bench.store.document.network.parts if part.designation == designation)


def situation(bench: Workbench) -> Situation:
    return bench.panes.conditions.situation


def stood(bench: Workbench, qtbot: QtBot) -> Standing:
    """What is worked out of the situation as it is."""
    situation(bench).watched = True
    situation(bench).ask()
    qtbot.waitUntil(lambda: situation(bench).current is not None, timeout=20_000)
    found = situation(bench).current
    assert found is not None
    return found


def sentences(panel: ConditionsPanel) -> list[str]:
    return [panel.words.item(row).text() for row in range(panel.words.count())]


def test_every_condition_of_the_boat_is_listed_after_as_drawn(sample: Workbench) -> None:
    listed = sample.panes.conditions.list
    names = [listed.item(row).text() for row in range(listed.count())]
    assert names[:2] == ["As drawn", "Everything on, no charging"]
    assert names[2:] == [each.name for each in sample.store.document.network.conditions]


def test_choosing_a_condition_puts_the_switches_where_it_has_them(sample: Workbench, qtbot: QtBot) -> None:
    panel = sample.panes.conditions
    panel.list.choose("anchor")
    assert panel.tree.choices[part_id(sample, "Q2")].currentText() == "on"
    assert panel.tree.choices[part_id(sample, "Q1")].currentText() == "off"
    assert stood(sample, qtbot).case.name == "At anchor"
    assert sentences(panel)[0] == "24 of 28 loads are live."


def test_a_switch_set_by_hand_is_live_on_the_sheet_and_can_be_taken_back(sample: Workbench, qtbot: QtBot) -> None:
    panel = sample.panes.conditions
    panel.list.choose("anchor")
    situation(sample).look("live")
    before = stood(sample, qtbot)
    situation(sample).set_switch(part_id(sample, "Q1"), "on")
    after = stood(sample, qtbot)
    starter = part_id(sample, "M1")
    assert not before.live.parts.get(starter)
    assert after.live.parts[starter] == {part_id(sample, "G1")}
    assert panel.buttons["back"].isEnabled()
    panel.buttons["back"].click()
    assert not situation(sample).setting.by_hand


def test_space_steps_a_switch_and_ticks_a_source(sample: Workbench, qtbot: QtBot) -> None:
    panel = sample.panes.conditions
    panel.list.choose("anchor")
    panel.tree.setCurrentItem(panel.tree.item_of(f"switch:{part_id(sample, 'Q1')}"))
    qtbot.keyClick(panel.tree, Qt.Key.Key_Space)
    assert situation(sample).setting.switches == {part_id(sample, "Q1"): "on"}
    qtbot.keyClick(panel.tree, Qt.Key.Key_Space)
    assert not situation(sample).setting.by_hand  # round again: it stands as the condition has it
    panel.tree.setCurrentItem(panel.tree.item_of(f"source:{part_id(sample, 'X1')}"))
    qtbot.keyClick(panel.tree, Qt.Key.Key_Space)
    assert situation(sample).setting.sources == {part_id(sample, "X1"): True}


def test_the_sheet_shows_what_is_live_and_the_findings_again(sample: Workbench, qtbot: QtBot) -> None:
    sample.panes.conditions.list.choose("anchor")
    sample.window.menus.run("show-live")
    stood(sample, qtbot)
    shown = situation(sample).annotation
    assert shown is not None
    assert set(shown.live.values()) == {0, 1, DEAD}
    assert sample.window.menus.made["show-live"].isChecked()
    sample.window.menus.run("show-live")
    assert situation(sample).annotation is None


def test_everything_off_says_what_is_still_live(sample: Workbench, qtbot: QtBot) -> None:
    sample.panes.conditions.list.choose("motoring_day")
    sample.window.menus.run("all-off")
    standing = stood(sample, qtbot)
    assert situation(sample).setting.base == "drawn"
    assert situation(sample).view == "live"
    assert {part_id(sample, name) for name in ("X1", "G3")}.isdisjoint(
        source for fed in standing.live.runs.values() for source in fed
    )
    assert "Bilge pump, automatic" in " ".join(sentences(sample.panes.conditions))


def test_a_device_out_says_what_goes_dead_and_frames_it(sample: Workbench, qtbot: QtBot) -> None:
    sample.panes.conditions.list.choose("all")
    assert not sample.window.menus.usable("take-device-out")
    sample.selection.set((f"part:{part_id(sample, 'F6')}",))
    assert sample.panes.conditions.buttons["out"].text() == "F6 out"
    sample.window.menus.run("take-device-out")
    stood(sample, qtbot)
    assert sentences(sample.panes.conditions)[0] == "With F6 Windlass open these go dead: M2 Windlass."
    shown = situation(sample).annotation
    assert shown is not None
    assert shown.frames == {f"part:{part_id(sample, 'M2')}": "goes dead", f"part:{part_id(sample, 'F6')}": "open"}
    sample.window.menus.run("take-device-out")
    assert situation(sample).opened == ""


def test_what_is_set_is_kept_as_a_condition_with_undo(sample: Workbench, qtbot: QtBot) -> None:
    panel, before = sample.panes.conditions, sample.store.document.network.conditions
    panel.list.choose("anchor")
    situation(sample).set_switch(part_id(sample, "Q1"), "on")
    standing = stood(sample, qtbot)
    panel.buttons["add"].click()
    made = sample.store.document.network.conditions[-1]
    assert len(sample.store.document.network.conditions) == len(before) + 1
    assert made.switches[part_id(sample, "Q1")] == "on"
    checked(sample, qtbot)
    assert panel.list.base == made.id
    assert not situation(sample).setting.by_hand
    assert stood(sample, qtbot).live == standing.live
    sample.store.undo()
    checked(sample, qtbot)
    assert sample.store.document.network.conditions == before
    assert panel.list.base == "drawn"


def test_a_condition_is_changed_named_and_deleted_each_in_one_step(sample: Workbench, qtbot: QtBot) -> None:
    panel, store = sample.panes.conditions, sample.store
    panel.list.choose("anchor")
    situation(sample).set_switch(part_id(sample, "Q1"), "on")
    panel.buttons["keep"].click()
    checked(sample, qtbot)
    assert not situation(sample).setting.by_hand
    kept = next(each for each in store.document.network.conditions if each.id == "anchor")
    assert kept.switches[part_id(sample, "Q1")] == "on"
    panel.list.currentItem().setText("In the bay")
    assert next(each.name for each in store.document.network.conditions if each.id == "anchor") == "In the bay"
    panel.buttons["delete"].click()
    assert "anchor" not in {each.id for each in store.document.network.conditions}
    for _ in range(3):
        store.undo()
    assert next(each.name for each in store.document.network.conditions if each.id == "anchor") == "At anchor"


def test_a_name_that_is_taken_is_refused_and_the_old_one_stays(sample: Workbench) -> None:
    panel = sample.panes.conditions
    panel.list.choose("anchor")
    panel.list.currentItem().setText("Alongside")
    assert panel.list.currentItem().text() == "At anchor"


def test_the_voltage_at_the_windlass_while_it_starts(sample: Workbench, qtbot: QtBot) -> None:
    windlass = part_id(sample, "M2")
    sample.panes.conditions.list.choose("all")
    situation(sample).start(windlass)
    sample.window.menus.run("show-volts")
    load = stood(sample, qtbot).solution.loads[windlass]
    assert any(
        f"While M2 Windlass starts it has {load.volts_v:.2f} V" in text for text in sentences(sample.panes.conditions)
    )
    shown = situation(sample).annotation
    assert shown is not None
    assert shown.beside[f"part:{windlass}"].startswith(f"{load.volts_v:.2f} V")


def test_a_value_that_is_clicked_is_traced_to_formula_and_sources(sample: Workbench, qtbot: QtBot) -> None:
    panel = sample.panes.conditions
    panel.list.choose("all")
    sample.window.menus.run("show-volts")
    load = stood(sample, qtbot).solution.loads[part_id(sample, "E8")]
    drawing = sample.view.bench.drawing
    box = drawing.boxes[f"part:{part_id(sample, 'E8')}"]
    sample.selection.set((sample.view.pointer(*_pixel(sample, box)).hit.key,))
    assert panel.about.currentWidget() is panel.trace
    text = panel.trace.toPlainText()
    assert f"{load.volts_v:.3f}".rstrip("0") in text
    assert "Drop from the source" in text
    assert "the drawing: " in text


def _pixel(bench: Workbench, box: tuple[float, float, float, float]) -> tuple[float, float]:
    camera = bench.view.camera
    (x, y), (left, top) = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2), camera.to_mm(0.0, 0.0)
    return (x - left) * camera.scale, (y - top) * camera.scale


def test_a_sentence_leads_to_what_it_is_about(sample: Workbench, qtbot: QtBot) -> None:
    panel = sample.panes.conditions
    panel.list.choose("all")
    sample.window.menus.run("show-volts")
    stood(sample, qtbot)
    row = next(row for row, text in enumerate(sentences(panel)) if text.startswith("The fullest run"))
    panel.words.itemActivated.emit(panel.words.item(row))
    assert sample.selection.keys == {"run:w65"}
    assert sample.sheet_id == "s3"


def test_what_was_set_by_hand_outlives_an_edit_but_not_its_part(sample: Workbench, qtbot: QtBot) -> None:
    relay = part_id(sample, "K1")
    sample.panes.conditions.list.choose("anchor")
    situation(sample).set_switch(relay, "charging")
    sample.store.apply(lambda document: delete(document, (f"part:{part_id(sample, 'E40')}",)), "Delete")
    checked(sample, qtbot)
    assert situation(sample).setting.switches == {relay: "charging"}
    sample.store.apply(lambda document: delete(document, (f"part:{relay}",)), "Delete")
    checked(sample, qtbot)
    assert situation(sample).setting.switches == {}


def test_nothing_is_worked_out_while_nobody_looks(empty_bench: Workbench, qtbot: QtBot) -> None:
    bench = with_boat(empty_bench, document("quill_34"), qtbot)
    assert not situation(bench).watched
    situation(bench).set_switch(part_id(bench, "Q1"), "on")
    assert situation(bench).current is None

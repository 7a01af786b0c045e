"""Particulars: the form of what is selected, filled in by keyboard, with wrong texts kept and explained."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.panels.editors import FieldChoice, Line
from app.panels.small_lists import PositionList
from app.workbench import Workbench
from engine.model.lookup import parts_by_id, runs_by_id
from engine.model.network import Evidence, Part, Run


def part(bench: Workbench, part_id: str) -> Part:
    return parts_by_id(bench.store.document.network)[part_id]


def run(bench: Workbench, run_id: str) -> Run:
    return runs_by_id(bench.store.document.network)[run_id]


def line(bench: Workbench, owner: str, field: str) -> Line:
    editor = bench.panes.particulars.rows[owner, field].editor
    assert isinstance(editor, Line)
    return editor


def type_into(editor: Line, text: str, enter: bool = True) -> None:
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, text)
    if enter:
        QTest.keyClick(editor, Qt.Key.Key_Return)


def test_nothing_selected_shows_the_boat_and_its_sheet(bench: Workbench) -> None:
    bench.selection.clear()
    form = bench.panes.particulars
    assert [subject.kind for subject in form.subjects] == ["boat", "sheet"]
    type_into(line(bench, "boat", "name"), "Quill 34")
    assert bench.store.document.network.particulars.name == "Quill 34"
    assert "Quill 34" in bench.window.windowTitle()
    type_into(line(bench, "sheet:s1", "title"), "Battery side")
    assert bench.store.document.sheets[0].title == "Battery side"
    assert "Battery side" in bench.window.sheets.tabs.tabText(0)


def test_both_unit_worlds_are_taken_and_the_boats_is_shown(bench: Workbench) -> None:
    bench.selection.set(("run:w7",))
    editor = line(bench, "run:w7", "length_m")
    type_into(editor, "3.7 m")
    assert run(bench, "w7").length_m == 3.7
    assert editor.text() == "12.14 ft"
    assert "3.7 m" in editor.toolTip()
    type_into(editor, "3-4 m")
    assert run(bench, "w7").length_m == (3.0, 4.0)
    type_into(editor, "?")
    assert run(bench, "w7").length_m is None


def test_a_wrong_text_stays_framed_and_explained_and_changes_nothing(bench: Workbench) -> None:
    bench.selection.set(("run:w7",))
    row = bench.panes.particulars.rows["run:w7", "length_m"]
    editor = line(bench, "run:w7", "length_m")
    before = bench.store.document
    type_into(editor, "12 A")
    assert bench.store.document is before
    assert editor.wrong
    assert not row.why.isHidden()
    assert "current" in row.why.text()
    QTest.keyClick(editor, Qt.Key.Key_Escape)
    assert not editor.wrong
    assert row.why.isHidden()


def test_a_refused_edit_brings_the_old_text_back_and_says_why(bench: Workbench) -> None:
    bench.selection.set(("part:p4",))
    editor = line(bench, "part:p4", "designation")
    old = editor.text()
    type_into(editor, part(bench, "p3").designation)
    assert editor.text() == old
    assert "taken" in bench.window.notes.text


def test_choices_and_flags(bench: Workbench) -> None:
    bench.selection.set(("run:w7",))
    editor = bench.panes.particulars.rows["run:w7", "tinned"].editor
    assert isinstance(editor, FieldChoice)
    editor.setFocus()
    QTest.keyClick(editor, Qt.Key.Key_Down)
    assert run(bench, "w7").tinned is True
    QTest.keyClick(editor, Qt.Key.Key_Up)
    assert run(bench, "w7").tinned is None


def test_several_things_are_filled_in_at_once_in_one_step(bench: Workbench) -> None:
    bench.selection.set(("run:w6", "run:w7"))
    editor = line(bench, "run:w6", "size")
    type_into(editor, "2/0 AWG")
    assert (run(bench, "w6").size, run(bench, "w7").size) == ("2/0 AWG", "2/0 AWG")
    assert bench.store.undo_stack.count() == 1
    bench.selection.set(("run:w7",))
    type_into(line(bench, "run:w7", "size"), "6 mm2")
    bench.selection.set(("run:w6", "run:w7"))
    assert line(bench, "run:w6", "size").text() == ""
    assert line(bench, "run:w6", "size").placeholderText() == "…"


def test_how_a_field_is_known(bench: Workbench) -> None:
    bench.selection.set(("run:w7",))
    row = bench.panes.particulars.rows["run:w7", "length_m"]
    row.known.setChecked(True)
    block = row.statements.blocks[0]
    block.kind.setCurrentIndex(5)
    block.kind.activated.emit(5)
    assert run(bench, "w7").evidence == {"length_m": (Evidence(kind="measured"),)}
    block = row.statements.blocks[0]
    type_in = (("says", "4 m"), ("by", "T. Arden"), ("date", "2026-03-01"))
    for name, text in type_in:
        getattr(row.statements.blocks[0], name).setText(text)
        getattr(row.statements.blocks[0], name).editingFinished.emit()
    assert run(bench, "w7").evidence["length_m"] == (
        Evidence(kind="measured", value=4.0, by="T. Arden", date="2026-03-01"),
    )
    assert row.known.text() == "M"
    row.statements.blocks[0].changed.emit(None)
    assert run(bench, "w7").evidence == {}


def test_positions_are_edited_as_a_list(bench: Workbench) -> None:
    bench.selection.set(("part:p4",))
    made = bench.panes.particulars.lists[0]
    assert isinstance(made, PositionList)
    count = len(part(bench, "p4").positions)
    made.add()
    assert len(part(bench, "p4").positions) == count + 1
    keys = [field.field.key for field in made.view.table.columns]
    assert made.view.table.setData(made.view.table.index(1, keys.index("label")), "Cabin lights")
    assert made.view.table.setData(made.view.table.index(1, keys.index("device")), "fuse")
    assert made.view.table.setData(made.view.table.index(1, keys.index("holder_largest_a")), "20 A")
    assert not made.view.table.setData(made.view.table.index(1, keys.index("rating_a")), "many")
    way = part(bench, "p4").positions[1]
    assert (way.label, way.device, way.holder_largest_a) == ("Cabin lights", "fuse", 20.0)
    made.view.setCurrentIndex(made.view.sorter.index(1, 0))
    made.shift(-1)
    assert part(bench, "p4").positions[0].label == "Cabin lights"
    made.view.setCurrentIndex(made.view.sorter.index(0, 0))
    made.take_away()
    assert len(part(bench, "p4").positions) == count


def test_a_position_with_a_wire_is_not_taken_away(bench: Workbench) -> None:
    bench.selection.set(("position:p4/1",))
    made = bench.panes.particulars.lists[0]
    assert isinstance(made, PositionList)
    made.view.setCurrentIndex(made.view.sorter.index(0, 0))
    made.take_away()
    assert part(bench, "p4").positions[0].key == "1"
    assert "Wire" in bench.window.notes.text


def test_compartments_are_made_in_the_form_and_chosen_in_another(bench: Workbench) -> None:
    bench.selection.clear()
    made = bench.panes.particulars.lists[0]
    made.add()
    made.view.table.setData(made.view.table.index(0, 0), "Engine space")
    bench.selection.set(("part:p3",))
    editor = bench.panes.particulars.rows["part:p3", "compartment"].editor
    assert isinstance(editor, FieldChoice)
    at = editor.findText("Engine space")
    editor.setCurrentIndex(at)
    editor.activated.emit(at)
    assert part(bench, "p3").compartment == bench.store.document.network.compartments[0].id


def test_the_form_stays_while_its_values_change(bench: Workbench) -> None:
    bench.selection.set(("run:w7",))
    editor = line(bench, "run:w7", "size")
    editor.setFocus()
    QTest.keyClicks(editor, "10 A")
    from app.store import edit_with
    from engine.model.edits.fields import set_run_fields

    bench.store.apply(edit_with(set_run_fields, "w7", length_m=2.0), "Length")
    assert line(bench, "run:w7", "size") is editor
    assert editor.text() == "10 A", "what is being typed is not lost"


def test_turning_the_wheel_changes_nothing(bench: Workbench) -> None:
    from PySide6.QtCore import QPoint, QPointF
    from PySide6.QtGui import QWheelEvent
    from PySide6.QtWidgets import QApplication

    bench.selection.set(("run:w7",))
    editor = bench.panes.particulars.rows["run:w7", "tinned"].editor
    before = bench.store.document
    wheel = QWheelEvent(
        QPointF(5, 5), QPointF(5, 5), QPoint(), QPoint(0, -120), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(editor, wheel)
    assert bench.store.document is before

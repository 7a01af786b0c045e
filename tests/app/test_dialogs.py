"""Papers are written and can be stopped; the preview turns its pages; the list of shortcuts is the table of actions."""

from __future__ import annotations

from pathlib import Path

from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.actions import actions
from app.dialogs.about import AboutDialog
from app.dialogs.papers import PapersDialog
from app.dialogs.preview import PreviewDialog
from app.dialogs.shortcuts import ShortcutsDialog
from app.panels.stores import children
from app.workbench import Workbench
from engine.papers.catalogue import PAPERS


def test_papers_are_written_where_one_says(bench: Workbench, qtbot: QtBot, tmp_path: Path) -> None:
    dialog = PapersDialog(bench, bench.window)
    assert set(dialog.boxes) == {paper.name for paper in PAPERS}
    assert dialog.chosen() == ["panel-schedule", "owners-drawing"]
    dialog.folder.setText(str(tmp_path / "papers"))
    dialog.name.setText("small")
    with qtbot.waitSignal(dialog.work.ended, timeout=60_000):
        dialog.make.click()
    for name in ("small-panel-schedule.pdf", "small-owners-drawing.pdf"):
        assert len(PdfReader(tmp_path / "papers" / name).pages) >= 1
        assert name in dialog.said.text()
    dialog.close()


def test_a_folder_that_cannot_be_written_is_said(bench: Workbench, qtbot: QtBot, tmp_path: Path) -> None:
    dialog = PapersDialog(bench, bench.window)
    (tmp_path / "file").write_text("in the way")
    dialog.folder.setText(str(tmp_path / "file" / "papers"))
    with qtbot.waitSignal(dialog.work.ended, timeout=60_000):
        dialog.make.click()
    assert "Nothing was written" in dialog.said.text()
    assert str(tmp_path / "file") in dialog.said.text()
    dialog.close()


def test_making_papers_can_be_stopped(bench: Workbench, qtbot: QtBot, tmp_path: Path) -> None:
    dialog = PapersDialog(bench, bench.window)
    for box in dialog.boxes.values():
        box.setChecked(True)
    dialog.folder.setText(str(tmp_path / "papers"))
    dialog.work.begun.connect(lambda _number, _title: dialog.work.stop(), Qt.ConnectionType.DirectConnection)
    with qtbot.waitSignal(dialog.work.ended, timeout=60_000):
        dialog.make.click()
    dialog.work.wait()
    made = {path.name for path in (tmp_path / "papers").iterdir()}
    assert not any("report" in name for name in made)
    dialog.close()


def test_on_a_small_screen_the_papers_scroll_and_nothing_is_squeezed(bench: Workbench, qtbot: QtBot) -> None:
    dialog = PapersDialog(bench, bench.window)
    dialog.show()
    dialog.resize(560, 480)
    qtbot.wait(1)
    for field in (dialog.size_box, dialog.folder, dialog.name, dialog.make):
        assert field.height() >= field.sizeHint().height()
    for label in dialog.findChildren(QLabel):
        assert not label.isVisible() or label.height() >= label.heightForWidth(label.width()), label.text()
    dialog.close()


def test_nothing_ticked_nothing_made(bench: Workbench) -> None:
    dialog = PapersDialog(bench, bench.window)
    for box in dialog.boxes.values():
        box.setChecked(False)
    assert not dialog.make.isEnabled()
    dialog.close()


def test_preview_turns_pages_and_saves_them(bench: Workbench, tmp_path: Path) -> None:
    bench.window.menus.run("sheet-new")
    dialog = PreviewDialog(bench, bench.window)
    assert dialog.at == 1
    assert not dialog.on.isEnabled()
    dialog.back.click()
    assert dialog.at == 0
    assert "Page 1 of 2" in dialog.where.text()
    dialog.save(tmp_path / "sheets.pdf")
    assert len(PdfReader(tmp_path / "sheets.pdf").pages) == 2
    dialog.save(tmp_path / "nowhere" / "sheets.pdf")
    assert "not written" in bench.window.notes.text
    dialog.close()


def test_shortcuts_list_every_action(bench: Workbench) -> None:
    dialog = ShortcutsDialog(bench.window)
    heads = [dialog.list.topLevelItem(at) for at in range(dialog.list.topLevelItemCount())]
    texts = {row.text(0) for head in heads if head for row in children(head)}
    assert texts >= {action.text.rstrip(" …") for action in actions()}
    dialog.narrow("ctrl+z")
    shown = [
        row.text(0) for head in heads if head and not head.isHidden() for row in children(head) if not row.isHidden()
    ]
    assert shown == ["Undo"]
    dialog.close()


def test_about_says_what_is_not_checked(bench: Workbench) -> None:
    dialog = AboutDialog(bench.window)
    from PySide6.QtWidgets import QLabel

    words = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert "checks a drawing, not a boat" in words
    assert "licensed" in words or "qualified" in words
    dialog.close()

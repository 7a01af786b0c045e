"""Opening, saving, keeping: nothing is lost, and whatever stands in the way is said above the sheet."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

from pytestqt.qtbot import QtBot

from app.main import furnish, open_window
from app.store import edit_with
from app.workbench import Workbench
from engine.files.lock import Holder, take
from engine.files.opening import open_boat
from engine.files.recovery import find_recoveries
from engine.model.edits.fields import rename
from tests.model.boats import small_boat

ROOT = Path(__file__).parents[2]


def changed(bench: Workbench, designation: str) -> None:
    bench.store.apply(edit_with(rename, "p4", designation), "Rename")


def test_saved_and_opened_again(bench: Workbench, tmp_path: Path) -> None:
    path = tmp_path / "small.boat"
    changed(bench, "A7")
    assert bench.files.save_to(path)
    assert bench.store.clean
    assert open_boat(path, bench.library) == bench.store.document
    assert bench.window.settings.recent == (str(path),)
    bench.files.new()
    assert bench.store.document.network.parts == ()
    assert bench.files.open(path)
    assert bench.store.document.network.parts[2].designation == "A7"
    assert bench.files.path == path


def test_what_cannot_be_opened_is_said_and_changes_nothing(bench: Workbench, tmp_path: Path) -> None:
    before = bench.store.document
    path = tmp_path / "broken.boat"
    path.write_text("{ not a boat")
    assert not bench.files.open(path)
    assert "broken.boat" in bench.window.notes.text
    assert bench.store.document is before


def test_what_cannot_be_saved_is_said_and_kept(bench: Workbench, tmp_path: Path) -> None:
    changed(bench, "A7")
    assert not bench.files.save_to(tmp_path / "nowhere" / "small.boat")
    assert bench.window.notes.text
    assert not bench.store.clean
    assert [left.boat for left in find_recoveries(bench.files.recovery)] == ["Unnamed boat"]


def test_unsaved_work_is_asked_about_in_the_line_above_the_sheet(bench: Workbench) -> None:
    changed(bench, "A7")
    before = bench.store.document
    bench.files.new()
    assert bench.store.document is before
    assert "not saved" in bench.window.offers.text
    leave = next(button for button in bench.window.offers._buttons if "unsaved" in button.text())
    leave.click()
    assert bench.store.document.network.parts == ()
    assert bench.window.offers.text == ""
    assert len(find_recoveries(bench.files.recovery)) == 1, "left unsaved, but kept"


def test_a_boat_that_another_has_open_is_warned_of(bench: Workbench, tmp_path: Path) -> None:
    path = tmp_path / "small.boat"
    bench.files.save_to(path)
    bench.files.new()
    take(path, Holder(who="R. Vance", host="loft", pid=1, since="2026-01-05T08:00:00Z"))
    assert bench.files.open(path)
    assert "R. Vance" in bench.window.notes.text
    bench.files.save()
    assert "R. Vance" in bench.window.offers.text


def test_a_file_changed_by_another_is_not_written_over_unasked(bench: Workbench, tmp_path: Path) -> None:
    path = tmp_path / "small.boat"
    bench.files.save_to(path)
    text = path.read_text() + "\n"
    path.write_text(text)
    changed(bench, "A7")
    bench.files.save()
    assert path.read_text() == text
    assert "changed by someone else" in bench.window.offers.text
    bench.window.offers._buttons[0].click()
    assert bench.store.clean
    assert "A7" in path.read_text()


def test_work_is_kept_a_little_after_a_change_and_forgotten_when_saved(
    bench: Workbench, tmp_path: Path, qtbot: QtBot
) -> None:
    changed(bench, "A7")
    qtbot.waitUntil(lambda: len(find_recoveries(bench.files.recovery)) == 1, timeout=10_000)
    bench.files.save_to(tmp_path / "small.boat")
    assert find_recoveries(bench.files.recovery) == ()


def test_closing_keeps_unsaved_work_and_the_next_start_offers_it(
    bench: Workbench, tmp_path: Path, qtbot: QtBot
) -> None:
    changed(bench, "A7")
    bench.window.close()
    window = open_window(tmp_path / "settings.json")
    qtbot.addWidget(window)
    again = furnish(window, None, bench.files.recovery)
    assert "Unnamed boat" in window.offers.text
    window.offers._buttons[0].click()
    assert again.store.document.network.parts[2].designation == "A7"
    assert not again.store.clean
    again.files.save_to(tmp_path / "saved.boat")
    assert find_recoveries(bench.files.recovery) == ()
    again.analyst.wait()


KILLED = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from app.main import furnish, open_window
from app.store import edit_with
from engine.model.edits.fields import rename
from tests.model.boats import small_boat
application = QApplication([])
folder = Path(sys.argv[1])
bench = furnish(open_window(folder / "settings.json"), None, folder / "recovery")
bench.store.load(small_boat())
bench.store.apply(edit_with(rename, "p4", "A9"), "Rename")
print("drawn", flush=True)
application.exec()
"""


def test_a_kill_loses_no_more_than_the_pause(tmp_path: Path, qtbot: QtBot) -> None:
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    killed = subprocess.Popen(
        [sys.executable, "-c", KILLED, str(tmp_path)],
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    assert killed.stdout is not None
    assert killed.stdout.readline().strip() == b"drawn"
    deadline = time.monotonic() + 20
    while not list((tmp_path / "recovery").glob("*.recovery")) and time.monotonic() < deadline:
        time.sleep(0.05)
    killed.send_signal(signal.SIGKILL)
    killed.wait()
    killed.stdout.close()
    window = open_window(tmp_path / "settings.json")
    qtbot.addWidget(window)
    again = furnish(window, None, tmp_path / "recovery")
    window.offers._buttons[0].click()
    assert again.store.document.network.parts[2].designation == "A9"
    assert again.store.document.network.runs == small_boat().network.runs
    again.store.mark_clean()
    again.analyst.wait()

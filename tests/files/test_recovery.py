"""Work kept against a crash comes back after one, and only then."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from engine.files.errors import OpenError, SaveError
from engine.files.recovery import (
    discard,
    find_recoveries,
    new_session,
    read_recovery,
    recovery_folder,
    write_recovery,
)
from tests.files.test_codec import DOCUMENT
from tests.files.test_save import boat


def test_what_was_kept_comes_back(tmp_path: Path) -> None:
    write_recovery(DOCUMENT, tmp_path / "a.boat", "one", tmp_path / "state")
    (found,) = find_recoveries(tmp_path / "state")
    assert (found.session, found.original, found.boat) == ("one", tmp_path / "a.boat", "Cruiser")
    assert found.written.endswith("Z")
    assert read_recovery(found) == DOCUMENT


def test_a_session_keeps_its_last_state_only(tmp_path: Path) -> None:
    for name in ("first", "second"):
        write_recovery(boat(name), None, "one", tmp_path)
    (found,) = find_recoveries(tmp_path)
    assert (found.boat, found.original) == ("second", None)
    assert len(list(tmp_path.iterdir())) == 1


def test_discarded_work_is_gone(tmp_path: Path) -> None:
    write_recovery(boat("one"), None, "one", tmp_path)
    discard("one", tmp_path)
    discard("never", tmp_path)
    assert find_recoveries(tmp_path) == ()


def test_sessions_still_open_here_can_be_left_out(tmp_path: Path) -> None:
    write_recovery(boat("one"), None, "one", tmp_path)
    write_recovery(boat("two"), None, "two", tmp_path)
    assert [found.session for found in find_recoveries(tmp_path, but_not={"two"})] == ["one"]


def test_the_newest_comes_first(tmp_path: Path) -> None:
    for session in ("b", "c", "a"):
        write_recovery(boat(session), None, session, tmp_path)
    text = (tmp_path / "a.recovery").read_text(encoding="utf-8")
    (tmp_path / "a.recovery").write_text(text.replace('"written":"20', '"written":"21'), encoding="utf-8")
    assert find_recoveries(tmp_path)[0].session == "a"


_WORKER = """
import sys, time
from pathlib import Path
from engine.files.recovery import write_recovery
from engine.model.document import Document
from engine.model.network import Network, Particulars
boat = Document(network=Network(particulars=Particulars(name="In hand")))
write_recovery(boat, Path("/boats/a.boat"), "worker", Path(sys.argv[1]))
print("kept", flush=True)
time.sleep(600)
"""


@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
def test_only_a_program_that_was_killed_leaves_work_behind(tmp_path: Path) -> None:
    with subprocess.Popen([sys.executable, "-c", _WORKER, str(tmp_path)], stdout=subprocess.PIPE, text=True) as worker:
        assert worker.stdout is not None
        assert worker.stdout.readline() == "kept\n"
        while_it_runs = find_recoveries(tmp_path)
        worker.send_signal(signal.SIGKILL)
    assert while_it_runs == ()
    (found,) = find_recoveries(tmp_path)
    assert found.original == Path("/boats/a.boat")
    assert read_recovery(found).network.particulars.name == "In hand"


def test_a_kept_file_that_is_broken_says_so(tmp_path: Path) -> None:
    file = write_recovery(DOCUMENT, None, "one", tmp_path)
    file.write_bytes(file.read_bytes()[:-200])
    (found,) = find_recoveries(tmp_path)
    with pytest.raises(OpenError, match="the kept work cannot be read"):
        read_recovery(found)
    file.unlink()
    with pytest.raises(OpenError):
        read_recovery(found)


def test_files_that_are_not_ours_are_passed_over(tmp_path: Path) -> None:
    (tmp_path / "x.recovery").write_bytes(b"\xff\x00")
    (tmp_path / "y.recovery").mkdir()
    (tmp_path / "notes.txt").write_text("hello", encoding="utf-8")
    assert find_recoveries(tmp_path) == ()
    assert find_recoveries(tmp_path / "gone") == ()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(SaveError):
        write_recovery(boat("one"), None, "one", tmp_path / "file" / "state")


def test_a_session_cannot_lead_out_of_the_folder(tmp_path: Path) -> None:
    file = write_recovery(boat("one"), None, "../../etc/x", tmp_path)
    assert file.parent == tmp_path


@pytest.mark.parametrize(
    ("platform", "environ", "folder"),
    [
        ("linux", {"HOME": "/home/a"}, "/home/a/.local/state/loomwright/recovery"),
        ("linux", {"HOME": "/home/a", "XDG_STATE_HOME": "/s"}, "/s/loomwright/recovery"),
        ("darwin", {"HOME": "/Users/a"}, "/Users/a/Library/Application Support/loomwright/recovery"),
        ("win32", {"LOCALAPPDATA": "/L", "USERPROFILE": "/U"}, "/L/loomwright/recovery"),
    ],
)
def test_the_folder_of_each_system(platform: str, environ: dict[str, str], folder: str) -> None:
    assert recovery_folder(environ, platform) == Path(folder)


def test_sessions_have_names_of_their_own() -> None:
    assert len({new_session() for _ in range(20)}) == 20

"""The lock beside a boat: it says who has it open, forgets who is gone, and never stands in the way."""

from __future__ import annotations

import os
import time
from pathlib import Path

import msgspec
import pytest

from engine.files.lock import STALE_AFTER_S, holder, lock_file, myself, release, renew, take
from engine.files.process import birth_mark, is_running
from tests.files.test_save import SOME_PROCESS_THAT_IS_NO_MORE

ME = myself()
ELSEWHERE = msgspec.structs.replace(ME, who="deck", host="another", pid=77)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "a.boat"


def test_taken_and_released_nothing_is_left(path: Path) -> None:
    assert take(path) is None
    assert lock_file(path).exists()
    assert take(path) is None, "one's own lock is no warning"
    release(path)
    assert not lock_file(path).exists()


def test_somebody_else_is_named_and_keeps_the_lock(path: Path) -> None:
    assert take(path, ELSEWHERE) is None
    warned = take(path)
    assert warned is not None
    assert (warned.who, warned.host, warned.pid) == ("deck", "another", 77)
    assert warned.since.endswith("Z")
    release(path)
    assert holder(path) == ELSEWHERE


def test_another_process_of_this_machine_counts_while_it_lives(path: Path) -> None:
    parent = msgspec.structs.replace(ME, pid=os.getppid(), birth=birth_mark(os.getppid()))
    take(path, parent)
    assert holder(path) == parent


def test_a_process_that_is_gone_is_forgotten(path: Path) -> None:
    take(path, msgspec.structs.replace(ME, pid=SOME_PROCESS_THAT_IS_NO_MORE))
    assert take(path) is None
    assert not is_running(SOME_PROCESS_THAT_IS_NO_MORE)


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs /proc to tell processes apart")
def test_a_later_process_of_the_same_number_is_not_taken_for_it(path: Path) -> None:
    take(path, msgspec.structs.replace(ME, pid=os.getppid(), birth="an earlier boot:1"))
    assert take(path) is None


def test_another_machine_is_forgotten_when_it_has_not_been_heard_of_for_long(path: Path) -> None:
    take(path, ELSEWHERE)
    long_ago = time.time() - STALE_AFTER_S - 60
    os.utime(lock_file(path), (long_ago, long_ago))
    assert holder(path) is None
    assert not lock_file(path).exists()


def test_renewing_keeps_it_fresh(path: Path) -> None:
    take(path)
    os.utime(lock_file(path), (0, 0))
    renew(path)
    assert time.time() - lock_file(path).stat().st_mtime < 60


def test_renewing_leaves_the_lock_of_another(path: Path) -> None:
    take(path, ELSEWHERE)
    os.utime(lock_file(path), (0, 0))
    renew(path)
    assert lock_file(path).stat().st_mtime == 0


@pytest.mark.parametrize("text", [b"", b"{", b"\xff\xfe", b"[1]", b'{"who": 1}'])
def test_a_broken_lock_names_nobody(path: Path, text: bytes) -> None:
    lock_file(path).write_bytes(text)
    assert take(path) is None
    assert holder(path, ELSEWHERE) is not None


def test_a_folder_that_cannot_be_written_is_no_obstacle(tmp_path: Path) -> None:
    assert take(tmp_path / "gone" / "a.boat") is None
    release(tmp_path / "gone" / "a.boat")
    renew(tmp_path / "gone" / "a.boat")


def test_links_to_one_boat_share_its_lock(tmp_path: Path) -> None:
    (tmp_path / "a.boat").write_bytes(b"")
    (tmp_path / "b.boat").symlink_to(tmp_path / "a.boat")
    take(tmp_path / "a.boat", ELSEWHERE)
    assert holder(tmp_path / "b.boat") == ELSEWHERE

"""Saving: whatever happens, the file is the old boat or the new one, and the version before it is kept."""

from __future__ import annotations

import errno
import os
import random
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import msgspec
import pytest

from engine.files.codec import decode_boat, encode_boat
from engine.files.errors import SaveError
from engine.files.save import save_boat, write_safely
from engine.model.document import Document
from engine.model.network import Network, Part, Particulars

posix_only = pytest.mark.skipif(os.name != "posix", reason="signals and permissions of POSIX")
SOME_PROCESS_THAT_IS_NO_MORE = 2**22 + 1
"""Above the largest process number of Linux (kernel/pid.h: 4 194 304)."""


def boat(name: str) -> Document:
    return Document(network=Network(particulars=Particulars(name=name)))


def name_in(path: Path) -> str:
    return decode_boat(path.read_bytes()).network.particulars.name


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_first_save_makes_the_file_alone(tmp_path: Path) -> None:
    save_boat(boat("one"), tmp_path / "a.boat")
    assert name_in(tmp_path / "a.boat") == "one"
    assert names(tmp_path) == ["a.boat"]


def test_every_later_save_keeps_the_version_before(tmp_path: Path) -> None:
    path = tmp_path / "a.boat"
    for name in ("one", "two", "three"):
        save_boat(boat(name), path)
    assert (name_in(path), name_in(tmp_path / "a.boat~")) == ("three", "two")
    assert names(tmp_path) == ["a.boat", "a.boat~"]


def test_the_previous_version_is_kept_where_links_cannot_be_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*args: object, **kwargs: object) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    for name in ("one", "two", "three"):
        save_boat(boat(name), tmp_path / "a.boat")
    assert name_in(tmp_path / "a.boat~") == "two"
    assert names(tmp_path) == ["a.boat", "a.boat~"]


def test_a_save_goes_on_after_one_that_was_killed_between_its_two_renames(tmp_path: Path) -> None:
    """Then file and previous version are one and the same, and renaming onto the same file does nothing (POSIX)."""
    save_boat(boat("one"), tmp_path / "a.boat")
    os.link(tmp_path / "a.boat", tmp_path / "a.boat~")
    save_boat(boat("two"), tmp_path / "a.boat")
    assert (name_in(tmp_path / "a.boat"), name_in(tmp_path / "a.boat~")) == ("two", "one")
    assert names(tmp_path) == ["a.boat", "a.boat~"]


@posix_only
def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    save_boat(boat("one"), tmp_path / "real" / "a.boat")
    link = tmp_path / "link.boat"
    link.symlink_to("real/a.boat")
    save_boat(boat("two"), link)
    assert link.is_symlink()
    assert name_in(tmp_path / "real" / "a.boat") == "two"
    assert names(tmp_path) == ["link.boat", "real"]


@posix_only
def test_permissions_stay(tmp_path: Path) -> None:
    path = tmp_path / "a.boat"
    save_boat(boat("one"), path)
    path.chmod(0o640)
    save_boat(boat("two"), path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.parametrize(
    ("number", "code", "word"),
    [
        (errno.ENOSPC, "disk-full", "the disk is full"),
        (errno.EDQUOT, "disk-full", "your share of the disk"),
        (errno.EROFS, "denied", "can only be read"),
        (errno.EACCES, "denied", "you may not write there"),
        (errno.EIO, "failed", os.strerror(errno.EIO)),
    ],
)
@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_disk_that_refuses_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, code: str, word: str, step: str
) -> None:
    path = tmp_path / "a.boat"
    save_boat(boat("one"), path)

    def refuse(*args: object) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as broken:
        broken.setattr(os, step, refuse)
        with pytest.raises(SaveError) as caught:
            save_boat(boat("two"), path)
    assert caught.value.code == code
    assert word in str(caught.value)
    assert "a.boat" in str(caught.value)
    assert caught.value.remedy
    assert name_in(path) == "one"
    assert names(tmp_path) == ["a.boat"]


def test_a_folder_that_is_not_there_or_is_in_the_way(tmp_path: Path) -> None:
    with pytest.raises(SaveError, match="the folder is not there"):
        save_boat(boat("one"), tmp_path / "gone" / "a.boat")
    with pytest.raises(SaveError, match="there is a folder of that name"):
        save_boat(boat("one"), tmp_path)
    with pytest.raises(SaveError, match="the name is too long"):
        save_boat(boat("one"), tmp_path / ("a" * 300))


def test_a_write_protected_file_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Renaming would get round the protection; whoever set it meant it. (The superuser passes any such check.)"""
    path = tmp_path / "a.boat"
    save_boat(boat("one"), path)
    monkeypatch.setattr(os, "access", lambda *args: False)
    with pytest.raises(SaveError, match="you may not write there"):
        save_boat(boat("two"), path)
    assert name_in(path) == "one"


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_a_boat_that_could_not_be_opened_again_is_not_saved(tmp_path: Path, number: float) -> None:
    part = Part(id="p1", kind="lamp", values={"running_a": (1.0, number)})
    with pytest.raises(SaveError, match="cannot be saved"):
        save_boat(Document(network=Network(parts=(part,))), tmp_path / "a.boat")
    single = msgspec.structs.replace(part, values={"running_a": number})
    with pytest.raises(SaveError, match="not come back as the same boat"):
        save_boat(Document(network=Network(parts=(single,)), next_id=2), tmp_path / "a.boat")
    assert names(tmp_path) == []


def test_half_a_character_is_told_and_not_saved(tmp_path: Path) -> None:
    with pytest.raises(SaveError, match="half a character"):
        save_boat(boat("\ud83d"), tmp_path / "a.boat")
    assert names(tmp_path) == []


def test_what_a_killed_save_left_aside_is_cleared_but_not_what_is_being_written(tmp_path: Path) -> None:
    import socket

    mine = f".a.boat.{socket.gethostname()}-"
    for left in (f"{mine}{SOME_PROCESS_THAT_IS_NO_MORE}.saving", f"{mine}{SOME_PROCESS_THAT_IS_NO_MORE}.saving~"):
        (tmp_path / left).write_bytes(b"half")
    kept = (f"{mine}{os.getppid()}.saving", ".a.boat.elsewhere-1.saving", ".b.boat.x-1.saving")
    for left in kept:
        (tmp_path / left).write_bytes(b"half")
    save_boat(boat("one"), tmp_path / "a.boat")
    assert names(tmp_path) == sorted(["a.boat", *kept])


_SAVER = """
import itertools, sys
from pathlib import Path
from engine.files.save import save_boat
from engine.model.document import Document
from engine.model.network import Network, Part, Particulars
path, first = Path(sys.argv[1]), int(sys.argv[2])
parts = tuple(Part(id=f"p{n}", kind="lamp", label="x" * 100) for n in range(1, 400))
print("ready", flush=True)
for number in itertools.count(first):
    boat = Network(particulars=Particulars(name=str(number)), parts=parts)
    save_boat(Document(network=boat, next_id=400), path)
    print(number, flush=True)
"""


@posix_only
def test_killed_at_any_moment_the_file_is_whole_and_its_predecessor_kept(tmp_path: Path) -> None:
    """SIGKILL at twelve moments (fixed seed): the file holds the last save reported or the next, never less."""
    path = tmp_path / "a.boat"
    moments = random.Random(34)
    first = 1
    for _ in range(12):
        with subprocess.Popen(
            [sys.executable, "-c", _SAVER, str(path), str(first)], stdout=subprocess.PIPE, text=True
        ) as saver:
            assert saver.stdout is not None
            assert saver.stdout.readline() == "ready\n"
            time.sleep(moments.uniform(0.02, 0.15))
            saver.send_signal(signal.SIGKILL)
            reported = [int(line) for line in saver.stdout.read().split()]
        last = reported[-1] if reported else first - 1
        if last == 0 and not path.exists():
            continue
        held = int(name_in(path))
        assert held in (last, last + 1)
        previous = path.with_name("a.boat~")
        if held > 1:
            assert int(name_in(previous)) in (held - 1, held)
        first = held + 1
    assert first > 4, "the saver hardly saved; the test says nothing"
    save_boat(boat("last"), path)
    assert names(tmp_path) == ["a.boat", "a.boat~"]


def test_bytes_of_any_kind_are_written(tmp_path: Path) -> None:
    write_safely(tmp_path / "x", b"\x00\xff", keep_previous=False)
    write_safely(tmp_path / "x", encode_boat(boat("one")), keep_previous=False)
    assert names(tmp_path) == ["x"]

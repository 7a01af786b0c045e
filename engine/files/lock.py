"""Who has a boat open: a small file beside it that names the person, machine and process. Warns; never forbids."""

from __future__ import annotations

import contextlib
import getpass
import os
import socket
import time
from pathlib import Path

import msgspec

from engine.files.process import birth_mark, is_running

STALE_AFTER_S = 12 * 3600
"""A lock of another machine that was not renewed for so long is taken to be forgotten; common practice, no source."""


class Holder(msgspec.Struct, frozen=True):
    """Who has the boat open, and since when (ISO 8601, UTC)."""

    who: str
    host: str
    pid: int
    since: str
    birth: str = ""
    """What tells its process from a later one of the same number."""


def lock_file(path: Path) -> Path:
    """The lock of a boat file; one for all links to it."""
    real = Path(os.path.realpath(path))
    return real.with_name(f".{real.name}.lock")


def myself() -> Holder:
    """This person, machine and process, from now."""
    try:
        who = getpass.getuser()
    except (OSError, KeyError, ImportError):
        who = ""
    since = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())
    return Holder(who=who, host=socket.gethostname(), pid=os.getpid(), since=since, birth=birth_mark(os.getpid()))


def take(path: Path, me: Holder | None = None) -> Holder | None:
    """Say that the boat is open here. Returns whoever else has it open, for a warning; their lock then stays.

    A lock that cannot be written, as in a folder that is only read, is no obstacle: None.
    """
    mine = me or myself()
    for _ in range(2):
        other = holder(path, mine)
        if other is not None:
            return other
        if _write(lock_file(path), mine):
            return None
    return holder(path, mine)


def holder(path: Path, me: Holder | None = None) -> Holder | None:
    """Whoever else has the boat open; None when nobody, only this process, or someone who is gone. Clears stale locks."""
    mine = me or myself()
    file = lock_file(path)
    found = _read(file)
    if found is not None and not _same(found, mine) and not _stale(found, file, mine):
        return found
    with contextlib.suppress(OSError):
        file.unlink(missing_ok=True)
    return None


def renew(path: Path) -> None:
    """Show that the boat is still open here; to be called now and then, as with each autosave."""
    found = _read(lock_file(path))
    if found is not None and _same(found, myself()):
        with contextlib.suppress(OSError):
            os.utime(lock_file(path))


def release(path: Path, me: Holder | None = None) -> None:
    """Say that the boat is no longer open here; the lock of somebody else stays."""
    file = lock_file(path)
    found = _read(file)
    if found is not None and _same(found, me or myself()):
        with contextlib.suppress(OSError):
            file.unlink(missing_ok=True)


def _same(a: Holder, b: Holder) -> bool:
    return (a.host, a.pid) == (b.host, b.pid)


def _stale(found: Holder, file: Path, mine: Holder) -> bool:
    if found.host == mine.host:
        return not is_running(found.pid, found.birth)
    try:
        return time.time() - file.stat().st_mtime > STALE_AFTER_S
    except OSError:
        return True


def _read(file: Path) -> Holder | None:
    """The holder in a lock file; a lock that cannot be read names nobody."""
    try:
        return msgspec.json.decode(file.read_bytes(), type=Holder)
    except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
        return None


def _write(file: Path, mine: Holder) -> bool:
    """Whether the lock stands; True also where none can be written. False when another was quicker."""
    try:
        with open(file, "xb") as opened:
            opened.write(msgspec.json.encode(mine))
    except FileExistsError:
        return False
    except OSError:
        return True
    return True

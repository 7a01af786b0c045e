"""Work kept against a crash: the document in hand, written now and then to a folder of the user's own.

One file a session: a line that says what it is, then the boat file. Written as safely as a save.
"""

from __future__ import annotations

import contextlib
import os
import re
import socket
import sys
import time
from collections.abc import Collection, Mapping
from pathlib import Path

import msgspec

from engine.files.codec import decode_boat
from engine.files.errors import OpenError
from engine.files.process import birth_mark, is_running
from engine.files.save import encoded, write_safely
from engine.messages import tr
from engine.model.document import Document

SUFFIX = ".recovery"


class _Head(msgspec.Struct, frozen=True):
    original: str
    boat: str
    written: str
    host: str
    pid: int
    birth: str = ""


class Recovery(msgspec.Struct, frozen=True):
    """Work that a session left behind: `original` is the file it was opened from or None, `written` ISO 8601 UTC."""

    file: Path
    session: str
    original: Path | None
    boat: str
    written: str


def recovery_folder(environ: Mapping[str, str] = os.environ, platform: str = sys.platform) -> Path:
    """The folder for this on each system, per user."""
    home = Path(environ.get("HOME") or environ.get("USERPROFILE") or Path.home())
    if platform == "win32":
        base = Path(environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif platform == "darwin":
        base = home / "Library" / "Application Support"
    else:
        base = Path(environ.get("XDG_STATE_HOME") or home / ".local" / "state")
    return base / "loomwright" / "recovery"


def new_session() -> str:
    """A name for a window's work that no other has."""
    return f"{time.strftime('%Y%m%d-%H%M%S', time.gmtime())}-{os.getpid()}-{os.urandom(3).hex()}"


def write_recovery(document: Document, original: Path | None, session: str, folder: Path | None = None) -> Path:
    """Keep the document in hand; replaces what the session kept before. Raises SaveError."""
    place = folder or recovery_folder()
    with contextlib.suppress(OSError):  # write_safely says what is wrong with the folder
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
    head = _Head(
        original=str(original.absolute()) if original else "",
        boat=document.network.particulars.name,
        written=time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime()),
        host=socket.gethostname(),
        pid=os.getpid(),
        birth=birth_mark(os.getpid()),
    )
    file = _file(session, place)
    write_safely(file, msgspec.json.encode(head) + b"\n" + encoded(document), keep_previous=False)
    return file


def find_recoveries(folder: Path | None = None, but_not: Collection[str] = ()) -> tuple[Recovery, ...]:
    """What sessions that are no more left behind, the newest first. Another program that still runs keeps its own.

    `but_not` names the sessions of this process that are still open.
    """
    place = folder or recovery_folder()
    found = []
    for file in place.glob(f"*{SUFFIX}") if place.is_dir() else ():
        head, session = _head(file), file.name.removesuffix(SUFFIX)
        if head is not None and session not in but_not and not _is_open_elsewhere(head):
            original = Path(head.original) if head.original else None
            found.append(Recovery(file, session, original, head.boat, head.written))
    return tuple(sorted(found, key=lambda one: (one.written, one.session), reverse=True))


def read_recovery(recovery: Recovery) -> Document:
    """The document that was kept. Raises OpenError."""
    try:
        data = recovery.file.read_bytes()
    except OSError as error:
        raise OpenError("unreadable", error.strerror or str(error), str(recovery.file)) from error
    _, _, boat = data.partition(b"\n")
    try:
        return decode_boat(boat)
    except OpenError as error:
        what = tr("the kept work cannot be read ({reason})").format(reason=error.what)
        raise OpenError(error.code, what, str(recovery.file), tr("Open the boat's file as it was saved.")) from error


def discard(session: str, folder: Path | None = None) -> None:
    """Forget what a session kept: after saving, or when the user does not want it."""
    with contextlib.suppress(OSError):
        _file(session, folder or recovery_folder()).unlink(missing_ok=True)


def _file(session: str, place: Path) -> Path:
    return place / (re.sub(r"[^\w-]", "_", session) + SUFFIX)


def _is_open_elsewhere(head: _Head) -> bool:
    here = head.host == socket.gethostname()
    return here and head.pid != os.getpid() and is_running(head.pid, head.birth)


def _head(file: Path) -> _Head | None:
    """What the file says it is; None for one that is none of ours."""
    try:
        with open(file, "rb") as opened:
            return msgspec.json.decode(opened.readline(65536), type=_Head)
    except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
        return None

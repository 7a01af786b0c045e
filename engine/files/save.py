"""Saving so that nothing is lost: written aside, brought to the disk, and only then put in place of the old file.

Whatever stops the program, the file is the old one or the new one, whole; the version before it stays as NAME~.
"""

from __future__ import annotations

import contextlib
import errno
import os
import socket
import stat
from collections.abc import Mapping
from pathlib import Path

from engine.files.codec import LARGEST_BYTES, decode_boat, encode_boat
from engine.files.errors import OpenError, SaveError
from engine.files.process import is_running
from engine.messages import tr
from engine.model.document import Document

_ELSEWHERE = "Save it in another folder."
_REASONS: Mapping[int, tuple[str, str, str]] = {
    errno.ENOSPC: ("disk-full", "the disk is full", "Make room, or save it on another disk."),
    errno.EDQUOT: ("disk-full", "your share of the disk is used up", "Make room, or save it on another disk."),
    errno.EFBIG: ("disk-full", "the disk does not take a file of this size", "Save it on another disk."),
    errno.EACCES: ("denied", "you may not write there", _ELSEWHERE),
    errno.EPERM: ("denied", "you may not write there", _ELSEWHERE),
    errno.EROFS: ("denied", "that disk can only be read", _ELSEWHERE),
    errno.ENOENT: ("no-folder", "the folder is not there", _ELSEWHERE),
    errno.ENOTDIR: ("no-folder", "the folder is not a folder", _ELSEWHERE),
    errno.EISDIR: ("is-folder", "there is a folder of that name", "Choose another name."),
    errno.ENAMETOOLONG: ("name", "the name is too long", "Choose a shorter name."),
}


def save_boat(document: Document, path: Path) -> None:
    """Save the document; the previous version stays beside it as NAME~. Raises SaveError, the old file untouched."""
    data = encoded(document)
    _check_readable(document, data)
    write_safely(path, data)


def encoded(document: Document) -> bytes:
    """The bytes of the boat file. Raises SaveError where a text is none."""
    try:
        return encode_boat(document)
    except UnicodeEncodeError as error:
        what = tr("a text holds half a character ({text})").format(text=ascii(error.object[error.start : error.end]))
        raise SaveError("unsound", what, tr("Type that text again.")) from error


def _check_readable(document: Document, data: bytes) -> None:
    """Nothing is saved that could not be opened again as the same boat."""
    try:
        same = decode_boat(data) == document
        reason = tr("it would not come back as the same boat")
    except OpenError as error:
        same, reason = False, str(error)
    if not same:
        remedy = tr("Undo the last step and save again.")
        if len(data) > LARGEST_BYTES:
            remedy = tr("Divide the boat into two files.")
        raise SaveError("unsound", tr("the boat cannot be saved ({reason})").format(reason=reason), remedy)


def write_safely(path: Path, data: bytes, keep_previous: bool = True) -> None:
    """Put the bytes in place of the file, as one step. A link is followed. Raises SaveError."""
    real = Path(os.path.realpath(path))
    aside = real.with_name(f".{real.name}.{_mark(os.getpid())}")
    try:
        _check_target(real)
        _write_aside(aside, data, _mode(real))
        if keep_previous and real.exists():
            _keep(real)
        os.replace(aside, real)
        _sync_folder(real.parent)
    except OSError as error:
        raise _save_error(real, error) from error
    finally:
        with contextlib.suppress(OSError):
            aside.unlink(missing_ok=True)
    _clear_leftovers(real)


def _check_target(real: Path) -> None:
    if real.is_dir():
        raise OSError(errno.EISDIR, "is a directory")
    if real.exists() and not os.access(real, os.W_OK):
        raise OSError(errno.EACCES, "write protected")


def _mode(real: Path) -> int | None:
    """The permissions the file has; None for a new one, which gets the usual ones."""
    return stat.S_IMODE(real.stat().st_mode) if real.exists() else None


def _write_aside(aside: Path, data: bytes, mode: int | None) -> None:
    with open(aside, "xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if mode is not None:
        os.chmod(aside, mode)


def _keep(real: Path) -> None:
    """Let NAME~ be the file as it is now, without the file ever missing: a second link, or a copy where none can be."""
    previous = real.with_name(real.name + "~")
    kept = real.with_name(f".{real.name}.{_mark(os.getpid())}~")
    with contextlib.suppress(OSError):
        kept.unlink(missing_ok=True)
    try:
        os.link(real, kept)
    except OSError:
        _write_aside(kept, real.read_bytes(), _mode(real))
    try:
        os.replace(kept, previous)
    finally:
        # renaming onto a link of the same file does nothing and leaves this one
        kept.unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    """Bring the change of names to the disk; not every system lets a folder be opened for this."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):
            os.fsync(handle)
    finally:
        os.close(handle)


def _mark(process: int) -> str:
    return f"{socket.gethostname()}-{process}.saving"


def _clear_leftovers(real: Path) -> None:
    """Remove what a save that was killed left aside; only of processes of this machine that are no more."""
    mine = f".{real.name}.{socket.gethostname()}-"
    with contextlib.suppress(OSError):
        for left in real.parent.iterdir():
            number = left.name.removeprefix(mine).removesuffix("~").removesuffix(".saving")
            if left.name.startswith(mine) and number.isdecimal() and not is_running(int(number)):
                left.unlink(missing_ok=True)


def _save_error(real: Path, error: OSError) -> SaveError:
    code, what, remedy = _REASONS.get(error.errno or 0, ("failed", error.strerror or str(error), _ELSEWHERE))
    whole = tr("{name} could not be saved: {what}").format(name=real.name, what=tr(what))
    return SaveError(code, whole, tr(remedy))

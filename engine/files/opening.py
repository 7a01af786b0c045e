"""Opening a boat from disk: a boat file, or a sketch (.txt). Every reason it cannot be is told as an OpenError."""

from __future__ import annotations

from pathlib import Path

from engine.files.codec import LARGEST_BYTES, decode_boat
from engine.files.errors import OpenError
from engine.library.device import Library
from engine.library.expand import ports_of
from engine.messages import tr
from engine.model.document import Document
from engine.model.invariants import lost_ends
from engine.model.network import Part

__all__ = ["OpenError", "open_boat"]

SKETCH_SUFFIXES = frozenset({".txt", ".sketch"})


def open_boat(path: Path, library: Library) -> Document:
    """The boat in the file, its kinds and ports all known to the library. Raises OpenError."""
    data = _read(path)
    if path.suffix.lower() in SKETCH_SUFFIXES:
        return _sketch(data, library, path.name)
    document = decode_boat(data)
    _check_kinds(document, library)
    _check_ports(document, library)
    return document


def _read(path: Path) -> bytes:
    try:
        with open(path, "rb") as file:
            return file.read(LARGEST_BYTES + 1)
    except FileNotFoundError as error:
        raise OpenError("missing", tr("there is no such file"), remedy=tr("Check its name and folder.")) from error
    except IsADirectoryError as error:
        raise OpenError("folder", tr("this is a folder"), remedy=tr("Choose a file in it.")) from error
    except PermissionError as error:
        raise OpenError("denied", tr("you may not read it"), remedy=tr("Ask its owner.")) from error
    except OSError as error:
        what = error.strerror or str(error)
        raise OpenError("unreadable", what, remedy=tr("Check the disk or network it lies on.")) from error


def _sketch(data: bytes, library: Library, name: str) -> Document:
    from engine.sketch import SketchError, read_sketch

    try:
        return read_sketch(data.decode("utf-8-sig"), library, name)
    except UnicodeDecodeError as error:
        raise OpenError("encoding", tr("the text is not in UTF-8"), remedy=tr("Save it again as UTF-8.")) from error
    except SketchError as error:
        raise OpenError("sketch", str(error), remedy=tr("Mend these places.")) from error


def _check_kinds(document: Document, library: Library) -> None:
    for index, part in enumerate(document.network.parts):
        if part.kind not in library:
            from difflib import get_close_matches

            near = get_close_matches(part.kind, library, n=1)
            what = tr("unknown kind of part “{kind}”").format(kind=part.kind)
            remedy = tr("Did you mean {near}?").format(near=near[0]) if near else tr("Open it with a newer Loomwright.")
            raise OpenError("kind", what, f"parts[{index}] ({part.designation or part.id})", remedy)


def _check_ports(document: Document, library: Library) -> None:
    def names(part: Part) -> frozenset[str]:
        return frozenset(port.name for port in ports_of(part, library[part.kind]))

    found = list(lost_ends(document, names))
    if found:
        from engine.files.record import from_document
        from engine.files.soundness import tell

        raise OpenError("unsound", "; ".join(tell(problem, from_document(document)) for problem in found[:10]))

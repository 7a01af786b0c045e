"""The boat file's bytes: a document as JSON text, one entity a line, and back with every reason it cannot be.

    {"loomwright": 1,
     "next_id": 12,
     "particulars": {...},
     "parts": [
      {"id":"p1",...},
      {"id":"p2",...,"positions":[
       {"key":"1",...},
       ...]}
     ],
     "runs": [...], ... "sheets": [...]}

Keys keep the order of the records, mappings are sorted, numbers are as short as they can be: two revisions can be
compared line by line. Touches no disk.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from engine.files.errors import OpenError
from engine.files.migrations import migrate
from engine.files.record import ARRAYS, LATE_ARRAYS, NETWORK_ARRAYS, BoatFile, bare, from_document, to_document
from engine.files.soundness import tell
from engine.files.where import Place, place_of_byte, place_of_record, place_of_trouble
from engine.messages import tr
from engine.model.document import FORMAT_VERSION, Document
from engine.model.invariants import problems

LARGEST_BYTES = 64 * 1024 * 1024
_BROKEN = ("positions", "places", "routes", "notes")
"""Arrays inside a record that get a line for each of their entries."""


class _Header(msgspec.Struct):
    """What the file states of itself before it is read in full, and how each of its arrays is written."""

    loomwright: int
    parts: msgspec.Raw = msgspec.Raw()
    runs: msgspec.Raw = msgspec.Raw()
    compartments: msgspec.Raw = msgspec.Raw()
    enclosures: msgspec.Raw = msgspec.Raw()
    options: msgspec.Raw = msgspec.Raw()
    conditions: msgspec.Raw = msgspec.Raw()
    answers: msgspec.Raw = msgspec.Raw()
    deviations: msgspec.Raw = msgspec.Raw()


def encode_boat(document: Document) -> bytes:
    """The document as the text of a boat file, UTF-8, ending in a newline."""
    file = from_document(document)
    lines = [f'{{"loomwright": {file.loomwright}', f' "next_id": {file.next_id}']
    lines.append(f' "particulars": {_json(bare(file.particulars))}')
    lines += [f' "house": {_json(bare(file.house))}'] if bare(file.house) else []
    written = [name for name in ARRAYS if name not in LATE_ARRAYS or getattr(file, name)]
    lines += [f' "{name}": {_array(getattr(file, name))}' for name in written]
    return (",\n".join(lines) + "}\n").encode("utf-8")


def _json(tree: object) -> str:
    return msgspec.json.encode(tree).decode("utf-8")


def _array(records: Iterable[msgspec.Struct]) -> str:
    lines = ",\n".join("  " + _record(bare(record)) for record in records)
    return f"[\n{lines}\n ]" if lines else "[]"


def _record(fields: dict[str, Any]) -> str:
    """One record on one line; its long arrays broken, an entry a line, and put last."""
    long = {name: fields.pop(name) for name in _BROKEN if name in fields}
    text = _json(fields).removesuffix("}")
    for name, entries in long.items():
        lines = ",\n".join(f"   {_json(entry)}" for entry in entries)
        text += f',\n   "{name}":[\n{lines}]'
    return text + "}"


def decode_boat(data: bytes) -> Document:
    """The document in the bytes of a boat file of this or an older version. Raises OpenError."""
    data = data.removeprefix(b"\xef\xbb\xbf")
    _check_text(data)
    try:
        header = _header(data)
        file = _typed(data, header) if header.loomwright == FORMAT_VERSION else _migrated(data, header.loomwright)
    except RecursionError as error:
        raise _nested() from error
    document = to_document(file)
    _check_sound(document)
    return document


def _check_text(data: bytes) -> None:
    if len(data) > LARGEST_BYTES:
        megabytes = f"{len(data) / 1e6:.0f}"
        what = tr("the file is larger than a boat can be ({size} MB, at most 64)").format(size=megabytes)
        raise OpenError("oversized", what, remedy=tr("Choose another file."))
    if not data.strip():
        raise OpenError("empty", tr("the file is empty"))
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        where = place_of_byte(data, error.start)
        what = tr("the text is not in UTF-8")
        raise OpenError("encoding", what, where, tr("Save it again as UTF-8, or choose another file.")) from error


def _nested() -> OpenError:
    return OpenError("nested", tr("the file is nested deeper than any boat"), remedy=tr("Choose another file."))


def _header(data: bytes) -> _Header:
    """What the file states of itself; its JSON is well formed after this, and its version is one that is read here."""
    try:
        header = msgspec.json.decode(data, type=_Header)
    except msgspec.ValidationError as error:
        what = tr("this is not a boat file: it does not begin with its format version")
        raise OpenError("foreign", what, remedy=tr("Choose a file that Loomwright has saved.")) from error
    except msgspec.DecodeError as error:
        raise _malformed(data, error) from error
    version = header.loomwright
    if version > FORMAT_VERSION:
        what = tr("the file has format version {its}, made by a newer Loomwright; this one reads up to {ours}")
        remedy = tr("Open it with a newer Loomwright.")
        raise OpenError("newer", what.format(its=version, ours=FORMAT_VERSION), remedy=remedy)
    if version < 1:
        raise OpenError("foreign", tr("there is no format version {its}").format(its=version))
    return header


def _malformed(data: bytes, error: msgspec.DecodeError) -> OpenError:
    place = place_of_trouble(data, str(error))
    if place.at_end:
        return OpenError("truncated", tr("the file ends in the middle: it was cut off"), place.text)
    return OpenError("malformed", tr("the JSON is broken ({reason})").format(reason=place.reason), place.text)


def _check_keys(data: bytes) -> None:
    """Refuse a key that stands twice in one object, as a merge by hand may leave it: one of the two would be lost."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        if len(found) < len(pairs):
            names = [name for name, _ in pairs]
            twice = next(name for name in names if names.count(name) > 1)
            where = place_of_record(found)
            raise OpenError("key-twice", tr("the key “{key}” stands twice").format(key=twice), where)
        return found

    try:
        json.loads(data, object_pairs_hook=once)
    except ValueError as error:  # a number of thousands of digits
        raise OpenError("malformed", tr("a number is too long to be read")) from error


def _typed(data: bytes, header: _Header) -> BoatFile:
    """The records, and no key twice: asked in full only where something is wrong or the count does not settle it."""
    try:
        file = msgspec.json.decode(data, type=BoatFile)
    except msgspec.ValidationError as error:
        _check_keys(data)
        raise _invalid(json.loads(data), error) from error
    except msgspec.DecodeError as error:
        _check_keys(data)
        raise _malformed(data, error) from error
    if not _each_key_once(data, header, file):
        _check_keys(data)
    return file


def _each_key_once(data: bytes, header: _Header, file: BoatFile) -> bool:
    """Whether counting shows that every key became a field of its own: then none stands twice.

    The colons of the text are those after its keys and those within its strings (none of them as \\u003a). Written
    again, the records have the same ones, less those of a key that was lost to a second, and of fields that the text
    gives though they are at their default. An empty array is the one such field in a file as saved.
    """
    written = msgspec.json.encode(file).count(b":")
    empty = sum(bytes(getattr(header, name)) == b"[]" for name in NETWORK_ARRAYS)
    escaped = b"\\" in data and b"\\u" in data  # the first is a hundred times quicker to ask
    return not escaped and data.count(b":") == written + empty


def _migrated(data: bytes, version: int) -> BoatFile:
    _check_keys(data)
    tree = migrate(json.loads(data), version)
    try:
        return msgspec.convert(tree, BoatFile)
    except msgspec.ValidationError as error:
        raise _invalid(tree, error) from error


def _invalid(tree: Mapping[str, Any], error: msgspec.ValidationError) -> OpenError:
    place = Place.of_error(tree, str(error))
    return OpenError("invalid", place.reason, place.text)


def _check_sound(document: Document) -> None:
    found = problems(document)
    if found:
        file = from_document(document)
        named = "; ".join(tell(problem, file) for problem in found[:10])
        more = tr(" and {count} more").format(count=len(found) - 10) if len(found) > 10 else ""
        raise OpenError("unsound", tr("the records do not fit together: ") + named + more)

"""What Particulars is about: the boat, a sheet, a part, a run, or several of them; and the edit that fills in a field.

Pure: from a document and selected keys to fields and values, and back to a new document. Knows no widget.
"""

from __future__ import annotations

from typing import Any, Literal

import msgspec

from app.panels.fields import (
    VALUES,
    Field,
    boat_fields,
    ends_text,
    evidence_name,
    note_fields,
    part_fields,
    part_name,
    run_fields,
    shared_fields,
    sheet_fields,
    value_of,
)
from engine.drawing.sheets import sheet_names
from engine.library.device import DeviceKind, Library
from engine.messages import counted, tr
from engine.model.document import Document
from engine.model.edits.arranging import set_note
from engine.model.edits.boat import set_particulars
from engine.model.edits.fields import set_evidence, set_part_fields, set_run_fields, set_value
from engine.model.edits.sheets import set_sheet
from engine.model.network import Evidence, Part, Run
from engine.model.sheets import Note

Kind = Literal["boat", "sheet", "part", "run", "note", "several"]


class Subject(msgspec.Struct, frozen=True, kw_only=True):
    """What is being filled in: the records behind the keys, what to call them, and their fields."""

    kind: Kind
    keys: tuple[str, ...]
    title: str
    about: str = ""
    records: tuple[Any, ...] = ()
    fields: tuple[Field, ...] = ()
    position: str = ""
    """Key of the panel position that was picked, if one was."""

    @property
    def identity(self) -> tuple[Any, ...]:
        """Equal as long as the same form fits: the same things with the same fields."""
        return (self.kind, self.keys, self.fields)


def subject_of(document: Document, keys: tuple[str, ...], library: Library) -> Subject:
    """The subject of the selected keys ("part:p1", "run:w2", "position:p4/12"); the boat where nothing is selected."""
    position = next((key for key in keys if key.startswith("position:")), "")
    known = _records(document)
    wanted = dict.fromkeys(_owner(key) for key in keys)
    found = [key for key in wanted if key in known]
    if not found:
        return boat_subject(document)
    records = tuple(known[key] for key in found)
    if len(found) == 1:
        return _single(document, found[0], records[0], library, position.partition("/")[2])
    return _several(document, tuple(found), records, library)


def _owner(key: str) -> str:
    return f"part:{key.removeprefix('position:').partition('/')[0]}" if key.startswith("position:") else key


def _records(document: Document) -> dict[str, Part | Run | Note]:
    """Everything that can be selected, by its key."""
    network = document.network
    return {
        **{f"part:{part.id}": part for part in network.parts},
        **{f"run:{run.id}": run for run in network.runs},
        **{f"note:{note.id}": note for sheet in document.sheets for note in sheet.notes},
    }


def boat_subject(document: Document) -> Subject:
    """The boat itself."""
    particulars = document.network.particulars
    return Subject(
        kind="boat",
        keys=("boat",),
        title=particulars.name,
        about=tr("Boat"),
        records=(particulars,),
        fields=boat_fields(),
    )


def sheet_subject(document: Document, sheet_id: str) -> Subject:
    """One sheet. Raises StopIteration where there is none of that id."""
    sheet = next(sheet for sheet in document.sheets if sheet.id == sheet_id)
    return Subject(
        kind="sheet",
        keys=(f"sheet:{sheet_id}",),
        title=sheet.title,
        about=tr("Sheet"),
        records=(sheet,),
        fields=sheet_fields(sheet_names()),
    )


def _single(document: Document, key: str, record: Any, library: Library, position: str) -> Subject:
    fields = _fields(document, record, library)
    if isinstance(record, Note):
        return Subject(kind="note", keys=(key,), title=tr("Note"), about=record.text, records=(record,), fields=fields)
    if isinstance(record, Run):
        title = tr("Wire {number}").format(number=record.number or "?")
        about = ends_text(record, document.network)
        return Subject(kind="run", keys=(key,), title=title, about=about, records=(record,), fields=fields)
    kind = library.get(record.kind)
    about = tr(kind.title) if kind else record.kind
    return Subject(
        kind="part",
        keys=(key,),
        title=part_name(record),
        about=about,
        records=(record,),
        fields=fields,
        position=position,
    )


def _several(document: Document, keys: tuple[str, ...], records: tuple[Any, ...], library: Library) -> Subject:
    fields = shared_fields([_fields(document, record, library) for record in records])
    runs = sum(isinstance(record, Run) for record in records)
    parts = len(records) - runs
    counts = (counted("1 part", "{count} parts", parts), counted("1 run", "{count} runs", runs))
    title = ", ".join(words for words, count in zip(counts, (parts, runs), strict=True) if count)
    about = tr("What is filled in here is filled in for all of them.")
    return Subject(kind="several", keys=keys, title=title, about=about, records=records, fields=fields)


def _fields(document: Document, record: Any, library: Library) -> tuple[Field, ...]:
    if isinstance(record, Run):
        return run_fields(document.network)
    if isinstance(record, Note):
        return note_fields()
    return part_fields(library.get(record.kind), document.network)


def common_value(subject: Subject, field: Field) -> tuple[bool, Any]:
    """(True, value) where all say the same, else (False, None)."""
    values = [value_of(record, field.key) for record in subject.records]
    same = all(value == values[0] and type(value) is type(values[0]) for value in values)
    return (True, values[0]) if same else (False, None)


def filled(document: Document, keys: tuple[str, ...], field_key: str, value: Any) -> Document:
    """The edit: this field of all these things says this. Raises EditRefused."""
    for key in keys:
        document = _filled_one(document, key, field_key, value)
    return document


def _filled_one(document: Document, key: str, field_key: str, value: Any) -> Document:
    kind, _, name = key.partition(":")
    if kind == "boat":
        return set_particulars(document, **{field_key: value})
    if kind == "sheet":
        return set_sheet(document, name, **{field_key: value})
    if kind == "note":
        return _noted(document, name, field_key, value)
    if kind == "run":
        return set_run_fields(document, name, **{field_key: value})
    if field_key.startswith(VALUES):
        return set_value(document, name, field_key.removeprefix(VALUES), value)
    return set_part_fields(document, name, **{field_key: value})


def _noted(document: Document, note_id: str, field_key: str, value: Any) -> Document:
    notes = {note.id: note for sheet in document.sheets for note in sheet.notes}
    if field_key == "text":
        return set_note(document, note_id, value)
    return set_note(document, note_id, notes[note_id].text, value)


def evidence_of(subject: Subject, field: Field) -> tuple[Evidence, ...]:
    """What is known about how the field is known; nothing where several things are selected."""
    if len(subject.records) != 1 or not field.evidence:
        return ()
    return tuple(subject.records[0].evidence.get(evidence_name(field), ()))


def with_evidence(document: Document, key: str, field: Field, evidence: tuple[Evidence, ...]) -> Document:
    """The edit: these are the statements about the field."""
    return set_evidence(document, key, evidence_name(field), evidence)


def poles_kind(kind: DeviceKind | None) -> bool:
    """Whether the kind is a panel with positions."""
    return kind is not None and kind.role in ("dc_panel", "ac_panel")

"""What an edit changed, as keys that can be shown on a sheet: parts, ways of panels, runs. Knows no remedy."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Protocol, TypeVar

from engine.model.document import Document
from engine.model.network import Part


class _Named(Protocol):
    @property
    def id(self) -> str: ...


R = TypeVar("R", bound=_Named)


def changed_keys(before: Document, after: Document) -> tuple[str, ...]:
    """What is new or other than it was, in the order of the boat; of a changed enclosure the parts that are in it."""
    old, new = before.network, after.network
    boxes = frozenset(box.id for box, _ in _unlike(old.enclosures, new.enclosures))
    inside = (f"part:{part.id}" for part in new.parts if part.enclosure in boxes and boxes)
    parts = (key for part, was in _unlike(old.parts, new.parts) for key in _keys_of(part, was))
    runs = (f"run:{run.id}" for run, _ in _unlike(old.runs, new.runs))
    return tuple(dict.fromkeys((*parts, *runs, *inside)))


def _unlike(old: Iterable[R], new: Iterable[R]) -> Iterator[tuple[R, R | None]]:
    """What is not as it was, with what it was; None: it is new."""
    known: Mapping[str, R] = {record.id: record for record in old}
    return ((record, known.get(record.id)) for record in new if record != known.get(record.id))


def _keys_of(part: Part, was: Part | None) -> list[str]:
    """The ways that changed, where nothing but ways did; else the part."""
    ways = set(was.positions) if was else set()
    changed = [f"position:{part.id}/{way.key}" for way in part.positions if way not in ways]
    same = was is not None and (part.values, part.label, part.designation, part.kind) == (
        was.values,
        was.label,
        was.designation,
        was.kind,
    )
    return changed if same and changed else [f"part:{part.id}"]

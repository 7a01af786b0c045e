"""What is selected in a window: keys like "part:p1", "run:w3", "position:p4/12", "note:n1". Knows no widget."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from engine.model.document import Document


class Selection(QObject):
    """A set of keys; `changed` carries the new set, and only comes when it is another one."""

    changed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._keys: frozenset[str] = frozenset()

    @property
    def keys(self) -> frozenset[str]:
        """The selected keys."""
        return self._keys

    def set(self, keys: Iterable[str]) -> None:
        """Selects exactly these."""
        wanted = frozenset(keys)
        if wanted != self._keys:
            self._keys = wanted
            self.changed.emit(wanted)

    def add(self, keys: Iterable[str]) -> None:
        """Selects these too."""
        self.set(self._keys | frozenset(keys))

    def toggle(self, key: str) -> None:
        """Selects a key that is not selected, and the reverse."""
        self.set(self._keys ^ {key})

    def clear(self) -> None:
        """Selects nothing."""
        self.set(())

    def ids(self, kind: str) -> frozenset[str]:
        """The ids of the selected keys of one kind ("part", "run", "note", "position")."""
        return frozenset(key.partition(":")[2] for key in self._keys if key.startswith(kind + ":"))

    def keep(self, document: Document) -> None:
        """Forgets what is no longer in the document; connect it to Store.changed."""
        self.set(self._keys & existing_keys(document))


def existing_keys(document: Document) -> frozenset[str]:
    """Every key that can be selected in a document."""
    network = document.network
    keys = {f"part:{part.id}" for part in network.parts} | {f"run:{run.id}" for run in network.runs}
    keys |= {f"position:{part.id}/{way.key}" for part in network.parts for way in part.positions}
    return frozenset(keys | {f"note:{note.id}" for sheet in document.sheets for note in sheet.notes})

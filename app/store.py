"""Holds the document and its history. The only place where the document is replaced; knows no widget and no file.

`apply(edit, text)` runs a pure edit; what it returns becomes the document, one step of undo. `changed(old, new)` is
the only signal about content: listeners compare by identity (`old.network is new.network`: only the drawing changed).
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from app.refusals import sentence
from engine.model.document import Document
from engine.model.edits.records import EditRefused, part_of
from engine.model.invariants import new_lost_ends
from engine.model.network import Part

Edit = Callable[[Document], Document]
PortNames = Callable[[Part], Collection[str]]


class Change(QUndoCommand):
    """From one document to another. Changes with the same merge key in a row are one step."""

    def __init__(self, store: Store, after: Document, text: str, merge: str) -> None:
        super().__init__(text)
        self._store, self._merge = store, merge
        self._before, self._after = store.document, after

    def id(self) -> int:
        """One number for all that may merge; -1 never merges."""
        return 1 if self._merge else -1

    def mergeWith(self, other: QUndoCommand) -> bool:  # noqa: N802
        """Takes in the next change of the same merge key, as long as it begins where this one ends."""
        if not isinstance(other, Change) or other._merge != self._merge or other._before is not self._after:
            return False
        self._after = other._after
        return True

    def redo(self) -> None:
        """Shows the later document."""
        self._store._show(self._after)

    def undo(self) -> None:
        """Shows the earlier document."""
        self._store._show(self._before)


class Store(QObject):
    """The document of a window, its undo history, and whether it is saved."""

    changed = Signal(object, object)
    """(old, new) documents, after an edit, an undo, a redo or a load."""

    refused = Signal(str)
    """Why an edit could not be done, as a sentence."""

    clean_changed = Signal(bool)
    """Whether the document is as it was last saved or loaded."""

    loaded = Signal(object)
    """A whole other document, after `changed`; selection and view start anew."""

    def __init__(
        self, document: Document | None = None, ports: PortNames | None = None, parent: QObject | None = None
    ) -> None:
        """`ports` names the ports of a part: with it, an edit that leaves a run on a lost port is refused."""
        super().__init__(parent)
        self._document = document or Document()
        self._ports = ports
        self.undo_stack = QUndoStack(self)
        self.undo_stack.cleanChanged.connect(self.clean_changed)

    @property
    def document(self) -> Document:
        """The document as it is now."""
        return self._document

    @property
    def clean(self) -> bool:
        """True when nothing was changed since the last save or load."""
        return self.undo_stack.isClean()

    def apply(self, edit: Edit, text: str, merge: str = "") -> bool:
        """Runs an edit as one step of undo named `text`; consecutive ones with the same `merge` are one step.

        False when it was refused (`refused` says why) or changed nothing.
        """
        try:
            after = edit(self._document)
            self._guard(after)
        except EditRefused as refused:
            self.refused.emit(sentence(refused))
            return False
        if after is self._document:
            return False
        self.undo_stack.push(Change(self, after, text, merge))
        return True

    def _guard(self, after: Document) -> None:
        for lost in new_lost_ends(self._document, after, self._ports) if self._ports else ():
            part, _, port = lost.found.partition(".")
            run = next(run for run in after.network.runs if run.id == lost.record)
            raise EditRefused(
                "port-in-use", {"number": run.number, "designation": part_of(after, part).designation, "port": port}
            )

    def load(self, document: Document) -> None:
        """Another document: no history, nothing to save."""
        self.undo_stack.clear()
        self._show(document)
        self.loaded.emit(document)

    def mark_clean(self) -> None:
        """The document is now what is on disk."""
        self.undo_stack.setClean()

    def mark_unsaved(self) -> None:
        """The document is not what is on disk (recovered after a kill, say)."""
        self.undo_stack.resetClean()

    def undo(self) -> None:
        """One step back."""
        self.undo_stack.undo()

    def redo(self) -> None:
        """One step forward again."""
        self.undo_stack.redo()

    def _show(self, document: Document) -> None:
        old, self._document = self._document, document
        if old is not document:
            self.changed.emit(old, document)


def edit_with(function: Callable[..., Document], *args: Any, **fields: Any) -> Edit:
    """The edit `function(document, *args, **fields)`, ready for Store.apply."""
    return lambda document: function(document, *args, **fields)

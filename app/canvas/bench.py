"""What the tools work on: document, sheet, library, selection, and the preview of the edit that a gesture would make.

Knows no widget. The drawing is made when it is asked for: ten moves of the mouse between two paintings cost one.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

import msgspec
from PySide6.QtCore import QObject, QTimer, Signal

from app.canvas.draft import DRAFT, Draft, draft
from app.refusals import sentence
from app.selection import Selection
from app.store import Edit, Store
from engine.drawing.annotate import Annotation
from engine.drawing.display import Item, Page
from engine.drawing.sheet import SheetDrawing
from engine.library.device import DeviceKind
from engine.library.expand import Port, ports_of
from engine.model.document import Document
from engine.model.edits.records import EditRefused, part_of
from engine.model.edits.wiring import connect, shared_poles
from engine.model.network import End
from engine.model.sheets import Point, Sheet

FULL_PREVIEW = 24
"""Up to so many parts on the sheet a preview is drawn whole, beyond it as a draft (47 parts: 27 ms against 5)."""

SETTLE_MS = 250
"""After this pause all runs are led anew, as the print will have them."""


class Draws(Protocol):
    """Makes the drawing of a sheet; engine.drawing.sheet.Draughtsman does."""

    def draw(
        self,
        document: Document,
        sheet_id: str,
        *,
        annotation: Annotation | None = None,
        settle: bool = False,
        frame: bool = True,
        hasty: bool = False,
    ) -> SheetDrawing:
        """The sheet; unsettled, runs that the last edit did not touch stay as they lie; hasty, for a preview."""
        ...


class Drawn(msgspec.Struct, frozen=True):
    """A drawing and what it was made from."""

    document: Document
    sheet_id: str
    annotation: Annotation | None
    drawing: SheetDrawing


class Bench(QObject):
    """The work in hand on one sheet."""

    redrawn = Signal()
    """What is shown is, or may be, another drawing."""

    def __init__(
        self, store: Store, selection: Selection, library: Mapping[str, DeviceKind], draughtsman: Draws, sheet_id: str
    ) -> None:
        super().__init__()
        self.store, self.selection, self.library, self.sheet_id = store, selection, library, sheet_id
        self._draughtsman = draughtsman
        self._annotation: Annotation | None = None
        self._preview: Document | None = None
        self.redlined: tuple[str, ...] = ()
        """Keys of what the edit that is previewed would change, marked where it is not in the hand."""
        self._drawn: Drawn | None = None
        self._shown: Drawn | None = None
        self._draft: Draft | None = None
        self._pause = QTimer(self, interval=SETTLE_MS, singleShot=True)
        self._pause.timeout.connect(self.settle)
        store.changed.connect(self._on_changed)

    @property
    def document(self) -> Document:
        """The document as it is, without any preview."""
        return self.store.document

    @property
    def sheet(self) -> Sheet:
        """The sheet in work."""
        return next(sheet for sheet in self.document.sheets if sheet.id == self.sheet_id)

    @property
    def drawing(self) -> SheetDrawing:
        """The drawing of the document as it is: what tools aim at."""
        self._drawn = self._fresh(self._drawn, self.document)
        return self._drawn.drawing

    @property
    def shown(self) -> SheetDrawing:
        """The drawing on screen: of the preview where there is one."""
        preview = self._preview
        if preview is None:
            return self.drawing
        if len(self.sheet.places) <= FULL_PREVIEW:
            self._shown = self._fresh(self._shown, preview, hasty=True)
        elif self._shown is None or self._shown.document is not preview:
            self._draft = draft(self.drawing, self.document, preview, self.sheet_id, self._draw_draft, self._draft)
            self._shown = Drawn(preview, self.sheet_id, self._annotation, self._draft.whole())
        return self._shown.drawing

    @property
    def parted(self) -> tuple[Page, tuple[Item, ...]]:
        """What is on screen, parted: a page that stays the same during a gesture, and what is to be painted over it."""
        shown = self.shown
        if self._preview is None or self._draft is None or len(self.sheet.places) <= FULL_PREVIEW:
            return shown.page, ()
        return self._draft.still.page, self._draft.moving.page.items

    def _draw_draft(self, document: Document) -> SheetDrawing:
        return self._draughtsman.draw(document, DRAFT, frame=False, hasty=True)

    def _fresh(self, kept: Drawn | None, document: Document, hasty: bool = False) -> Drawn:
        told = (self.sheet_id, self._annotation)
        if kept is not None and kept.document is document and (kept.sheet_id, kept.annotation) == told:
            return kept
        made = self._draughtsman.draw(document, self.sheet_id, annotation=self._annotation, hasty=hasty)
        return Drawn(document, *told, made)

    def settle(self) -> None:
        """Leads all runs anew, so that the sheet lies exactly as it will be printed."""
        if self._preview is not None:
            self._pause.start()
            return
        if self.drawing.settled:
            return
        document, told = self.document, (self.sheet_id, self._annotation)
        made = self._draughtsman.draw(document, self.sheet_id, annotation=self._annotation, settle=True)
        self._drawn = Drawn(document, *told, made)
        self.redrawn.emit()

    def annotate(self, annotation: Annotation | None) -> None:
        """What a check adds to the sheet."""
        if annotation != self._annotation:
            self._annotation = annotation
            self.redrawn.emit()

    def show_sheet(self, sheet_id: str) -> None:
        """Another sheet in work."""
        self.sheet_id = sheet_id
        self._preview, self.redlined = None, ()
        self.redrawn.emit()

    def preview(self, edit: Edit | None, redlined: tuple[str, ...] = ()) -> str:
        """Shows what the edit would make, without doing it; None shows the document. Says why it would be refused."""
        said, shown = "", None
        self.redlined = redlined
        try:
            shown = edit(self.document) if edit else None
        except EditRefused as refused:
            said = sentence(refused)
        self._preview = None if shown is self.document else shown
        self.redrawn.emit()
        return said

    def apply(self, edit: Edit, text: str, merge: str = "") -> bool:
        """Does the edit, as one step of undo; the preview ends."""
        self._preview, self.redlined = None, ()
        done = self.store.apply(edit, text, merge)
        self.redrawn.emit()
        return done

    def is_inline(self, end: End) -> bool:
        """Whether a port is one of the two between which an in-line device stands."""
        kind = self.library.get(part_of(self.document, end.part).kind)
        return kind is not None and end.port in kind.inline

    def port(self, end: End) -> Port | None:
        """The port of a part, as the library has it."""
        part = part_of(self.document, end.part)
        kind = self.library.get(part.kind)
        return next((port for port in ports_of(part, kind) if port.name == end.port), None) if kind else None

    def poles_between(self, a: End, b: End) -> tuple[str, ...]:
        """The poles that a run between two ports can carry."""
        port_a, port_b = self.port(a), self.port(b)
        return shared_poles(port_a.poles, port_b.poles) if port_a and port_b else ()

    def connecting(self, a: End, b: End, bends: tuple[Point, ...]) -> Edit:
        """The edit that joins two ports on this sheet."""
        poles, sheet_id = self.poles_between(a, b), self.sheet_id
        return lambda document: connect(document, a, b, poles, sheet_id, bends)

    def _on_changed(self, _old: Document, new: Document) -> None:
        self._preview, self.redlined = None, ()
        if self.sheet_id not in {sheet.id for sheet in new.sheets}:
            self.sheet_id = new.sheets[0].id
        self.selection.keep(new)
        self._pause.start()
        self.redrawn.emit()

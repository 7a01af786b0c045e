"""What is dragged out of Stores onto the sheet: the ghost follows, the drop places."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent

if TYPE_CHECKING:
    from app.canvas.view import View

KIND_MIME = "application/x-loomwright-kind"
"""The id of a device kind, as UTF-8."""


class DropTarget(QObject):
    """An event filter on the view."""

    def __init__(self, view: View) -> None:
        super().__init__(view)
        self._view = view
        view.setAcceptDrops(True)
        view.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Enter takes the part in hand, move shows it, leave gives it up, drop places it."""
        if isinstance(event, QDragEnterEvent):
            return self._enter(event)
        if event.type() == QEvent.Type.DragLeave:
            self._view.select()
            return True
        if isinstance(event, (QDragMoveEvent, QDropEvent)) and event.mimeData().hasFormat(KIND_MIME):
            at = self._view.pointer(event.position().x(), event.position().y())
            if event.type() == QEvent.Type.Drop:
                self._view.tool.press(at)
                self._view.setFocus()
            else:
                self._view.tool.move(at)
            event.acceptProposedAction()
            self._view.tell()
            return True
        return False

    def _enter(self, event: QDragEnterEvent) -> bool:
        kind = bytes(event.mimeData().data(KIND_MIME).data()).decode("utf-8", "replace")
        if kind not in self._view.bench.library:
            return False
        self._view.place(kind)
        event.acceptProposedAction()
        return True

"""Going about the sheet by hand: the wheel zooms at the cursor, the middle button or Space with the left one pans."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QEvent, QObject, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from app.canvas.camera import Camera

ZOOM = 1.2
"""By which one click of the wheel enlarges."""


class Seen(Protocol):
    """A widget with a camera."""

    camera: Camera

    def set_camera(self, camera: Camera, fits: bool = False) -> None:
        """Looks elsewhere."""
        ...


class Navigation(QObject):
    """An event filter on the view."""

    def __init__(self, view: QWidget) -> None:
        super().__init__(view)
        self._view = view
        self._from: QPointF | None = None
        self._space = False
        view.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """True for what pans or zooms, so that no tool hears of it."""
        if isinstance(event, QWheelEvent):
            return self._wheel(event)
        if isinstance(event, QKeyEvent):
            return self._key(event)
        return isinstance(event, QMouseEvent) and self._mouse(event)

    def _wheel(self, event: QWheelEvent) -> bool:
        """Zooms at the cursor; with Shift goes sideways, with Ctrl up and down."""
        seen, turns = self._seen(), event.angleDelta()
        along = (turns.y() or turns.x()) * 0.6
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            seen.set_camera(seen.camera.panned(along, 0))
        elif event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            seen.set_camera(seen.camera.panned(0, along))
        else:
            at = event.position()
            seen.set_camera(seen.camera.zoomed(ZOOM ** (turns.y() / 120), at.x(), at.y()))
        return True

    def _key(self, event: QKeyEvent) -> bool:
        if event.key() != Qt.Key.Key_Space or event.isAutoRepeat():
            return event.key() == Qt.Key.Key_Space
        if event.type() in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            self._space = event.type() == QEvent.Type.KeyPress
            self._view.setCursor(Qt.CursorShape.OpenHandCursor if self._space else Qt.CursorShape.ArrowCursor)
            return True
        return False

    def _mouse(self, event: QMouseEvent) -> bool:
        pans = event.button() == Qt.MouseButton.MiddleButton or (
            self._space and event.button() == Qt.MouseButton.LeftButton
        )
        if event.type() == QEvent.Type.MouseButtonPress and pans:
            self._from = event.position()
            self._view.setCursor(Qt.CursorShape.ClosedHandCursor)
            return True
        if event.type() == QEvent.Type.MouseMove and self._from is not None:
            self._push(event.position())
            return True
        if event.type() == QEvent.Type.MouseButtonRelease and self._from is not None:
            self._from = None
            self._view.setCursor(Qt.CursorShape.OpenHandCursor if self._space else Qt.CursorShape.ArrowCursor)
            return True
        return False

    def _push(self, to: QPointF) -> None:
        assert self._from is not None
        way, seen = to - self._from, self._seen()
        seen.set_camera(seen.camera.panned(way.x(), way.y()))
        self._from = to

    def _seen(self) -> Seen:
        return self._view  # type: ignore[return-value]

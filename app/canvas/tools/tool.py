"""What a tool is: an object that hears the pointer and the keys, and says what the next click will do.

Tools know the bench and no widget. A tool previews with the same pure edit that it then commits.
"""

from __future__ import annotations

from typing import Protocol

from app.canvas.marks import Marks
from app.canvas.pointer import Pointer


class Tool(Protocol):
    """One way of working on the sheet; also the gesture that begins with a press and ends with its release."""

    def press(self, at: Pointer) -> None:
        """The button goes down, or Enter is pressed at the crosshair."""
        ...

    def move(self, at: Pointer) -> None:
        """The cursor moves, with or without the button."""
        ...

    def release(self, at: Pointer) -> None:
        """The button comes up."""
        ...

    def key(self, name: str) -> bool:
        """A plain letter was typed; True when the tool took it."""
        ...

    def cancel(self) -> bool:
        """Escape: gives up what is begun; False when nothing was."""
        ...

    def status(self) -> str:
        """What the next click will do."""
        ...

    def marks(self) -> Marks:
        """The furniture to show."""
        ...

"""Footnotes of a table: the same note gets the same letter; set as a small block under the table."""

from __future__ import annotations

from collections.abc import Sequence

from engine.drawing.display import Item, Text
from engine.drawing.metrics import LINE_PITCH, wrap
from engine.library.field_names import field_text
from engine.messages import tr
from engine.papers.circuits import Limit
from engine.papers.figures import joined

NOTE_MM = 1.8
LETTERS = "abcdefghijklmnopqrstuvwxyz"


class Footnotes:
    """The notes of one table, lettered in the order in which they were first used."""

    def __init__(self) -> None:
        self._notes: dict[str, str] = {}
        self.height_mm = 0.0

    def marked(self, text: str, note: str) -> str:
        """The text with the letter of its note: "5 a)"."""
        letter = self._notes.setdefault(note, LETTERS[len(self._notes) % len(LETTERS)])
        return f"{text} {letter})"

    @staticmethod
    def worst_case(limit: Limit) -> str:
        """The note of a limit for which something was taken at its worst."""
        fields = dict.fromkeys(field_text(lack.partition(" ")[2]) for lack in limit.lacks)
        return tr("At its worst: not stated for this wire: {fields}.").format(
            fields=joined(FIELDS.get(f, f) for f in fields)
        )

    def lines(self) -> list[str]:
        """Each note behind its letter."""
        return [f"{letter})  {note}" for note, letter in self._notes.items()]

    def items(self, width_mm: float, after: Sequence[str] = ()) -> list[Item]:
        """The notes, then further remarks, as small text from the top left corner."""
        items: list[Item] = []
        y_mm = 2.0
        for note in (*self.lines(), *after):
            for string in wrap(note, width_mm, NOTE_MM):
                items.append(Text(0.0, y_mm + NOTE_MM * 1.2, string, NOTE_MM, colour="faint"))
                y_mm += NOTE_MM * LINE_PITCH
        self.height_mm = y_mm + 1.0
        return items


FIELDS = {
    "insulation": tr("temperature rating of its insulation"),
    "bundled": tr("how many conductors lie together"),
    "route": tr("whether it passes the engine space"),
    "length basis": tr("whether its length is one way"),
    "pe size": tr("size of its earth"),
}
"""Fields in words that an owner understands."""

"""Where each shown value comes from, as a text to read: formula with its numbers, sources with their status, what lacks.

Knows the steps of a trace; nothing of how they are worked out.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from PySide6.QtWidgets import QFrame, QTextBrowser, QWidget

from engine.electrics.sources import Source
from engine.graph.boat import Boat
from engine.messages import tr
from engine.rules.wording import lack_text
from engine.studies.trace import Step


class TraceText(QTextBrowser):
    """The trace of one thing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setOpenLinks(False)
        self.setAccessibleName(tr("Where the values come from"))
        self.show_nothing()

    def show_nothing(self) -> None:
        """Nothing is picked, or it has no values."""
        self.setHtml(
            f"<p>{escape(tr('Pick a part, a way or a run on the sheet to see where its values come from.'))}</p>"
        )

    def show_steps(self, boat: Boat, name: str, condition: str, steps: Iterable[Step]) -> None:
        """The steps of one thing in one condition."""
        listed = list(steps)
        none = f"<p>{escape(tr('Nothing is worked out for it in this condition.'))}</p>"
        body = "".join(step_html(boat, step) for step in listed) if listed else none
        self.setHtml(f"<p><b>{escape(name)}</b> – {escape(condition)}</p>{body}")


def step_html(boat: Boat, step: Step) -> str:
    """One value with its formula, its sources and what it lacks, each on a line of its own."""
    lines = [f"{escape(step.what)}: <b>{escape(step.value)}</b>"]
    lines += [escape(step.formula)] if step.formula else []
    lines += [f"<i>{escape(source_text(source))}</i>" for source in dict.fromkeys(step.sources)]
    lines += [
        escape(tr("At best, since it is not known: {field}").format(field=lack_text(boat, each))) for each in step.lacks
    ]
    return f"<p style='margin:5px 0 0 0'>{'<br/>'.join(lines)}</p>"


def source_text(source: Source) -> str:
    """A source with its status; what the drawing itself says needs none."""
    named = f"{source.document}: {source.table}"
    if source.document == "the drawing":
        return named
    status = tr("unconfirmed, from memory") if source.status == "memory" else tr(source.status)
    return f"{named} ({status})"

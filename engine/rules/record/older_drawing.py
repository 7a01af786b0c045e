"""Rule older-drawing."""

from __future__ import annotations

import re
from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.wording import key_text

DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


@rule(
    "older-drawing",
    title="Drawing older than what was found aboard",
    books=("any",),
    basis=(
        Basis("any", "published survey reports", "Diagrams missing or out of date: the revision is older than the last change.",
              "published"),
    ),
    wordings={
        "older": Wording(
            "advice",
            "What was found of {part} on {found} is later than the drawing's date, {drawn}.",
            "Issue the drawing anew: a revision with its date and what was changed.",
        )
    },
    needs="The date of the drawing or of its last revision (year-month-day), where statements carry a date.",
)  # fmt: skip
def older_drawing(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A paper that is older than the boat sends the next electrician to a wire that is not there. The record has moved on;
    the drawing's date must move with it."""
    found = sorted(_dated(boat))
    if not found:
        return
    about = boat.network.particulars
    drawn = max(
        [day for day in (about.date, *(each.date for each in about.revisions)) if DAY.fullmatch(day)], default=""
    )
    if not drawn:
        yield cannot_tell("older", "boat", lacks=("boat date",))
        return
    late: dict[str, str] = {key: day for day, key in found if day > drawn}
    yield from (breaks("older", key, part=key_text(key, boat), found=day, drawn=drawn) for key, day in late.items())
    if not late:
        yield meets("older", "boat")


def _dated(boat: Boat) -> Iterator[tuple[str, str]]:
    """(day, key) of every dated statement; an inspection is later than the drawing by its nature. A date that is written
    otherwise cannot be compared."""
    told = [(f"part:{part.id}", part.evidence) for part in boat.network.parts if part.evidence]
    told += [(f"run:{run.id}", run.evidence) for run in boat.network.runs if run.evidence]
    for key, evidence in told:
        for statements in evidence.values():
            yield from ((each.date, key) for each in statements if DAY.fullmatch(each.date))

"""Rule number-against-house."""

from __future__ import annotations

import re
from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.rules.api import Book, Outcome, Wording, breaks, meets, rule
from engine.rules.house.basis import OWN

SIGNS = {"9": "[0-9]", "A": "[A-Z]", "*": ".*"}


@rule(
    "number-against-house",
    title="Wire number that is not written as the yard writes them",
    books=("any",),
    basis=OWN,
    wordings={
        "other-form": Wording(
            "advice",
            "The wire number {number} is not of the form {form}: {reason}.",
            "Number the wire anew; 9 stands for a digit, A for a capital letter, * for anything.",
        )
    },
    needs="The number of each run.",
)
def number_against_house(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A number that says from which panel a wire comes is read behind the lining without the drawing."""
    house = boat.network.house
    form = form_of(house.wire_number) if house.wire_number else None
    for run in boat.network.runs:
        if form is None or not run.number:
            continue
        if form.fullmatch(run.number):
            yield meets("other-form", f"run:{run.id}")
        else:
            reason = house.wire_number_reason or "the yard numbers its wires so"
            yield breaks("other-form", f"run:{run.id}", number=run.number, form=house.wire_number, reason=reason)


def form_of(pattern: str) -> re.Pattern[str]:
    """The form of a number: 9 a digit, A a capital letter, * anything, every other sign itself."""
    return re.compile("".join(SIGNS.get(sign, re.escape(sign)) for sign in pattern))

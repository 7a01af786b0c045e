"""Is it said of every length whether it is one way or out and back?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule
from engine.rules.each import every_run, itself, of_each

BASIS = (
    Basis("any", "common practice", "Tables and formulae for voltage drop count the length out and back, drawings usually one "
          "way; a length is of use only where its basis is known.", "practice"),
)  # fmt: skip


@rule(
    "length-without-basis",
    title="Length without its basis",
    books=("any",),
    basis=BASIS,
    wordings={
        "basis-not-said": Wording(
            severity="advice",
            sentence="The length of {run} does not say whether it is one way or out and back.",
            remedy="Say which: the voltage drop differs by two.",
        )
    },
    needs="The length of each run and its basis.",
)
@of_each(every_run, itself)
def length_without_basis(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """A length that was read from a list may be one way or out and back. Taking one for the other doubles or halves the
    voltage drop that is worked out from it, and nobody sees it in the number."""
    if run.length_m is not None and run.length_basis is not None:
        yield meets("basis-not-said", f"run:{run.id}")
    elif run.length_m is not None:
        yield breaks("basis-not-said", f"run:{run.id}", run=boat.name_run(run))

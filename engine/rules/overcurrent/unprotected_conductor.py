"""Is there any fuse or breaker between every source and every live conductor?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import rulebook
from engine.rules.each import of_each
from engine.rules.protected import Ends, answers, as_fitted, ends_touched

BASIS = (
    Basis("33cfr183", "33 CFR 183.455(a), 183.460(a), 2015 edition",
          "Every ungrounded current-carrying conductor has a fuse or a manually reset, trip-free breaker; cranking "
          "conductors are left out.", "published"),
    Basis("e11", "ABYC E-11", "Every ungrounded conductor has a fuse or trip-free breaker near its source; cranking-motor "
          "conductors are left out.", "secondary"),
    Basis("iso13297", "ISO 13297:2020, 12.1", "A fuse or a manually reset, trip-free breaker near the source of power; "
          "cranking conductors are left out where they are covered or supported.", "memory"),
)  # fmt: skip


@rule(
    "unprotected-conductor",
    title="Conductor without overcurrent protection",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "no-device": Wording(
            severity="danger",
            sentence="{run} ({size}) from {place} has no fuse or breaker: {feed} can push {feed_a} into it.",
            remedy="Fit a fuse or breaker of at most {limit_a} A at {place} ({clause}).",
            formula="{feed_a} > {limit_a} A ({formula})",
        )
    },
    needs="Sources, devices with their ratings, and every run between them.",
)
@of_each(as_fitted, ends_touched)
def unprotected_conductor(boat: Boat, book: Book, ends: Ends) -> Iterator[Outcome]:
    """A battery drives thousands of amperes through a short circuit and does not stop. A conductor with no fuse or breaker
    between it and a battery, or another source that does not limit itself, glows within seconds and sets fire to what
    it touches. Each end of each live conductor is asked: what can be pushed in here, by all sources together, before a
    device opens? Exempt are only the marked cables between a battery and a starter, jumpers inside a bank, and the
    first stretch up to a device that is close enough."""
    yield from answers(boat, rulebook(book), {"none": "no-device"}, ends)

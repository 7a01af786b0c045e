"""Is what protects a conductor small enough for it?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import rulebook
from engine.rules.each import of_each
from engine.rules.permitted import State
from engine.rules.protected import Ends, answer, answers, as_fitted, ends_touched

CODES: Mapping[State, str] = {"over": "over-limit", "reduced": "reduced", "sum": "sum-over-allowed"}

BASIS = (
    Basis("33cfr183", "33 CFR 183.455(c), 2015 edition",
          "Below 50 V a device is rated at most 150 % of the Table 5 value of the conductor; from 50 V at most 100 %, or the "
          "next standard rating up to 150 %.", "published"),
    Basis("e11", "ABYC E-11", "A device is rated at most the allowed current of the conductor, or the next standard rating "
          "up to 150 % of it; the feed of a panel at most 100 %.", "memory"),
    Basis("iso13297", "ISO 13297:2020, 13.1.5 (AC); DC clause from memory", "A device is rated at most the table current of "
          "the smallest conductor it protects.", "memory"),
)  # fmt: skip


@rule(
    "oversized-device",
    title="Fuse or breaker too large for a conductor",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "over-limit": Wording(
            severity="danger",
            sentence="{run} ({size}) may be protected by at most {limit_a} A, but {feed} is what protects it.",
            remedy="Fit a device of at most {limit_a} A, or a thicker conductor.",
            formula="{feed_a} > {formula}; table: {table}",
        ),
        "reduced": Wording(
            severity="danger",
            sentence="{run} ({size}) takes over from a thicker conductor at {place} without a device of its own; {feed} "
            "is upstream, {limit_a} A is permitted.",
            remedy="Fit a device of at most {limit_a} A at {place}, or run the thicker size on.",
            formula="{feed_a} > {formula}; table: {table}",
        ),
        "sum-over-allowed": Wording(
            severity="requirement",
            sentence="Several sources together can push {feed_a} into {run} ({size}), more than the {sum_a} A it may "
            "have, although each alone is held: {feed}.",
            remedy="Lower one of the devices, fit one in this conductor, or run a thicker size.",
            formula="{feed} = {feed_a} > {sum_a} A",
        ),
        "above-allowed-current": Wording(
            severity="advice",
            sentence="{run} ({size}) is protected by {feed}, the next standard rating above its allowed {allowed_a} A.",
            remedy="Where a smaller device carries the load, fit it.",
            formula="{allowed_a} A < {feed_a} ≤ {limit_a} A ({formula})",
        ),
    },
    parameters=(
        Parameter("most", 150, "%", "33 CFR 183.455(c); ABYC E-11 by a boat wiring handbook", "published"),
        Parameter("panel feed", 100, "%", "ABYC E-11", "memory"),
        Parameter("ISO", 100, "%", "ISO 13297:2020, 13.1.5", "published"),
    ),
    needs="Rating and kind of each device; size, insulation, route and bundle of each run.",
)
@of_each(as_fitted, ends_touched)
def oversized_device(boat: Boat, book: Book, ends: Ends) -> Iterator[Outcome]:
    """A fuse protects the conductor, not the load. One that is larger than the conductor can have lets it run hot without
    ever opening. The same happens where a conductor gets thinner at a joint, bus or panel and the large fuse upstream is
    all there is, and where several sources that are each fused feed one conductor together: the fuses then add up.
    Standards speak of each source, so the sum is a finding of its own and ranks lower."""
    yield from answers(boat, rulebook(book), CODES, ends)
    above = [each for each in ends if each.above_allowed] if book == "e11" else []
    if above:
        yield answer(boat, above[0], "above-allowed-current", "e11", broken=True)

"""Would the largest fuse that fits a holder still protect the conductor?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import rulebook
from engine.rules.each import Turn, of_each
from engine.rules.protected import Ends, answer, as_fitted, ends_touched, met_by
from engine.rules.protection import PROTECTIONS, by_run

BASIS = (
    Basis("any", "common practice, no source", "A branch is sized for the largest fuse that fits its holder, since an owner will "
          "one day fit it.", "practice"),
)  # fmt: skip
CODE = "largest-over-limit"
BROKEN = frozenset({"over", "reduced", "sum", "none"})


def _with_largest(boat: Boat, book: Book) -> Mapping[str, Ends]:
    return by_run(boat, rulebook(book), largest=True)


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return ends_touched(turn, book) | turn.differing(PROTECTIONS[rulebook(book), True])


@rule(
    "oversized-holder-fuse",
    title="Holder takes a larger fuse than the conductor may have",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        CODE: Wording(
            severity="advice",
            sentence="{run} ({size}) is protected as fitted, but its holders accept {feed}; {limit_a} A is permitted.",
            remedy="Run a size for the largest fuse, or choose a holder that takes no larger fuse than {limit_a} A.",
            formula="{feed_a} > {formula}; table: {table}",
        )
    },
    needs="The largest fuse that each holder accepts.",
)
@of_each(_with_largest, _touched)
def oversized_holder_fuse(boat: Boat, book: Book, ends: Ends) -> Iterator[Outcome]:
    """A blade fuse of 30 A fits where one of 5 A was. When the small one opens, the next owner fits what he has, and a thin
    conductor is left with a fuse that no longer protects it. So each conductor is asked again with the largest fuse that
    its holders accept; breakers count with their own rating. What is wrong already with the fuses fitted is not said twice."""
    if all(each.worst == "held" for each in as_fitted(boat, book)[ends[0].end.run.id]):
        broken = [each for each in ends if each.best in BROKEN]
        untold = [each for each in ends if each.best == "held" and each.worst != "held"]
        most = max(broken or untold or ends, key=lambda each: each.feed.current_a)
        yield answer(boat, most, CODE, rulebook(book)) if broken or untold else met_by(most, CODE)

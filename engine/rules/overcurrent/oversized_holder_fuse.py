"""Would the largest fuse that fits a holder still protect the conductor?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS, Rulebook
from engine.graph.boat import Boat
from engine.model.kept import Kept
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import rulebook
from engine.rules.protected import answer, met_by
from engine.rules.protection import Protection, by_run

BASIS = (
    Basis("any", "common practice, no source", "A branch is sized for the largest fuse that fits its holder, since an owner will "
          "one day fit it.", "practice"),
)  # fmt: skip
CODE = "largest-over-limit"
BROKEN = frozenset({"over", "reduced", "sum", "none"})


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
def oversized_holder_fuse(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A blade fuse of 30 A fits where one of 5 A was. When the small one opens, the next owner fits what he has, and a thin
    conductor is left with a fuse that no longer protects it. So each conductor is asked again with the largest fuse that
    its holders accept; breakers count with their own rating. What is wrong already with the fuses fitted is not said twice."""
    book_ = rulebook(book)
    fitted = by_run(boat, book_)
    for run_id, ends in by_run(boat, book_, largest=True).items():
        if all(each.worst == "held" for each in fitted[run_id]):
            yield _MET.of((run_id, book), ends) or _judge(boat, ends, book_)


def _met(ends: tuple[Protection, ...]) -> Outcome | None:
    """That the rule is met, where none is broken and none is open."""
    if any(each.best in BROKEN or each.best == "held" != each.worst for each in ends):
        return None
    return met_by(max(ends, key=lambda each: each.feed.current_a), CODE)


_MET = Kept(_met)


def _judge(boat: Boat, ends: tuple[Protection, ...], book: Rulebook) -> Outcome:
    broken = [each for each in ends if each.best in BROKEN]
    untold = [each for each in ends if each.best == "held" and each.worst != "held"]
    return answer(boat, max(broken or untold, key=lambda each: each.feed.current_a), CODE, book)

"""Is the starter's cable thick enough for its current?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import Rulebook
from engine.graph.boat import Boat
from engine.graph.taps import load_current
from engine.model.network import Part, Run
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import Bound, allowed, judged, rulebook

BASIS = (
    Basis("e11", "common practice, no source", "The standards leave cranking conductors out of their tables. Practice keeps the "
          "cranking current within the table value of the cable.", "practice"),
    Basis("iso13297", "common practice, no source", "The standards leave cranking conductors out of their tables. Practice keeps "
          "the cranking current within the table value of the cable.", "practice"),
)  # fmt: skip


@rule(
    "weak-cranking-cable",
    title="Starter cable too thin",
    books=("e11", "iso13297"),
    basis=BASIS,
    wordings={
        "over-table": Wording(
            severity="advice",
            sentence="{run} ({size}) carries the starter's {current} A, more than the {allowed} A of its table value.",
            remedy="Run a thicker cable: the starter turns slower and the cable has no fuse.",
            formula="{current} A > {formula}",
        )
    },
    needs="Cranking current of the starter, size and insulation of its cables.",
)
def weak_cranking_cable(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The cable of a starter has no fuse, by permission of every standard. When a starter sticks or the engine is hard to
    turn, only the cable's own copper keeps it from burning. The cranking current lasts seconds, so no rule forbids more
    than the table value; a cable that is kept within it has a margin. The heaviest starter of the boat counts."""
    starters = boat.with_role("starter")
    for run in boat.network.runs:
        if run.cranking and starters:
            yield _judge(boat, run, _heaviest(boat, starters), rulebook(book))


def _heaviest(boat: Boat, starters: tuple[Part, ...]) -> Bound:
    currents: list[Quantity] = [load_current(part) for part in starters]
    lacks = tuple(
        f"part:{part.id} cranking_a" for part, amps in zip(starters, currents, strict=True) if not is_exact(amps)
    )
    return Bound(max(low(amps, 0.0) for amps in currents), max(high(amps) for amps in currents), lacks)


def _judge(boat: Boat, run: Run, current: Bound, book: Rulebook) -> Outcome:
    limit = allowed(boat, run, run.poles[0], book)
    return judged(
        "over-table",
        (f"run:{run.id}",),
        safe=current.most <= limit.least_a,
        hopeless=current.least > limit.most_a,
        lacks=(*current.lacks, *limit.lacks),
        values={
            "run": boat.name_run(run),
            "size": run.size or "?",
            "current": current.text,
            "allowed": limit.most_a,
            "formula": limit.formula,
        },
        sources=limit.sources,
    )

"""Rule shared-wire-number."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule


@rule(
    "shared-wire-number",
    title="Wire number given twice, or missing",
    books=("any",),
    basis=(
        Basis(
            "any", "ISO 13297 (recalled)", "Conductors are identified by colour or number as on the diagram.", "memory"
        ),
        Basis("any", "a published survey list", "The same number used for two circuits.", "published"),
    ),
    wordings={
        "twice": Wording(
            "requirement",
            "Wire number {number} stands on {count} runs.",
            "Number the runs apart; relabel both ends aboard.",
        ),
        "missing": Wording("advice", "The wire {run} has no number.", "Number it and label both ends."),
    },
)
def shared_wire_number(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A number that stands on two wires sends the person with the meter to the wrong one. A wire without a number has to be
    traced by hand each time."""
    numbered: dict[str, list[Run]] = defaultdict(list)
    for run in boat.network.runs:
        if run.number:
            numbered[run.number].append(run)
        else:
            yield breaks("missing", f"run:{run.id}", run=boat.name_run(run))
    for number, runs in numbered.items():
        subjects = tuple(f"run:{run.id}" for run in runs)
        yield breaks("twice", *subjects, number=number, count=len(runs)) if len(runs) > 1 else meets("twice", *subjects)

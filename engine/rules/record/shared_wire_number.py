"""Rule shared-wire-number."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule
from engine.rules.each import Turn, of_each


def _numbered(boat: Boat, book: Book) -> Mapping[str, list[Run]]:
    """The runs by their numbers; by "" those without one."""
    return boat.derive(_by_number)


def _by_number(boat: Boat) -> Mapping[str, list[Run]]:
    numbered: dict[str, list[Run]] = {}
    for run in boat.network.runs:
        numbered.setdefault(run.number, []).append(run)
    return numbered


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return {run.number for run in turn.records(turn.runs)}


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
@of_each(_numbered, _touched)
def shared_wire_number(boat: Boat, book: Book, runs: list[Run]) -> Iterator[Outcome]:
    """A number that stands on two wires sends the person with the meter to the wrong one. A wire without a number has to be
    traced by hand each time."""
    number, subjects = runs[0].number, [f"run:{run.id}" for run in runs]
    if not number:
        yield from (breaks("missing", f"run:{run.id}", run=boat.name_run(run)) for run in runs)
    elif len(runs) > 1:
        yield breaks("twice", *subjects, number=number, count=len(runs))
    else:
        yield meets("twice", *subjects)

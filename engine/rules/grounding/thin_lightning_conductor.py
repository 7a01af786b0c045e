"""Rule thin-lightning-conductor."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sizes import awg
from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.grounding.least_size import ends_on, judge_size

SMALLEST = awg("4")
TERMINAL = frozenset({"lightning_terminal"})


@rule(
    "thin-lightning-conductor",
    title="Lightning conductor thinner than 4 AWG",
    books=("e11",),
    basis=(
        Basis(
            "e11",
            "ABYC TE-4, as an owners' forum and a boat magazine quote it",
            "The main lightning conductor is copper of at least 4 AWG.",
            "secondary",
        ),
    ),
    wordings={
        "thin": Wording(
            "requirement",
            "{run}, a main lightning conductor, is {size}; it must be at least {least}.",
            "Use {least} or more for {run}, straight and with wide bends.",
            "{size} < {least}",
        )
    },
    parameters=(
        Parameter("smallest_mm2", SMALLEST.area_mm2, "mm²", "ABYC TE-4 (4 AWG), quoted second hand", "secondary"),
    ),
    needs="The size of the conductors at the lightning terminal.",
)
def thin_lightning_conductor(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A strike is tens of thousands of amperes. A thin conductor becomes a cloud of copper, and the strike looks for another
    way down: through the hull."""
    for run in boat.network.runs:
        if "BOND" in run.poles and ends_on(boat, run, TERMINAL):
            yield judge_size(boat, run, "BOND", SMALLEST)

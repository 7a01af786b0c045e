"""Are the conductors stranded?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.each import every_run, itself, of_each

BASIS = (
    Basis("33cfr183", "33 CFR 183.425(a), 2015 edition", "Conductors are insulated stranded copper.", "published"),
    Basis("e11", "ABYC E-11", "Conductors are stranded copper, at least 19 strands from 16 AWG up.", "secondary"),
    Basis("iso13297", "ISO 13297", "Conductors are insulated stranded copper; solid ones only inside equipment.", "secondary"),
)  # fmt: skip


@rule(
    "solid-conductor",
    title="Solid conductor",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "solid": Wording(
            severity="requirement",
            sentence="{run} ({size}) has a solid conductor; on a boat it must be stranded.",
            remedy="Run stranded copper of the same size or thicker.",
        )
    },
    needs="Whether each run is stranded.",
)
@of_each(every_run, itself)
def solid_conductor(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """House wire with one solid core hardens under vibration and breaks at its terminal, where it then arcs each time the
    boat moves. Boats are wired with stranded copper."""
    yield judged(
        "solid",
        (f"run:{run.id}",),
        safe=run.stranded is True,
        hopeless=run.stranded is False,
        lacks=(f"run:{run.id} stranded",),
        values=lambda: {"run": boat.name_run(run), "size": run.size or "?"},
    )

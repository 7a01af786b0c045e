"""Are the conductors stranded?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.model.kept import by_identity
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged

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
def solid_conductor(boat: Boat, book: Book) -> Iterator[Outcome]:
    """House wire with one solid core hardens under vibration and breaks at its terminal, where it then arcs each time the
    boat moves. Boats are wired with stranded copper."""
    for run in boat.network.runs:
        yield _met(run, None) or judged(
            "solid",
            (f"run:{run.id}",),
            safe=run.stranded is True,
            hopeless=run.stranded is False,
            lacks=(f"run:{run.id} stranded",),
            values={"run": boat.name_run(run), "size": run.size or "?"},
        )


@by_identity
def _met(run: Run, _: None) -> Outcome | None:
    return judged("solid", (f"run:{run.id}",), safe=True, hopeless=False) if run.stranded is True else None

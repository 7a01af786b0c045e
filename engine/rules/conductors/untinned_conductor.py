"""Are the strands tinned?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.each import every_run, itself, of_each

BASIS = (
    Basis("e11", "ABYC E-11, practice around it", "Tinned copper is common practice; one cable maker calls it standard.",
          "secondary"),
)  # fmt: skip


@rule(
    "untinned-conductor",
    title="Bare copper strands",
    books=("e11",),
    basis=BASIS,
    wordings={
        "bare": Wording(
            severity="advice",
            sentence="{run} ({size}) is bare copper; tinned strands last longer in salt air.",
            remedy="When it is renewed, run tinned conductor.",
        )
    },
    needs="Whether each run is tinned.",
)
@of_each(every_run, itself)
def untinned_conductor(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """Salt and damp creep along bare strands under the insulation and turn them black; the resistance rises, the joint
    gets warm. Tinned strands resist this for decades. No rulebook that we have read demands it, so this is advice."""
    yield judged(
        "bare",
        (f"run:{run.id}",),
        safe=run.tinned is True,
        hopeless=run.tinned is False,
        lacks=(f"run:{run.id} tinned",),
        values=lambda: {"run": boat.name_run(run), "size": run.size or "?"},
    )

"""Can each return conductor bear what the devices of the positive side let through?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS, Rulebook
from engine.graph.boat import Boat
from engine.graph.returns import Pushed, returns
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged, rulebook
from engine.rules.permitted import allowed_of, limits_of

BASIS = (
    Basis("33cfr183", "33 CFR 183.455(c), 2015 edition", "A device is rated at most 150 % of the Table 5 value of the conductor it "
          "protects.", "published"),
    Basis("e11", "ABYC E-11", "A device is rated for the smallest conductor of its circuit, the return included.", "secondary"),
    Basis("iso13297", "ISO 13297:2020; DC clause from memory", "A device is rated for the smallest conductor it protects.",
          "memory"),
)  # fmt: skip


@rule(
    "thin-return",
    title="Return thinner than its fuse allows",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "over-limit": Wording(
            severity="requirement",
            sentence="{run} ({size}) is a return into which the devices of the positive side let {pushed} A; {limit} A is "
            "permitted.",
            remedy="Run the return as thick as the positive conductor.",
            formula="{pushed} A > {formula}; table: {table}",
        )
    },
    needs="Size and insulation of each single negative conductor, ratings of the devices before its loads.",
)
def thin_return(boat: Boat, book: Book) -> Iterator[Outcome]:
    """What flows out comes back. A negative conductor has no fuse, so the one in the positive must hold the current for both.
    Where returns run on their own, one that is thinner than its partner burns while the fuse still holds. For each
    the most is taken that the batteries on its one side can push to the loads on its other side."""
    for run_id, pushed in boat.carry(returns).items():
        yield _judge(boat, boat.runs[run_id], pushed, rulebook(book))


def _judge(boat: Boat, run: Run, pushed: Pushed, book: Rulebook) -> Outcome:
    core = allowed_of(boat, book)[run.id, "-"]
    worst = max(limits_of(core, book, False, False, worst=True).by_family.values())
    wide = limits_of(core, book, False, False, worst=False)
    best = max(wide.by_family.values())
    return judged(
        "over-limit",
        (f"run:{run.id}",),
        safe=pushed.most_a <= worst,
        hopeless=pushed.least_a > best,
        lacks=(*core.lacks, *pushed.lacks),
        values={
            "run": boat.name_run(run),
            "size": run.size or "?",
            "pushed": pushed.least_a,
            "limit": best,
            "formula": wide.formula,
            "table": core.formula,
        },
        sources=wide.sources,
    )

"""Is a conductor thick enough for the current that its loads and chargers send through it?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.graph.demand import Demand
from engine.model.kept import Kept
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import EARTHS, Allowed, judged, largest, rulebook
from engine.rules.permitted import allowed_of

ID = "undersized-conductor"

BASIS = (
    Basis("33cfr183", "33 CFR 183.425(b), (c), 183.435(b), 2015 edition",
          "Except for short surges no conductor carries more than the Table 5 current for its gauge and insulation, "
          "times the factor for engine spaces, and for three or more conductors of 50 V or more in one bundle.", "published"),
    Basis("e11", "ABYC E-11", "No conductor carries more than the table current for its gauge and insulation, times the "
          "factors for engine spaces and for bundles.", "secondary"),
    Basis("iso13297", "ISO 13297:2020, Table A.1", "No conductor carries more than the table current for its area and "
          "insulation, after the factors for engine spaces and bundles.", "secondary"),
)  # fmt: skip

WORDINGS = {
    "over-allowed": Wording(
        severity="danger",
        sentence="{run} ({size}) may have to carry {design_a} A in service; {allowed_a} A is allowed.",
        remedy="Fit a thicker conductor or one with better insulation, take load off it, or part what it joins.",
        formula="{design_a} A > {formula}",
    )
}


@rule(
    ID,
    title="Conductor too thin for its current",
    books=RULEBOOKS,
    basis=BASIS,
    wordings=WORDINGS,
    needs="Size, insulation temperature, route and bundle of each run; the current of each load and charger.",
)
def undersized_conductor(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A conductor that carries more than its allowed current runs hot inside its insulation, in bundles and engine
    spaces sooner than in free air. The insulation hardens and cracks, and behind the lining nobody sees it before it
    burns. Every core is asked, the returns and the AC conductors too; each load counts with its running current, all at
    once. The cable of the starter has a check of its own, since it carries its current for seconds only."""
    may, demand = allowed_of(boat, rulebook(book)), boat.demand
    for run in boat.network.runs:
        poles = [pole for pole in run.poles if pole not in EARTHS]
        if poles and not run.cranking:
            carried = tuple([demand.get((run.id, pole)) for pole in poles])
            limit = may[run.id, poles[0]]
            yield _MET.of((run.id, book), (run.id, carried, limit)) or _judge(boat, run, carried, limit)


Carried = tuple[Demand | None, ...]


def _met(facts: tuple[str, Carried, Allowed]) -> Outcome | None:
    run, carried, limit = facts
    if largest(carried).most > limit.least_a:
        return None
    return judged("over-allowed", (f"run:{run}",), safe=True, hopeless=False, sources=limit.sources)


_MET = Kept(_met)


def _judge(boat: Boat, run: Run, carried: Carried, limit: Allowed) -> Outcome:
    design = largest(carried)
    return judged(
        "over-allowed",
        (f"run:{run.id}",),
        safe=design.most <= limit.least_a,
        hopeless=design.least > limit.most_a,
        lacks=(*limit.lacks, *design.lacks),
        sources=limit.sources,
        values=lambda: {
            "run": boat.name_run(run),
            "size": run.size or "?",
            "design_a": design.text,
            "allowed_a": limit.most_a,
            "formula": limit.formula,
        },
    )

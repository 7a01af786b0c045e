"""Is a conductor thick enough for the current that its loads and chargers send through it?"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import EARTHS, Allowed, Bound, judged, largest, rulebook
from engine.rules.each import Turn, demand_of, every_run, of_each, runs_of
from engine.rules.permitted import ALLOWED, allowed_of

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


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return turn.runs_about | runs_of(turn.differing(demand_of) | turn.differing(ALLOWED[rulebook(book)]))


@rule(
    ID,
    title="Conductor too thin for its current",
    books=RULEBOOKS,
    basis=BASIS,
    wordings=WORDINGS,
    needs="Size, insulation temperature, route and bundle of each run; the current of each load and charger.",
)
@of_each(every_run, _touched)
def undersized_conductor(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """A conductor that carries more than its allowed current runs hot inside its insulation, in bundles and engine
    spaces sooner than in free air. The insulation hardens and cracks, and behind the lining nobody sees it before it
    burns. Every core is asked, the returns and the AC conductors too; each load counts with its running current, all at
    once. The cable of the starter has a check of its own, since it carries its current for seconds only."""
    poles = [pole for pole in run.poles if pole not in EARTHS]
    if poles and not run.cranking:
        design = largest([boat.demand.get((run.id, pole)) for pole in poles])
        yield _judge(boat, run, design, allowed_of(boat, rulebook(book))[run.id, poles[0]])


def _judge(boat: Boat, run: Run, design: Bound, limit: Allowed) -> Outcome:
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

"""Rule current-above-house-share."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import Rulebook
from engine.graph.boat import Boat
from engine.model.house import HouseLimit, limits_of
from engine.model.network import Run
from engine.rules.api import Book, Outcome, Wording, rule
from engine.rules.bounds import EARTHS, design_current, judged
from engine.rules.house.basis import OWN
from engine.rules.permitted import allowed_of
from engine.rules.runner import books_of


@rule(
    "current-above-house-share",
    title="Conductor nearer to its limit than the yard wants",
    books=("any",),
    basis=OWN,
    wordings={
        "above-share": Wording(
            "advice",
            "{run} ({size}) carries {design_a} A, more than {share} of its {allowed_a} A: {reason}.",
            "Fit a thicker conductor, or take load off it.",
            "{design_a} A > {share} × {formula}",
        )
    },
    needs="Size, insulation temperature, route and bundle of each run; the current of each load and charger.",
)
def current_above_house_share(boat: Boat, book: Book) -> Iterator[Outcome]:
    """What is full today takes nothing that an owner adds tomorrow. A yard that builds with room in hand says how much."""
    limit = limits_of(boat.network.house).get("allowed-current-share")
    tables = [each for each in books_of(boat.network.particulars) if each != "any"]
    for run in boat.network.runs if limit is not None and tables else ():
        poles = [pole for pole in run.poles if pole not in EARTHS]
        if limit is not None and poles and not run.cranking:
            yield from (_judge(boat, run, poles, limit, table) for table in tables)


def _judge(boat: Boat, run: Run, poles: list[str], limit: HouseLimit, table: Rulebook) -> Outcome:
    design, core = design_current(boat, run, poles), allowed_of(boat, table)[run.id, poles[0]]
    return judged(
        "above-share",
        (f"run:{run.id}",),
        safe=design.most <= limit.value * core.least_a,
        hopeless=design.least > limit.value * core.most_a,
        lacks=(*core.lacks, *design.lacks),
        sources=core.sources,
        values=lambda: {
            "run": boat.name_run(run),
            "size": run.size or "?",
            "design_a": design.text,
            "share": limit.value,
            "allowed_a": core.most_a,
            "reason": limit.reason,
            "formula": core.formula,
        },
    )

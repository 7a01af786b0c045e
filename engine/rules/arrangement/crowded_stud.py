"""Rule crowded-stud."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, meets, rule

MOST = 4
STUD_ROLES = frozenset({"battery", "bus", "switch", "protection", "meter", "generator_dc", "starter"})


@rule(
    "crowded-stud",
    title="More than four terminals on one stud",
    books=("e11", "iso13297"),
    basis=(
        Basis("e11", "ABYC E-11, as surveyors quote it", "No more than four terminals on one stud.", "secondary"),
        Basis("iso13297", "ISO 10133:2012 clause 10 (recalled)", "No more than four connectors on one stud.", "memory"),
    ),
    wordings={
        "too-many": Wording(
            "requirement",
            "{count} terminals stand on {port} of {part}; no more than {most} may.",
            "Move some of them to a bus bar.",
            "{count} > {most}",
        )
    },
    parameters=(Parameter("most", MOST, "terminals", "ABYC E-11, as surveyors quote it", "secondary"),),
)
def crowded_stud(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The fifth lug no longer sits flat. It works loose, heats, and is the one that arcs when the engine is started."""
    for (part_id, port), runs in boat.runs_at.items():
        part = boat.parts.get(part_id)
        if part is None or boat.role(part) not in STUD_ROLES:
            continue
        count = sum(_lugs(run, boat, part_id, port) for run in runs)
        if count > MOST:
            keys = (f"part:{part_id}", *(f"run:{run.id}" for run in runs))
            yield breaks("too-many", *keys, count=count, port=port, part=boat.name(part), most=MOST)
        else:
            yield meets("too-many", f"part:{part_id}")


def _lugs(run: Run, boat: Boat, part_id: str, port: str) -> int:
    """One lug a core that lands there; poles that pass straight by an in-line device have none."""
    poles = next((each.poles for each in boat.ports(boat.parts[part_id]) if each.name == port), run.poles)
    return 1 if set(run.poles) & set(poles) else 0

"""Rule crowded-stud."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, meets, rule
from engine.rules.each import Turn, of_each

MOST = 4
STUD_ROLES = frozenset({"battery", "bus", "switch", "protection", "meter", "generator_dc", "starter"})

Stud = tuple[str, str]
"""Part id and port."""


def _studs(boat: Boat, book: Book) -> Mapping[Stud, Stud]:
    """Those on which something lands."""
    having = boat.carry_parts(_having_studs)
    return {at: at for at in boat.runs_at if at[0] in having}


def _having_studs(boat: Boat) -> frozenset[str]:
    return frozenset(part.id for part in boat.network.parts if boat.role(part) in STUD_ROLES)


def _touched(turn: Turn, book: Book) -> Collection[Stud]:
    return turn.ports.union(at for at in turn.now.runs_at if at[0] in turn.parts) if turn.parts else turn.ports


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
@of_each(_studs, _touched)
def crowded_stud(boat: Boat, book: Book, stud: Stud) -> Iterator[Outcome]:
    """The fifth lug no longer sits flat. It works loose, heats, and is the one that arcs when the engine is started."""
    part_id, port = stud
    runs = boat.runs_at[stud]
    count = sum(_lugs(run, boat, part_id, port) for run in runs)
    if count > MOST:
        keys = (f"part:{part_id}", *(f"run:{run.id}" for run in runs))
        yield breaks("too-many", *keys, count=count, port=port, part=boat.name(boat.parts[part_id]), most=MOST)
    else:
        yield meets("too-many", f"part:{part_id}")


def _lugs(run: Run, boat: Boat, part_id: str, port: str) -> int:
    """One lug a core that lands there; poles that pass straight by an in-line device have none."""
    poles = next((each.poles for each in boat.ports(boat.parts[part_id]) if each.name == port), run.poles)
    return 1 if set(run.poles) & set(poles) else 0

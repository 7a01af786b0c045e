"""Rule switched-earth."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Part, Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule

EARTHS = frozenset({"PE", "BOND"})
PARTING = ("protection", "switch")


@rule(
    "switched-earth",
    title="Protective earth through a switch, fuse or breaker",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as a panel maker's catalogue quotes it",
            "The grounding conductor is never switched or broken by a breaker.",
            "secondary",
        ),
        Basis("iso13297", "ISO 13297", "The protective conductor is never switched, fused or broken.", "memory"),
    ),
    wordings={
        "switched": Wording(
            "danger",
            "The protective earth is led through {part}, which can open it.",
            "Lead the protective earth past {part} without a break.",
        )
    },
)
def switched_earth(boat: Boat, book: Book) -> Iterator[Outcome]:
    """An earth that a fuse or a switch can open is an earth until the moment it is needed."""
    yield from boat.derive(_outcomes)


def _outcomes(boat: Boat) -> tuple[Outcome, ...]:
    """The answers, which are the same under every rulebook."""
    return tuple(_each(boat))


def _each(boat: Boat) -> Iterator[Outcome]:
    parting = {
        edge.part.id
        for a, b, edge in boat.inside("contact", "fuse", "breaker")
        if edge.part is not None and "PE" in (a[2], b[2])
    }
    at = {end.part for run in boat.network.runs if "PE" in run.poles or "BOND" in run.poles for end in (run.a, run.b)}
    for part in boat.with_role(*PARTING, "ac_panel", "galvanic_isolator") if at or parting else ():
        if part.id not in at and part.id not in parting:
            continue
        runs = [run for port in boat.ports(part) for run in boat.runs_at.get((part.id, port.name), ())]
        if part.id in parting or _stands_in_earth(boat, part, runs):
            yield breaks("switched", f"part:{part.id}", *(f"run:{run.id}" for run in runs), part=boat.name(part))
        elif any("PE" in run.poles for run in runs):
            yield meets("switched", f"part:{part.id}")


def _stands_in_earth(boat: Boat, part: Part, runs: list[Run]) -> bool:
    """An in-line device on a conductor that carries an earth and nothing else: drawn there, it stands in the earth."""
    kind = boat.kind(part)
    inline = kind is not None and len(kind.inline) > 1 and boat.role(part) in PARTING
    return inline and bool(runs) and all(set(run.poles) <= EARTHS for run in runs)

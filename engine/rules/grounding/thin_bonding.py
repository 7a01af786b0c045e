"""Rule thin-bonding."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sizes import awg
from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.grounding.least_size import ends_on, judge_size

KINDS = frozenset({"anode", "bond_point", "bus_bonding"})
SMALLEST = awg("8")


@rule(
    "thin-bonding",
    title="Bonding conductor thinner than 8 AWG",
    books=("e11",),
    basis=(Basis("e11", "ABYC E-2 (recalled)", "Bonding conductors against corrosion are at least 8 AWG.", "memory"),),
    wordings={
        "thin": Wording(
            "requirement",
            "{run}, a bonding conductor, is {size}; it must be at least {least}.",
            "Use {least} or more for {run}.",
            "{size} < {least}",
        )
    },
    parameters=(Parameter("smallest_mm2", SMALLEST.area_mm2, "mm²", "ABYC E-2 (8 AWG), recalled", "memory"),),
    needs="The size of bonding conductors.",
)
def thin_bonding(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A bond that protects a seacock works by having no resistance worth the name, for twenty years, in salt air."""
    for run in boat.network.runs:
        if "BOND" in run.poles and _is_bonding(boat, run):
            yield judge_size(boat, run, "BOND", SMALLEST)


def _is_bonding(boat: Boat, run: Run) -> bool:
    """A lightning conductor and the ground of a case are asked elsewhere."""
    at_case = any(end.port == "case" for end in (run.a, run.b))
    return ends_on(boat, run, KINDS) and not at_case and not ends_on(boat, run, frozenset({"lightning_terminal"}))

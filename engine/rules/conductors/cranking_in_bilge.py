"""Rule cranking-in-bilge."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule


@rule(
    "cranking-in-bilge",
    title="Unprotected starter cable in the bilge",
    books=("e11",),
    basis=(
        Basis("e11", "ABYC E-11, as a chandler and a handbook author quote it",
              "Cranking conductors need no overcurrent protection; they are kept out of the bilge and clear of metal fuel parts.",
              "secondary"),
    ),
    wordings={
        "in-bilge": Wording(
            "requirement",
            "{run}, a starter cable without a fuse, passes through {space}.",
            "Lead {run} above the bilge.",
        )
    },
    needs="The route of each starter cable, where its ends stand in different spaces and the boat has a bilge.",
)  # fmt: skip
def cranking_in_bilge(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The starter cable is the one conductor that may go without a fuse. Its insulation is all there is between the battery
    and the bilge water, the engine and the shaft."""
    bilges = {space.id: space.name for space in boat.network.compartments if space.kind == "bilge"}
    for run in boat.network.runs:
        if run.cranking and "+" in run.poles:
            yield _judge(boat, run, bilges)


def _judge(boat: Boat, run: Run, bilges: dict[str, str]) -> Outcome:
    key = f"run:{run.id}"
    ends = [boat.parts[end.part].compartment for end in (run.a, run.b) if end.part in boat.parts]
    passed = [bilges[space] for space in (*run.route, *ends) if space in bilges]
    if passed:
        return breaks("in-bilge", key, run=boat.name_run(run), space=passed[0])
    stays = len(ends) == 2 and ends[0] and ends[0] == ends[1]
    if run.route or stays or not bilges:
        return meets("in-bilge", key)
    return cannot_tell("in-bilge", key, lacks=(f"{key} route",))

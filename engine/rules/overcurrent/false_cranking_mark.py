"""Is what is marked as starter cable really between a battery and a starter?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.graph.cranking import cranking_cores
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule

BASIS = (
    Basis("33cfr183", "33 CFR 183.460(a), 2015 edition", "Only the main feed from a battery to the cranking motor needs no device.",
          "published"),
    Basis("e11", "ABYC E-11", "Only cranking-motor conductors need no overcurrent protection.", "secondary"),
    Basis("iso13297", "ISO 13297:2020, 12.1", "Only engine cranking conductors are left out of the rule.", "memory"),
)  # fmt: skip


@rule(
    "false-cranking-mark",
    title="Marked as starter cable, but is none",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "not-between": Wording(
            severity="requirement",
            sentence="{run} ({size}) is marked as starter cable but does not lie between a battery and a starter.",
            remedy="Take the mark off; it is checked as any other conductor.",
        )
    },
    needs="The way from each battery to each starter.",
)
def false_cranking_mark(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The starter's cable is the one conductor that may leave a battery without a fuse. The permission is for that cable
    alone: a tap off it, or a cable to something else, has none, however thick it is. A run so marked without cause is
    named here and checked like every other."""
    found = boat.carry_wiring(cranking_cores)
    for run in boat.network.runs:
        if run.cranking:
            answer = meets if any((run.id, pole) in found for pole in run.poles) else breaks
            yield answer("not-between", f"run:{run.id}", run=boat.name_run(run), size=run.size or "?")

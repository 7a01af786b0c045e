"""Rule colour-against-house."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.colours import colour_name, is_colour
from engine.graph.boat import Boat
from engine.rules.api import Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.house.basis import OWN


@rule(
    "colour-against-house",
    title="Conductor in another colour than the yard's",
    books=("any",),
    basis=OWN,
    wordings={
        "other-colour": Wording(
            "advice",
            "{run}: the {pole} conductor is {colour}; the yard has {wanted}: {reason}.",
            "Use {wanted}, or sleeve both ends.",
        )
    },
    needs="The colours of each run.",
)
def colour_against_house(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The rulebooks leave a choice between colours. A yard that has made it once wants it the same in every boat, so that
    the next hand knows without looking it up."""
    wanted = {each.pole: each for each in boat.network.house.colours if is_colour(each.colour)}
    for run in boat.network.runs:
        for number, pole in enumerate(run.poles):
            own = wanted.get(pole)
            if own is None:
                continue
            colour = run.colours[number] if number < len(run.colours) else ""
            if not is_colour(colour):
                yield cannot_tell("other-colour", f"run:{run.id}", lacks=(f"run:{run.id} colours",))
            elif colour == own.colour:
                yield meets("other-colour", f"run:{run.id}")
            else:
                told = {"run": boat.name_run(run), "pole": pole, "colour": colour_name(colour)}
                yield breaks("other-colour", f"run:{run.id}", **told, wanted=colour_name(own.colour), reason=own.reason)

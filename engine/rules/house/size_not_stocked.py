"""Rule size-not-stocked."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sizes import parse_size
from engine.electrics.sources import ElectricsError
from engine.graph.boat import Boat
from engine.rules.api import Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import core_size
from engine.rules.house.basis import OWN


@rule(
    "size-not-stocked",
    title="Conductor of a size that the yard does not stock",
    books=("any",),
    basis=OWN,
    wordings={
        "not-stocked": Wording(
            "advice",
            "{run} is {size}, a size that the yard does not stock ({reason}).",
            "Use the next larger of {sizes}.",
        )
    },
    needs="The size of each run.",
)
def size_not_stocked(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A size that is used once is bought once, cut once, and missing when it has to be renewed."""
    house = boat.network.house
    stocked = {_area(size) for size in house.sizes} - {None}
    for run in boat.network.runs if stocked else ():
        for pole in dict.fromkeys((run.poles[0], run.poles[-1]) if run.pe_size else run.poles[:1]):
            size = core_size(run, pole)
            area = _area(size)
            if area is None:
                yield cannot_tell("not-stocked", f"run:{run.id}", lacks=(f"run:{run.id} size",))
            elif area in stocked:
                yield meets("not-stocked", f"run:{run.id}")
            else:
                told = {"run": boat.name_run(run), "size": size, "sizes": ", ".join(house.sizes)}
                yield breaks(
                    "not-stocked", f"run:{run.id}", **told, reason=house.sizes_reason or "it is not on its list"
                )


def _area(size: str) -> float | None:
    """The area that tells sizes apart, mm²; None for what is no size."""
    try:
        return round(parse_size(size).area_mm2, 6)
    except ElectricsError:
        return None

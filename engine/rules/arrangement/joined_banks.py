"""Rule joined-banks."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations

from engine.graph.boat import Boat
from engine.graph.paths import Step, way_to
from engine.graph.poles import Node
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule


@rule(
    "joined-banks",
    title="Two batteries joined with every switch off",
    books=("any",),
    basis=(
        Basis("any", "published survey and refit reports", "Banks joined by mistake discharge together.", "published"),
    ),
    wordings={
        "always-joined": Wording(
            "requirement",
            "{first} and {second} are joined with every switch off, by way of {way}.",
            "Part them: one lead to each bank, joined only through a switch or a combining relay.",
        )
    },
    needs="Batteries in parallel are one bank: draw them as a bank, or give them the same battery number.",
)
def joined_banks(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Banks that cannot be parted run flat together: the evening's lights take the morning's start with them, and one shorted
    cell empties both."""
    graph, batteries = boat.currents.rails["+"], boat.with_role("battery")
    for first, second in combinations(batteries, 2):
        if _is_one_bank(first, second):
            continue
        joined = (second.id, "pos", "+") in boat.at_rest((first.id, "pos", "+"))
        way = way_to(graph, (first.id, "pos", "+"), _is_at(second), boat.is_open_at_rest) if joined else None
        subjects = (f"part:{first.id}", f"part:{second.id}")
        if way is None:
            yield meets("always-joined", *subjects)
        else:
            yield _joined(boat, first, second, way)


def _joined(boat: Boat, first: Part, second: Part, way: tuple[Step, ...]) -> Outcome:
    keys = tuple(dict.fromkeys(step.edge.key for step in way))
    parts = dict.fromkeys(boat.name(boat.part_of(step.edge)) for step in way if step.edge.part is not None)
    told = breaks(
        "always-joined", f"part:{first.id}", f"part:{second.id}", first=boat.name(first), second=boat.name(second),
        way=", ".join(parts) or "a cable",
    )  # fmt: skip
    return Outcome(verdict="breaks", code=told.code, subjects=told.subjects, values=told.values, path=keys)


def _is_one_bank(first: Part, second: Part) -> bool:
    number = first.values.get("battery_number")
    return number not in (None, "") and number == second.values.get("battery_number")


def _is_at(battery: Part) -> Callable[[Node], bool]:
    return lambda node: node == (battery.id, "pos", "+")

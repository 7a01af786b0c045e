"""Rule unfed-load."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import Boat
from engine.graph.poles import Node
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule
from engine.rules.each import Turn, fed_islands, of_each

LIVE = ("+", "L", "L1", "L2")
Supplies = tuple[Node, ...]
"""The live terminals of the loads of a part."""


def _loads(boat: Boat, book: Book) -> Mapping[str, Supplies]:
    return boat.carry_parts(_supplies)


def _supplies(boat: Boat) -> Mapping[str, Supplies]:
    found: dict[str, Supplies] = {}
    for a, b, edge in boat.inside("load"):
        if edge.part is not None:
            found[edge.part.id] = (*found.get(edge.part.id, ()), a if a[2] in LIVE else b)
    return found


def _touched(turn: Turn, book: Book) -> Collection[str] | None:
    return turn.parts | turn.parts_elsewhere if turn.same(fed_islands) else None


@rule(
    "unfed-load",
    title="Load that nothing feeds",
    books=("any",),
    basis=(Basis("any", "common practice", "A drawing shows every circuit from its source to its load.", "practice"),),
    wordings={
        "unfed": Wording(
            "advice",
            "{part} is not fed: no way leads from its {pole} terminal to a source, whatever the switches.",
            "Draw its supply, or take {part} off the drawing.",
        )
    },
    needs="The supply conductor of each load.",
)
@of_each(_loads, _touched)
def unfed_load(boat: Boat, book: Book, supplies: Supplies) -> Iterator[Outcome]:
    """A load without a supply on the drawing is either dead aboard or fed by a wire that nobody drew; none of the checks on
    protection, size and voltage can speak for it."""
    for live in supplies:
        if boat.islands.get(live) in fed_islands(boat):
            yield meets("unfed", f"part:{live[0]}")
        else:
            yield breaks("unfed", f"part:{live[0]}", part=boat.name(boat.parts[live[0]]), pole=live[2])

"""Rule unfed-load."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.poles import Node
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule

LIVE = ("+", "L", "L1", "L2")


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
def unfed_load(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A load without a supply on the drawing is either dead aboard or fed by a wire that nobody drew; none of the checks on
    protection, size and voltage can speak for it."""
    fed = boat.islands_at(source.live for source in boat.sources)
    for a, b, edge in boat.inside("load"):
        if edge.part is not None:
            yield _answer(boat, edge.part.id, a if a[2] in LIVE else b, fed)


def _answer(boat: Boat, part_id: str, live: Node, fed: frozenset[Node]) -> Outcome:
    if boat.islands.get(live) in fed:
        return meets("unfed", f"part:{part_id}")
    return breaks("unfed", f"part:{part_id}", part=boat.name(boat.parts[part_id]), pole=live[2])

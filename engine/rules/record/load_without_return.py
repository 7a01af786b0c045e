"""Rule load-without-return."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import Boat
from engine.graph.listed import web_of
from engine.graph.poles import Node
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule
from engine.rules.each import Turn, of_each

RETURNS = {"+": "-", "L": "N"}
Ends = tuple[tuple[Node, Node], ...]
"""Of each load of a part its live terminal and that of its return."""


def _loads(boat: Boat, book: Book) -> Mapping[str, Ends]:
    return boat.carry_parts(_ends_of_loads)


def _ends_of_loads(boat: Boat) -> Mapping[str, Ends]:
    found: dict[str, Ends] = {}
    for a, b, edge in boat.inside("load"):
        live, back = (a, b) if a[2] in ("+", "L", "L1", "L2") else (b, a)
        if edge.part is not None and back[2] in RETURNS.values():
            found[edge.part.id] = (*found.get(edge.part.id, ()), (live, back))
    return found


def _touched(turn: Turn, book: Book) -> Collection[str] | None:
    return turn.parts_at(turn.runs) | turn.parts_elsewhere if turn.same(_returned) else None


@rule(
    "load-without-return",
    title="Load with no return path",
    books=("any",),
    basis=(
        Basis(
            "any",
            "ABYC E-11 (recalled) and ISO 13297",
            "Two-wire system: the return of every load is a conductor.",
            "memory",
        ),
        Basis(
            "any", "a code of practice for small craft", "The hull is never a current-carrying conductor.", "secondary"
        ),
    ),
    wordings={
        "no-return": Wording(
            "requirement",
            "{part} has no return: nothing joins its {pole} terminal to the {pole} of a source.",
            "Draw the return conductor from {part} to its bus, or mark the load as not connected.",
        )
    },
    needs="The return conductor of each load.",
)
@of_each(_loads, _touched)
def load_without_return(boat: Boat, book: Book, ends: Ends) -> Iterator[Outcome]:
    """A load whose return is not on the drawing either does not work or returns through metal that was never meant to carry
    current: an engine mount, a shaft, a rigging wire. It corrodes, heats, and no check of its conductors is complete."""
    for live, back in ends:
        if _is_wired(boat, live):
            yield _answer(boat, back[0], back)


def _answer(boat: Boat, part_id: str, back: Node) -> Outcome:
    if boat.islands.get(back) in boat.derive(_returned):
        return meets("no-return", f"part:{part_id}")
    return breaks("no-return", f"part:{part_id}", part=boat.name(boat.parts[part_id]), pole=back[2])


def _is_wired(boat: Boat, live: Node) -> bool:
    return any(edge.run is not None for _, edge in web_of(boat.wires)[live])


def _returned(boat: Boat) -> frozenset[Node]:
    """The islands that lead back to a source."""
    return boat.islands_at(boat.return_nodes | _ashore(boat) | _isolated(boat))


def _ashore(boat: Boat) -> frozenset[Node]:
    """Neutrals of the AC sources: at shore inlets, generators, inverters and transformers."""
    backs = set()
    for source in boat.sources:
        if source.is_ac:
            backs.add((source.part.id, source.live[1], "N"))
    return frozenset(backs)


def _isolated(boat: Boat) -> frozenset[Node]:
    """Negative outputs of converters that part input and output: what they feed returns there."""
    return frozenset(
        (edge.part.id, *edge.link.b)
        for _, _, edge in boat.inside("converter")
        if edge.part and edge.link and edge.link.a[1] == edge.link.b[1] == "-"
    )

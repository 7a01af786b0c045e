"""Rule vital-without-battery."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.listed import edges_of
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node
from engine.messages import enumerated
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule


@rule(
    "vital-without-battery",
    title="Alarm, pump or light that no battery feeds",
    books=("any",),
    basis=(
        Basis("any", "published survey reports", "Alarms were found that lose their supply with the shore cord off, and chargers "
              "that carry a boat without a battery.", "published"),
    ),
    wordings={
        "mains-only": Wording(
            "danger",
            "{part} is fed by {source} and by no battery: it goes dead with it.",
            "Feed {part} from a battery.",
        )
    },
    needs="Which loads are vital.",
)  # fmt: skip
def vital_without_battery(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A gas alarm on the charger's output is silent from the moment the shore cord is pulled, which is when people sleep
    aboard at anchor."""
    vital = [part for part in boat.with_role("load_dc") if part.values.get("vital") is True]
    if not vital:
        return
    fed = _fed_by_batteries(boat)
    others: dict[str, set[Node]] = {}
    for source in boat.sources:
        if source.kind != "battery":
            others.setdefault(source.part.id, set()).update(reach(boat.wires, [source.live]))
    for part in vital:
        yield from _judge(boat, part, fed, others)


def _fed_by_batteries(boat: Boat) -> set[Node]:
    """What batteries feed, through DC-DC converters too."""
    fed = reach(boat.wires, boat.batteries)
    ends = [(_link_ends(edge)) for _, _, edge in edges_of(boat.graph) if edge.kind == "converter"]
    waiting = [(taken, given) for taken, given in ends if taken[2] == given[2] == "+"]
    while beyond := {given for taken, given in waiting if taken in fed and given not in fed}:
        fed |= reach(boat.wires, beyond)
    return fed


def _link_ends(edge: Edge) -> tuple[Node, Node]:
    assert edge.part is not None
    assert edge.link is not None
    return (edge.part.id, *edge.link.a), (edge.part.id, *edge.link.b)


def _judge(boat: Boat, part: Part, fed: set[Node], others: dict[str, set[Node]]) -> Iterator[Outcome]:
    supply = set(boat.terminals_of(part, "+"))
    if supply & fed:
        yield meets("mains-only", f"part:{part.id}")
        return
    feeding = [source for source, nodes in others.items() if supply & nodes]
    if feeding:
        keys = (f"part:{part.id}", *(f"part:{source}" for source in feeding))
        names = enumerated(boat.name(boat.parts[source]) for source in feeding)
        yield breaks("mains-only", *keys, part=boat.name(part), source=names)

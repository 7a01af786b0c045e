"""Rule alternator-cut-off."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node
from engine.messages import enumerated
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule

OPENS_ALONE = frozenset({"bms_disconnect", "contactor", "low_voltage_disconnect"})
LITHIUM = "LiFePO4"


@rule(
    "alternator-cut-off",
    title="Alternator that a battery's protection can leave without a battery",
    books=("any",),
    basis=(
        Basis("any", "published articles on lithium batteries and load dumps", "A protection that disconnects while the alternator "
              "runs destroys its rectifier, and what else is on the line.", "published"),
    ),
    wordings={
        "cut-off": Wording(
            "requirement",
            "When {device} opens, {alternator} runs on without any battery.",
            "Keep a lead-acid battery on the alternator's side of {device}, or cut the alternator's field before it opens.",
        ),
        "all-lithium": Wording(
            "advice",
            "Every battery that {alternator} charges is a lithium one, which can disconnect itself while it runs.",
            "Charge through a lead-acid battery and a converter, or fit a guard against load dumps.",
        ),
    },
    needs="The chemistry of the batteries the alternator charges, and the contacts that open by themselves.",
)  # fmt: skip
def alternator_cut_off(boat: Boat, book: Book) -> Iterator[Outcome]:
    """An alternator that loses its last battery at speed throws up to a hundred volts onto the wiring for a moment; its
    diodes go, and with them the electronics."""
    for source in boat.sources:
        if source.kind == "generator" and source.part.kind == "alternator" and not source.is_ac:
            yield from _judge(boat, source.part, source.live)


def _judge(boat: Boat, part: Part, live: Node) -> Iterator[Outcome]:
    key, batteries = f"part:{part.id}", boat.batteries
    met = [batteries[node] for node in reach(boat.wires, [live]) if node in batteries]
    kept = [batteries[node] for node in reach(boat.wires, [live], _opens_alone) if node in batteries]
    if not met:
        return
    if not kept:
        devices = _on_the_way(boat, live)
        names = enumerated(boat.name(boat.parts[each]) for each in devices)
        yield breaks("cut-off", key, *(f"part:{each}" for each in devices), alternator=boat.name(part), device=names)
        return
    chemistries = [each.values.get("chemistry") for each in kept]
    if any(each not in (None, LITHIUM) for each in chemistries):
        yield meets("cut-off", key)
    elif None in chemistries:
        lacks = tuple(f"part:{each.id} chemistry" for each in kept if each.values.get("chemistry") is None)
        yield cannot_tell("all-lithium", key, lacks=lacks)
    else:
        yield breaks("all-lithium", key, *(f"part:{each.id}" for each in kept), alternator=boat.name(part))


def _opens_alone(edge: Edge) -> bool:
    return edge.kind == "contact" and edge.part is not None and edge.part.kind in OPENS_ALONE


def _on_the_way(boat: Boat, live: Node) -> list[str]:
    """The parts whose opening cuts it off: those that the alternator's side touches."""
    near = reach(boat.wires, [live], _opens_alone)
    return list(dict.fromkeys(node[0] for node in sorted(near) if boat.parts[node[0]].kind in OPENS_ALONE))

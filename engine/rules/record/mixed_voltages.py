"""Rule mixed-voltages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from engine.graph.boat import Boat, quantity
from engine.graph.poles import Node
from engine.graph.sources import Source, at_node
from engine.model.network import Part
from engine.model.quantity import Quantity, high, low
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.routes import is_dc_converter, stated_voltage

TOLERANCE = 0.25
"""A 12 V part works from 10 to 15 V; 24 V is twice that. A quarter tells the nominal voltages apart."""


@rule(
    "mixed-voltages",
    title="Load on the wrong system voltage",
    books=("any",),
    basis=(Basis("any", "a published refit report", "12 V parts were found on a 24 V system.", "published"),),
    wordings={
        "wrong-voltage": Wording(
            "danger",
            "{part} is made for {load_v} V and is fed by {source} at {source_v} V.",
            "Feed {part} from a {load_v} V bus or through a converter.",
        )
    },
    needs="The nominal voltage of sources and loads; a load without one is passed over.",
)
def mixed_voltages(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A twelve-volt part on twenty-four volts burns; a twenty-four-volt pump on twelve does not empty the bilge."""
    feeding, live = _Feeding(boat), boat.carry_parts(_terminals)
    for part in boat.with_role("load_dc", "load_ac", "outlet_ac", "starter"):
        load_v = quantity(part, "nominal_v")
        found = _source_of(live[part.id], feeding) if load_v is not None else None
        if load_v is None or found is None:
            continue
        source, source_v = found
        if source_v is None:
            yield cannot_tell("wrong-voltage", f"part:{part.id}", lacks=(f"part:{source.id} {stated_voltage(source)}",))
        elif low(load_v) * (1 - TOLERANCE) <= high(source_v) and low(source_v) <= high(load_v) * (1 + TOLERANCE):
            yield meets("wrong-voltage", f"part:{part.id}")
        else:
            yield breaks(
                "wrong-voltage", f"part:{part.id}", f"part:{source.id}", part=boat.name(part), load_v=low(load_v),
                source=boat.name(source), source_v=low(source_v),
            )  # fmt: skip


class _Feeding:
    """The first source that reaches each live node."""

    def __init__(self, boat: Boat) -> None:
        self._islands = boat.islands
        self._first: dict[tuple[Node, str], Source] = {}
        """By island and pole."""
        sources = [source for source in boat.sources if source.live in boat.islands]
        for source in sources:
            if source.kind in ("battery", "shore", "transformer"):
                for pole in (source.live[2], "L"):
                    self._first.setdefault((boat.islands[source.live], pole), source)
        for source in filter(is_dc_converter, sources):
            self._first.setdefault((boat.islands[source.live], "+"), source)

    def at(self, node: Node) -> Source | None:
        """What feeds a node; None where nothing does."""
        return self._first.get((self._islands[node], node[2])) if node in self._islands else None


def _terminals(boat: Boat) -> Mapping[str, tuple[Node, ...]]:
    """Of each part, by its id."""
    return {
        part.id: tuple((part.id, port.name, pole) for port in boat.ports(part) for pole in port.poles)
        for part in boat.network.parts
    }


def _source_of(terminals: Iterable[Node], feeding: _Feeding) -> tuple[Part, Quantity] | None:
    """What feeds the part, and at which voltage where it does."""
    for node in terminals:
        source = feeding.at(node)
        if source is not None:
            return source.part, at_node(quantity(source.part, stated_voltage(source.part)), source.live, node)
    return None

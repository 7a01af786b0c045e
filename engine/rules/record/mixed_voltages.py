"""Rule mixed-voltages."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import Boat, quantity
from engine.graph.poles import Node
from engine.graph.sources import Source, at_node
from engine.model.network import Part
from engine.model.quantity import Quantity, high, low
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.each import Turn, of_each
from engine.rules.routes import is_dc_converter, stated_voltage

TOLERANCE = 0.25
"""A 12 V part works from 10 to 15 V; 24 V is twice that. A quarter tells the nominal voltages apart."""


def _loads(boat: Boat, book: Book) -> Mapping[str, Part]:
    """Those that state their voltage."""
    return boat.carry_records("loads of a stated voltage", lambda: {
        part.id: part
        for part in boat.with_role("load_dc", "load_ac", "outlet_ac", "starter")
        if quantity(part, "nominal_v") is not None
    })  # fmt: skip


def _touched(turn: Turn, book: Book) -> Collection[str] | None:
    return turn.parts | turn.parts_elsewhere if turn.same(_feeding) else None


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
@of_each(_loads, _touched)
def mixed_voltages(boat: Boat, book: Book, part: Part) -> Iterator[Outcome]:
    """A twelve-volt part on twenty-four volts burns; a twenty-four-volt pump on twelve does not empty the bilge."""
    load_v, found = quantity(part, "nominal_v"), _source_of(boat, part)
    if load_v is None or found is None:
        return
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


def _feeding(boat: Boat) -> Mapping[tuple[Node, str], Source]:
    """The first source that feeds each island, by island and pole."""
    first: dict[tuple[Node, str], Source] = {}
    sources = [source for source in boat.sources if source.live in boat.islands]
    for source in sources:
        if source.kind in ("battery", "shore", "transformer"):
            for pole in (source.live[2], "L"):
                first.setdefault((boat.islands[source.live], pole), source)
    for source in filter(is_dc_converter, sources):
        first.setdefault((boat.islands[source.live], "+"), source)
    return first


def _source_of(boat: Boat, part: Part) -> tuple[Part, Quantity] | None:
    """What feeds the part, and at which voltage where it does."""
    feeding = boat.derive(_feeding)
    for port in boat.ports(part):
        for pole in port.poles:
            node = (part.id, port.name, pole)
            source = feeding.get((boat.islands[node], pole)) if node in boat.islands else None
            if source is not None:
                return source.part, at_node(quantity(source.part, stated_voltage(source.part)), source.live, node)
    return None

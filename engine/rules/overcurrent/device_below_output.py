"""Rule device-below-output."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node, is_link_of
from engine.graph.sources import Source
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged


@rule(
    "device-below-output",
    title="Fuse smaller than what its charging source gives",
    books=("any",),
    basis=(
        Basis("any", "ABYC E-11, as quoted in a cruisers' forum",
              "The output of an alternator is fused for its conductor, comfortably above what the machine gives.", "secondary"),
    ),
    wordings={
        "too-small": Wording(
            "requirement",
            "{device} is rated {rating} A; {source} gives up to {output} A.",
            "Use a device above {output} A, with conductors that it protects.",
            "{rating} A < {output} A",
        )
    },
    needs="The rated output of alternators and chargers, and the rating of the first device on their output.",
)  # fmt: skip
def device_below_output(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A fuse that opens on a good charging day leaves the alternator without a battery, and that destroys it. On a charger it
    leaves a flat battery that nobody expects."""
    for source in boat.sources:
        if source.kind in ("generator", "converter") and source.live[2] == "+":
            for edge in _first_devices(boat, source):
                yield _judge(boat, source, edge)


def _first_devices(boat: Boat, source: Source) -> list[Edge]:
    """The devices that the bare conductor of the output leads to, where it leads to nothing that others feed too."""

    def is_inside(edge: Edge) -> bool:
        return edge.run is None

    near = reach(boat.wires, [source.live], is_inside)
    if any(_is_shared(boat, node) for node in near):
        return []
    found = [edge for a, b, edge in boat.devices() if a in near or b in near]
    return [edge for edge in found if not is_link_of(edge, source.part)]


def _is_shared(boat: Boat, node: Node) -> bool:
    return boat.role(boat.parts[node[0]]) in ("bus", "battery", "dc_panel") if node[0] in boat.parts else True


def _output_field(boat: Boat, source: Source) -> str:
    """The field that says what the source gives."""
    kind = boat.kind(source.part)
    names = {value.name for value in kind.value} if kind else set()
    return next((name for name in ("rated_a", "output_a", "charge_a", "isc_a") if name in names), "output_a")


def _judge(boat: Boat, source: Source, edge: Edge) -> Outcome:
    rating, output = boat.rating_of(edge), source.limit_a
    lacks = (*((f"{edge.key} rating_a",) if not is_exact(rating) else ()),
             *((f"part:{source.part.id} {_output_field(boat, source)}",) if not is_exact(output) else ()))  # fmt: skip
    assert edge.part is not None
    return judged(
        "too-small", (edge.key, f"part:{source.part.id}"), safe=low(rating, 0.0) >= high(output),
        hopeless=high(rating) < low(output, 0.0), lacks=lacks,
        values={"device": boat.name(boat.part_of(edge)), "source": boat.name(source.part),
                "rating": low(rating, 0.0), "output": high(output, 0.0)},
    )  # fmt: skip

"""Is the device of an alternator or generator that does not limit itself within 120 % of its rated current?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.protection import alternator_device_limit
from engine.graph.boat import Boat
from engine.graph.sources import Source
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import judged
from engine.rules.devices import runs_at_node
from engine.rules.legs import Way, legs_of
from engine.rules.protected import item_name

BASIS = (
    Basis("33cfr183", "33 CFR 183.460(b), 2015 edition", "The output of an alternator or generator that does not limit itself has "
          "a device of at most 120 % of its maximum rated current at 60 °C.", "published"),
    Basis("e11", "ABYC E-11", "The device of an AC generator is rated at most 120 % of its output.", "memory"),
)  # fmt: skip


@rule(
    "oversized-generator-device",
    title="Device too large for an alternator or generator",
    books=("33cfr183", "e11"),
    basis=BASIS,
    wordings={
        "over-120-percent": Wording(
            severity="requirement",
            sentence="{device} protects the output of {source}; at most {limit} A is permitted.",
            remedy="Fit a device of at most {limit} A.",
            formula="{rated} A > {formula}",
        )
    },
    parameters=(Parameter("most", 120, "%", "33 CFR 183.460(b)", "published"),),
    needs="Rated current of each alternator and generator, and whether it limits itself.",
)
def oversized_generator_device(boat: Boat, book: Book) -> Iterator[Outcome]:
    """An alternator that does not limit itself burns its windings when it is asked for more than it can give. The device in
    its output is what keeps it from that, and so it is tied to the machine's rating, not to the cable's."""
    for source in boat.sources:
        if source.kind == "generator" and source.is_ac == (book == "e11"):
            for run in runs_at_node(boat, source.live):
                other = run.b if (run.a.part, run.a.port) == source.live[:2] else run.a
                for way in legs_of(boat, source.live, (other.part, other.port, source.live[2]), run).ways[:1]:
                    yield _judge(boat, source, way)


def _judge(boat: Boat, source: Source, way: Way) -> Outcome:
    rated: Quantity = boat.rating_of(way.device)
    limits = source.part.values.get("self_limiting")
    best = alternator_device_limit(high(source.limit_a, 1e6))
    least_limit = 1.2 * low(source.limit_a, 0.0)
    fields = [
        f"part:{source.part.id} self_limiting" if limits is None else "",
        f"part:{source.part.id} rated_a" if not is_exact(source.limit_a) else "",
        f"{way.device.key} rating_a" if not is_exact(rated) else "",
    ]
    return judged(
        "over-120-percent",
        (way.device.key, f"part:{source.part.id}"),
        safe=limits is True or high(rated) <= least_limit,
        hopeless=limits is False and low(rated, 0.0) > best.limit_a,
        lacks=tuple(field for field in fields if field),
        values={
            "device": item_name(boat, way.device.key),
            "source": boat.name(source.part),
            "limit": best.limit_a,
            "rated": low(rated, 0.0),
            "formula": best.formula,
        },
        sources=best.sources,
    )

"""Rule galvanic-isolator-unfit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import networkx as nx

from engine.graph.boat import Boat, quantity
from engine.graph.paths import reach
from engine.graph.poles import Edge, is_link_of
from engine.model.network import Part
from engine.model.quantity import high, is_exact, low
from engine.rules.ac.system import AcSystem, ac_of, shown
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import judged

FAILS: Mapping[Book, str] = {"e11": "fails-unseen", "iso13297": "fails-open"}


@rule(
    "galvanic-isolator-unfit",
    title="Galvanic isolator that may open, is too small or is bypassed",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC A-28 and a boat's handbook, as makers quote them",
            "In series in the shore's green conductor, rated at least as the shore service; a type that is not fail-safe has a "
            "status monitor.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297:2020 6.9",
            "The failure of a device in the protective conductor does not open that conductor.",
            "published",
        ),
    ),
    wordings={
        "underrated": Wording(
            "danger",
            "{part} is rated {rating} A; the shore service of {inlet} is {service} A.",
            "Fit an isolator rated at least {service} A.",
            "{rating} A < {service} A",
        ),
        "fails-open": Wording(
            "danger",
            "A fault in {part} can open the protective earth.",
            "Fit an isolator that fails closed.",
        ),
        "fails-unseen": Wording(
            "requirement",
            "A fault in {part} can open the protective earth; such a type needs a monitor that shows it.",
            "Fit an isolator that fails closed, or a status monitor.",
        ),
        "bypassed": Wording(
            "advice",
            "Another conductor joins both sides of {part}: it blocks nothing.",
            "Lead every protective earth from shore through {part}.",
        ),
    },
    needs="Rating and fail-safe type of each galvanic isolator, and the service current of the inlet.",
)
def galvanic_isolator_unfit(boat: Boat, book: Book) -> Iterator[Outcome]:
    """It stands in the one conductor that must never open. The day it burns out, the boat has no earth, and nobody
    notices until somebody is hurt."""
    ac = ac_of(boat)
    for part in boat.with_role("galvanic_isolator"):
        yield _fail_safe(boat, part, FAILS[book])
        if book == "e11":
            yield from _ratings(ac, part)
        yield _bypass(ac, part)


def _fail_safe(boat: Boat, part: Part, code: str) -> Outcome:
    said, subject = part.values.get("fail_safe"), f"part:{part.id}"
    if said is None:
        return cannot_tell(code, subject, lacks=(f"{subject} fail_safe",))
    return meets(code, subject) if said else breaks(code, subject, part=boat.name(part))


def _ratings(ac: AcSystem, part: Part) -> Iterator[Outcome]:
    rating_a, subject = quantity(part, "rating_a"), f"part:{part.id}"
    shore_side = reach(ac.earths, [(part.id, "shore", "PE")], lambda edge: is_link_of(edge, part))
    for inlet in ac.of_kind("shore"):
        if inlet.earth not in shore_side:
            continue
        service_a = quantity(inlet.part, "service_a")
        fields = {f"{subject} rating_a": rating_a, f"part:{inlet.part.id} service_a": service_a}
        told = {"part": ac.boat.name(part), "inlet": ac.boat.name(inlet.part)}
        yield judged(
            "underrated", (subject, f"part:{inlet.part.id}"), safe=low(rating_a, 0.0) >= high(service_a),
            hopeless=high(rating_a) < low(service_a, 0.0),
            lacks=tuple(name for name, value in fields.items() if not is_exact(value)),
            values={**told, "rating": shown(rating_a), "service": shown(service_a)},
        )  # fmt: skip


def _bypass(ac: AcSystem, part: Part) -> Outcome:
    """Whether both its sides are joined without it, by protective earths or by bonding and DC negative."""
    graph: nx.MultiGraph = ac.grounds

    def own(edge: Edge) -> bool:
        return is_link_of(edge, part)

    joined = (part.id, "boat", "PE") in reach(graph, [(part.id, "shore", "PE")], own)
    if joined:
        return breaks("bypassed", f"part:{part.id}", part=ac.boat.name(part))
    return meets("bypassed", f"part:{part.id}")

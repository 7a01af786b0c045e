"""Rule main-over-service."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat, quantity
from engine.model.quantity import high, is_exact, low
from engine.rules.ac.leads import Lead, main_of
from engine.rules.ac.system import AcSource, ac_of, shown
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged


@rule(
    "main-over-service",
    title="Main shore breaker larger than the inlet's service",
    books=("e11",),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as an electrician quotes it",
            "The main breaker's rating matches the smallest of inlet, cord and feeder.",
            "secondary",
        ),
    ),
    wordings={
        "over-service": Wording(
            "requirement",
            "{device} is rated {rating} A; {inlet} is made for {service} A.",
            "Fit a main of at most {service} A.",
            "{rating} A > {service} A",
        )
    },
    needs="The service current of each inlet and the rating of its main breaker.",
)
def main_over_service(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The inlet's pins and the cord burn before a main that is larger than they are opens."""
    ac = ac_of(boat)
    for inlet in ac.of_kind("shore"):
        lead = main_of(ac, inlet)
        if lead and lead.edge:
            yield _answer(boat, inlet, lead)


def _answer(boat: Boat, inlet: AcSource, lead: Lead) -> Outcome:
    rating = boat.rating_of(lead.edge) if lead.edge else None
    service = quantity(inlet.part, "service_a")
    field = "main_rating_a" if boat.role(boat.parts[lead.node[0]]) == "ac_panel" and "/" not in lead.key else "rating_a"
    missing = {f"{lead.key} {field}": rating, f"part:{inlet.part.id} service_a": service}
    lacks = tuple(name for name, value in missing.items() if not is_exact(value))
    told = {"device": boat.name(boat.parts[lead.node[0]]), "inlet": boat.name(inlet.part)}
    return judged(
        "over-service", (lead.key, f"part:{inlet.part.id}"), safe=high(rating) <= low(service, 0.0),
        hopeless=low(rating, 0.0) > high(service), lacks=lacks,
        values={**told, "rating": shown(rating), "service": shown(service)},
    )  # fmt: skip

"""Can each switch, relay and selector carry what flows through it?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import DEVICES, Boat, quantity
from engine.graph.listed import web_of
from engine.graph.paths import reach
from engine.graph.taps import load_current
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.devices import Device, contacts, flow_through, is_cranking
from engine.rules.overcurrent.missing_battery_switch import SWITCHES
from engine.rules.protected import item_name

BASIS = (
    Basis("e11", "ABYC E-11", "A battery switch is rated for the largest continuous load and for the cranking load.", "memory"),
    Basis("iso13297", "ISO 10133:2012, clause 6", "A battery switch is rated continuously for at least the largest device that it "
          "feeds, and for the starter.", "memory"),
)  # fmt: skip


@rule(
    "overloaded-switch",
    title="Switch or relay loaded beyond its rating",
    books=("e11", "iso13297"),
    basis=BASIS,
    wordings={
        "over-rating": Wording(
            severity="requirement",
            sentence="{switch} is rated {rated} A, but {load} A flow through it in service.",
            remedy="Fit a switch for the load.",
            formula="{load} A > {rated} A",
        ),
        "over-cranking-rating": Wording(
            severity="requirement",
            sentence="{switch} may carry {rated} A for cranking, but the starter draws {load} A.",
            remedy="Fit a switch with a cranking rating for the starter.",
            formula="{load} A > {rated} A",
        ),
        "below-fed-device": Wording(
            severity="requirement",
            sentence="{switch} is rated {rated} A, less than the {load} A of the largest device that it feeds.",
            remedy="Fit a switch for the largest device, or a smaller device.",
            formula="{rated} A < {load} A",
        ),
    },
    needs="Rating of each switch and relay, of battery switches also for cranking; current of each load.",
)
def overloaded_switch(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Contacts that carry more than they are made for get hot, oxidise and get hotter; a battery switch then fails when it
    is turned under load. A switch in the starter's cable is asked for its cranking rating, any other for what flows
    through it all day."""
    for contact in boat.carry_wiring(contacts):
        if is_cranking(boat, contact):
            yield _cranking(boat, contact)
        else:
            yield _continuous(boat, contact)
        if book == "iso13297" and contact.edge.part is not None and contact.edge.part.kind in SWITCHES:
            yield from _fed(boat, contact)


def _continuous(boat: Boat, contact: Device) -> Outcome:
    rated, load = boat.rating_of(contact.edge), flow_through(boat, contact)
    return judged(
        "over-rating",
        (contact.key,),
        safe=load.most <= low(rated, 0.0),
        hopeless=load.least > high(rated),
        lacks=(*(() if is_exact(rated) else (f"{contact.key} rating_a",)), *load.lacks),
        values={"switch": item_name(boat, contact.key), "rated": high(rated, 0.0), "load": load.text},
    )


def _cranking(boat: Boat, contact: Device) -> Outcome:
    starters = boat.with_role("starter")
    currents: list[Quantity] = [load_current(part) for part in starters]
    least, most = max((low(amps, 0.0) for amps in currents), default=0.0), max(map(high, currents), default=0.0)
    lacks = [f"part:{part.id} cranking_a" for part, amps in zip(starters, currents, strict=True) if not is_exact(amps)]
    rated, field = _cranking_rating(boat, contact)
    return judged(
        "over-cranking-rating",
        (contact.key,),
        safe=most <= low(rated, 0.0),
        hopeless=least > high(rated),
        lacks=(*(() if is_exact(rated) else (f"{contact.key} {field}",)), *lacks),
        values={"switch": item_name(boat, contact.key), "rated": high(rated, 0.0), "load": least},
    )


def _cranking_rating(boat: Boat, contact: Device) -> tuple[Quantity, str]:
    """The cranking rating; where it is not said a continuous or intermittent rating is good for as much."""
    part = boat.part_of(contact.edge)
    named = [(quantity(part, name), name) for name in ("cranking_rating_a", "intermittent_a", "rating_a")]
    return next(((value, name) for value, name in named if value is not None), (None, "cranking_rating_a"))


def _fed(boat: Boat, contact: Device) -> Iterator[Outcome]:
    """Compare with the devices that are reached from its outgoing side first."""
    rated = boat.rating_of(contact.edge)
    nodes = reach(boat.wires, [contact.b], lambda edge: edge.kind in (*DEVICES, "contact"))
    ratings = [boat.rating_of(edge) for node in nodes for _, edge in web_of(boat.wires)[node] if edge.kind in DEVICES]
    if ratings and not is_cranking(boat, contact):
        least, most = max(low(size, 0.0) for size in ratings), max(map(high, ratings))
        yield judged(
            "below-fed-device",
            (contact.key,),
            safe=most <= low(rated, 0.0),
            hopeless=least > high(rated),
            lacks=(f"{contact.key} rating_a",),
            values={"switch": item_name(boat, contact.key), "rated": high(rated, 0.0), "load": least},
        )

"""Rule outlet-without-residual."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.graph.boat import Boat, quantity
from engine.graph.poles import Node
from engine.model.network import AC_LINES, Part
from engine.model.quantity import high, is_exact, low
from engine.rules.ac.system import AcSystem, ac_of, has_value, reach_up_to
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, cannot_tell, meets, rule

LIMIT_MA: Mapping[Book, float] = {"e11": 5.0, "iso13297": 10.0}
WET: Mapping[str, str] = {"galley": "galley", "head": "head", "engine": "machinery space", "deck": "deck"}
"""Kinds of compartment in which an outlet needs the device, and what they are called."""


@rule(
    "outlet-without-residual",
    title="AC outlet in a wet place without its own residual protection",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as two boating pages and a dealer quote it",
            "Receptacles in heads, galleys, machinery spaces and on weather decks have 5 mA protection.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297",
            "Socket-outlets in galley, head, machinery space or on deck are protected by a device of 10 mA.",
            "memory",
        ),
    ),
    wordings={
        "unprotected": Wording(
            "danger",
            "{outlet} is in the {place} and no residual-current device of at most {limit} mA protects it.",
            "Fit an outlet with residual protection of {limit} mA, or feed {outlet} through such a device.",
        )
    },
    parameters=(
        Parameter("trip_ma_us", 5.0, "mA", "ABYC E-11, quoted second hand", "secondary"),
        Parameter("trip_ma_iso", 10.0, "mA", "ISO 13297, recalled", "memory"),
    ),
    needs="The place of each AC outlet, and the trip current of what protects it.",
)
def outlet_without_residual(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Wet hands, a metal sink, a kettle with a cracked lead. The device that protects the whole boat is too coarse for the
    hand that holds the fault."""
    outlets = boat.with_role("outlet_ac")
    if outlets:
        ac = ac_of(boat)
        sure, perhaps = _bare(ac, LIMIT_MA[book], unknown=False), _bare(ac, LIMIT_MA[book], unknown=True)
        for outlet in (outlet for outlet in outlets if ac.feeding(outlet)):
            yield _answer(ac, outlet, LIMIT_MA[book], sure, perhaps)


def _bare(ac: AcSystem, limit_ma: float, *, unknown: bool) -> set[Node]:
    """Line terminals that a source reaches past every fine enough element; unknown: those that may be fine enough count."""
    fine = [each for each in ac.residuals if (low(each.trip_ma, 0.0) if unknown else high(each.trip_ma)) <= limit_ma]
    lines = [line for source in ac.sources for line in source.lines]
    return reach_up_to(ac.lines, lines, ac.spanned(fine))


def _answer(ac: AcSystem, outlet: Part, limit_ma: float, sure: set[Node], perhaps: set[Node]) -> Outcome:
    boat, subject = ac.boat, f"part:{outlet.id}"
    own = has_value(boat.kind(outlet), "residual_ma")
    trip_ma = quantity(outlet, "residual_ma")
    lines = boat.terminals_of(outlet, AC_LINES)
    place = _place(boat, outlet)
    if place == "elsewhere" or not sure.intersection(lines) or (own and high(trip_ma) <= limit_ma):
        return meets("unprotected", subject)
    lacks = [] if place else [f"{subject} where"]
    lacks += [f"{subject} residual_ma"] if own and low(trip_ma, 0.0) <= limit_ma else []
    if not perhaps.intersection(lines):
        lacks += [each.field for each in ac.residuals if not is_exact(each.trip_ma)]
    if lacks:
        return cannot_tell("unprotected", subject, lacks=tuple(lacks))
    return breaks("unprotected", subject, outlet=boat.name(outlet), place=place, limit=limit_ma)


def _place(boat: Boat, outlet: Part) -> str:
    """Where the outlet is: what it says itself, else its compartment; "" when neither tells."""
    said = outlet.values.get("where")
    if isinstance(said, str) and said:
        return said
    space = boat.compartments.get(outlet.compartment)
    return WET.get(space.kind, "elsewhere") if space else ""

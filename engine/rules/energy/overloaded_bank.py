"""Rule overloaded-bank."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.graph.boat import Boat, quantity
from engine.model.network import Part
from engine.model.quantity import above_nothing, high, low
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import Bound, judged
from engine.rules.energy.banks import batteries_at, keys, live_ends, names, stated, summed

INVERTERS = frozenset({"inverter", "inverter_charger"})
EFFICIENCY = 0.9
WINDLASS_RATE = 1.0
PRACTICE = "common practice, no source"


@rule(
    "overloaded-bank",
    title="Bank too small for its inverter or windlass",
    books=("any",),
    basis=(
        Basis("any", PRACTICE, "An inverter at full power does not empty a lead bank in less than three hours, nor a lithium bank "
              "in less than one. A windlass draws no more amperes than its bank has Ah.", "practice"),
    ),
    wordings={
        "inverter": Wording(
            "advice",
            "{load} draws {current} A at full power, and {banks} gives {may} A for that long.",
            "Enlarge the bank, or use less power for short times only.",
            "{watts} W / 0.9 / {volts} V = {current} A against {may} A",
        ),
        "windlass": Wording(
            "advice",
            "{load} draws {current} A, and {banks} has {may} Ah.",
            "Feed it from a larger bank, or run the engine whenever it works.",
            "{current} A against {may} Ah × 1/h",
        ),
    },
    parameters=(
        Parameter("least time to empty a lead bank", 3, "h", PRACTICE, "memory"),
        Parameter("least time to empty a lithium bank", 1, "h", PRACTICE, "memory"),
        Parameter("efficiency of an inverter", EFFICIENCY, "of what it draws", PRACTICE, "memory"),
        Parameter("largest current of a windlass", WINDLASS_RATE, "A for each Ah", PRACTICE, "memory"),
    ),
    needs="Power and voltage of inverters, current of windlasses; capacity and chemistry of the batteries that feed them.",
)  # fmt: skip
def overloaded_bank(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A bank that is asked for more than it can give sags: the inverter cuts off at half charge, the windlass slows down and
    burns its brushes, and both age the bank fast. Lithium's management disconnects instead."""
    for part in boat.network.parts:
        if part.kind in INVERTERS:
            batteries = batteries_at(boat, [(part.id, *end) for end in _inputs(boat, part)])
            yield from [_inverter(boat, part, batteries)] if batteries else []
        elif part.kind == "windlass":
            batteries = batteries_at(boat, live_ends(boat, part, "load"))
            yield from [_windlass(boat, part, batteries)] if batteries else []


def _inputs(boat: Boat, part: Part) -> Iterator[tuple[str, str]]:
    return (link.a for link in boat.links(part) if link.kind == "converter" and link.a[1] == "+")


def _inverter(boat: Boat, part: Part, batteries: Sequence[Part]) -> Outcome:
    watts, volts = stated(part, "continuous_w"), _volts(batteries)
    current = Bound(watts.least / volts.most / EFFICIENCY, watts.most / max(volts.least, 1e-9) / EFFICIENCY)
    gives_more, gives = summed(batteries, "inverter_bank_c", lambda hours: 1 / hours.least)
    said = {
        "load": boat.name(part), "banks": names(boat, batteries), "current": current.text, "may": gives_more.text,
        "watts": watts.text, "volts": volts.text,
    }  # fmt: skip
    lacks = (*watts.lacks, *volts.lacks, *gives.lacks)
    safe, hopeless = current.most <= gives.least, current.least > gives_more.most
    return judged("inverter", keys(part, batteries), safe=safe, hopeless=hopeless, lacks=lacks, values=said)


def _volts(batteries: Sequence[Part]) -> Bound:
    """The voltage of batteries in parallel: that of the first that states it."""
    known = next((part for part in batteries if above_nothing(quantity(part, "nominal_v")) is not None), None)
    if known is None:
        return Bound(1.0, float("inf"), tuple(f"part:{part.id} nominal_v" for part in batteries))
    value = quantity(known, "nominal_v")
    return Bound(low(value), high(value), stated(known, "nominal_v").lacks)


def _windlass(boat: Boat, part: Part, batteries: Sequence[Part]) -> Outcome:
    current, capacity = stated(part, "running_a"), [stated(each, "capacity_ah") for each in batteries]
    may = Bound(sum(each.least for each in capacity), sum(each.most for each in capacity))
    lacks = (*current.lacks, *(field for each in capacity for field in each.lacks))
    said = {"load": boat.name(part), "banks": names(boat, batteries), "current": current.text, "may": may.text}
    safe, hopeless = current.most <= WINDLASS_RATE * may.least, current.least > WINDLASS_RATE * may.most
    return judged("windlass", keys(part, batteries), safe=safe, hopeless=hopeless, lacks=lacks, values=said)

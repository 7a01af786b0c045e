"""Can each fuse and breaker open the short-circuit current that its batteries or its shore supply can drive?"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from functools import lru_cache

import msgspec

from engine.electrics.interrupting import (
    LARGE_BANK_AH,
    LARGE_BANK_CCA_A,
    InterruptingNeed,
    Position,
    ac_need,
    ac_services,
    dc_need,
)
from engine.electrics.sources import ElectricsError
from engine.graph.boat import DEVICES, Boat, quantity
from engine.graph.poles import Node
from engine.graph.sources import Source
from engine.model.network import AC_LINES, Part
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.devices import Device, devices_in, every_device, first_devices
from engine.rules.each import Turn, of_each
from engine.rules.protected import item_name

BASIS = (
    Basis("e11", "ABYC E-11, table of interrupting capacity", "By the cold cranking amperes of all batteries connected and by "
          "whether the device is the first after the source; over 2200 CCA or 500 Ah by the battery maker's short-circuit "
          "rating; AC by the shore service.", "secondary"),
)  # fmt: skip


Pick = Callable[[Quantity], float]


class Bank(msgspec.Struct, frozen=True):
    """Batteries counted together; a sum is None where one of them does not say."""

    ids: tuple[str, ...]
    cca_a: Quantity
    ah: Quantity
    short_circuit_a: Quantity
    nominal_v: float

    def lacks(self, large: bool) -> tuple[str, ...]:
        """The fields that would settle what is required."""
        field = "short_circuit_a" if large or self.cca_a is not None else "cca_a"
        return tuple(f"part:{id} {field}" for id in self.ids)


def _touched(turn: Turn, book: Book) -> Collection[str] | None:
    if turn.sources_differ or not (turn.same(_banks) and turn.same(_supplies)):
        return None
    first = turn.before.carry_wiring(first_devices) ^ turn.now.carry_wiring(first_devices)
    return first | devices_in(turn.now, turn.parts | turn.parts_elsewhere)


@rule(
    "weak-interrupting-capacity",
    title="Fuse or breaker that cannot open a short circuit",
    books=("e11",),
    basis=BASIS,
    wordings={
        "too-weak": Wording(
            severity="danger",
            sentence="{device} can interrupt {rated} A; here {required} A is wanted.",
            remedy="Fit a device that interrupts at least {required} A, or one before it that limits the current.",
            formula="{rated} A < {formula}",
        )
    },
    needs="Interrupting rating of each device; cranking amperes of each battery, of a large bank its maker's short-circuit "
    "rating. An AC service that is not in the table is not asked.",
)
@of_each(every_device, _touched)
def weak_interrupting_capacity(boat: Boat, book: Book, device: Device) -> Iterator[Outcome]:
    """When a short circuit drives more current than a device can break, its contacts weld or the arc goes on inside, and the
    device burns instead of the fault going out. Batteries drive thousands of amperes, lithium banks more than most
    breakers can open."""
    position: Position = "main" if device.key in boat.carry_wiring(first_devices) else "branch"
    banks = boat.derive(_banks)
    if device.a[2] in AC_LINES:
        yield from _ac(boat, device, position)
    elif (total := banks.joined.get(boat.islands.get(device.a))) is not None:
        own = _bank(boat, [source for node in (device.a, device.b) for source in banks.near.get(node, ())])
        yield _judge(boat, device, *_needs(total, own or total, position))


class _Banks(msgspec.Struct, frozen=True):
    """What batteries are together: by island all that can drive current to it, by node those from which no device parts it."""

    joined: Mapping[Node | None, Bank | None]
    near: Mapping[Node, list[Source]]


def _banks(boat: Boat) -> _Banks:
    joined: dict[Node, list[Source]] = {}
    near: dict[Node, list[Source]] = {}
    for source in boat.sources:
        if source.kind == "battery" and source.live in boat.islands:
            joined.setdefault(boat.islands[source.live], []).append(source)
            for node in boat.reached(source.live, "up to devices", lambda edge: edge.kind in DEVICES):
                near.setdefault(node, []).append(source)
    return _Banks({island: _bank(boat, sources) for island, sources in joined.items()}, near)


def _supplies(boat: Boat) -> frozenset[Node | None]:
    """The islands of the shore supplies."""
    return frozenset(boat.islands.get(source.live) for source in boat.sources if source.kind == "shore")


def _bank(boat: Boat, sources: list[Source]) -> Bank | None:
    if not sources:
        return None
    parts = [source.part for source in sources]
    cca, ah, short = (_sum(boat, parts, name) for name in ("cca_a", "capacity_ah", "short_circuit_a"))
    volts = max(low(quantity(part, "nominal_v"), 12.0) for part in parts)
    return Bank(tuple(part.id for part in parts), cca, ah, short, volts)


def _sum(boat: Boat, parts: list[Part], name: str) -> Quantity:
    """Batteries in parallel add; None where one does not say."""
    values = [quantity(part, name) for part in parts]
    if any(value is None for value in values):
        return None
    return sum(map(low, values)), sum(map(high, values))


@lru_cache(maxsize=256)
def _needs(
    total: Bank, own: Bank, position: Position
) -> tuple[InterruptingNeed | None, InterruptingNeed | None, tuple[str, ...]]:
    """What is required at the least and at the most; None where it cannot be said, with the fields."""
    large = position == "main" and (high(own.cca_a, 0.0) > LARGE_BANK_CCA_A or high(own.ah, 0.0) > LARGE_BANK_AH)
    least, most = (_need(total, own, position, pick) for pick in (low, high))
    if least is not None and most is not None and least.required_a == most.required_a:
        return least, most, ()
    return least, most, own.lacks(True) if large else total.lacks(False)


def _need(total: Bank, own: Bank, position: Position, pick: Pick) -> InterruptingNeed | None:
    cca, own_cca, own_ah = (_picked(value, pick) for value in (total.cca_a, own.cca_a, own.ah))
    short = _picked(own.short_circuit_a, pick)
    if cca is None and short is not None:
        own_cca = LARGE_BANK_CCA_A + 1  # without cranking amperes the maker's short-circuit rating is what there is
    try:
        if position == "main" and ((own_cca or 0) > LARGE_BANK_CCA_A or (own_ah or 0) > LARGE_BANK_AH):
            return dc_need(own_cca, own.nominal_v, "main", total_ah=own_ah, maker_short_circuit_a=short)
        if cca is None and short is not None:
            return dc_need(own_cca, own.nominal_v, "main", maker_short_circuit_a=short)
        return dc_need(cca, total.nominal_v, position, "older")
    except ElectricsError:
        return None


def _picked(value: Quantity, pick: Pick) -> float | None:
    return None if value is None else pick(value)


def _ac(boat: Boat, device: Device, position: Position) -> Iterator[Outcome]:
    for source in boat.sources:
        if source.kind == "shore" and boat.islands.get(source.live) == boat.islands.get(device.a, device.a):
            service = _service(source)
            if service in ac_services():
                need = ac_need(service, position)
                yield _judge(boat, device, need, need, ())
                return


def _service(source: Source) -> str:
    volts, amps = quantity(source.part, "nominal_v"), quantity(source.part, "service_a")
    return f"{low(volts, 0):.4g} V {low(amps, 0):.4g} A"


def _judge(
    boat: Boat, device: Device, least: InterruptingNeed | None, most: InterruptingNeed | None, lacks: tuple[str, ...]
) -> Outcome:
    rated = interrupting_of(boat, device)
    return judged(
        "too-weak",
        (device.key,),
        safe=most is not None and low(rated, 0.0) >= most.required_a,
        hopeless=least is not None and high(rated) < least.required_a,
        lacks=(*(() if is_exact(rated) else (interrupting_field(device),)), *lacks),
        values=lambda: {
            "device": item_name(boat, device.key),
            "rated": high(rated, 0.0),
            "required": least.required_a if least else "?",
            "formula": least.formula if least else "?",
        },
        sources=most.sources if most else (),
    )


def interrupting_of(boat: Boat, device: Device) -> Quantity:
    """A device's interrupting rating, A."""
    return boat.stated(device.edge, "interrupting_a")


def interrupting_field(device: Device) -> str:
    """The field that holds it."""
    return f"{device.key} interrupting_a"

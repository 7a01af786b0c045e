"""Is each fuse and breaker made for the voltage of its system?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat, quantity
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import Bound, judged
from engine.rules.devices import Device, devices, devices_in, voltage_at, voltages
from engine.rules.each import Turn, of_each, unbonded_of

BASIS = (
    Basis("33cfr183", "33 CFR 183.455(d), 2015 edition", "The voltage rating of a fuse or breaker is not below the nominal voltage "
          "of its circuit.", "published"),
    Basis("e11", "ABYC E-11", "The voltage rating of a device is at least that of the system.", "secondary"),
    Basis("iso13297", "ISO 10133:2012, clause 8", "The voltage rating of a fuse is not below the nominal circuit voltage.",
          "memory"),
)  # fmt: skip


def _rated(boat: Boat, book: Book) -> Mapping[str, Device]:
    """Those that have a voltage rating."""
    kinds = boat.carry_parts(_rated_kinds)
    return {device.key: device for device in devices(boat) if device.edge.part and device.edge.part.kind in kinds}


def _touched(turn: Turn, book: Book) -> Collection[str] | None:
    if turn.sources_differ or not turn.same(voltages):
        return None
    elsewhere = frozenset([node[0] for node in turn.differing(unbonded_of)])
    return devices_in(turn.now, turn.parts | elsewhere)


@rule(
    "low-voltage-device",
    title="Fuse or breaker for a lower voltage",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "below-system": Wording(
            severity="requirement",
            sentence="{device} is made for {rated} V, but its system has {system} V.",
            remedy="Fit a device rated for at least {system} V.",
            formula="{rated} V < {system} V",
        )
    },
    needs="Voltage rating of each device, nominal voltage of each source. Ways of panels have no voltage rating to ask.",
)
@of_each(_rated, _touched)
def low_voltage_device(boat: Boat, book: Book, device: Device) -> Iterator[Outcome]:
    """A fuse that opens at a voltage above its own does not put out its arc: the glass or the plastic burns instead. A car
    fuse for 32 V in a 48 V system is such a one."""
    system = voltage_at(boat, device.a)
    if system is not None:
        yield _judge(boat, device, system)


def _rated_kinds(boat: Boat) -> frozenset[str]:
    """The kinds of parts that have a voltage rating."""
    return frozenset(
        name for name, kind in boat.library.items() if any(value.name == "voltage_v" for value in kind.value)
    )


def _judge(boat: Boat, device: Device, system: Bound) -> Outcome:
    part = boat.part_of(device.edge)
    rated = quantity(part, "voltage_v")
    return judged(
        "below-system",
        (device.key,),
        safe=system.most <= low(rated, 0.0),
        hopeless=system.least > high(rated),
        lacks=(*(() if is_exact(rated) else (f"{device.key} voltage_v",)), *system.lacks),
        values={"device": boat.name(part), "rated": high(rated, 0.0), "system": system.text},
    )

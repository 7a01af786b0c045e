"""Rule interrupting-below-computed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from engine.graph.boat import Boat
from engine.graph.poles import Node
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.devices import Device, devices
from engine.rules.overcurrent.weak_interrupting_capacity import interrupting_field, interrupting_of
from engine.rules.protected import item_name
from engine.studies.corners import at_end, ranged_fields
from engine.studies.fault_bounds import alone_sources, most_from
from engine.studies.guards import guards

if TYPE_CHECKING:
    from engine.studies.faults import FaultLevel

CURRENT_LIMITING = ("class-t",)


@rule(
    "interrupting-below-computed",
    title="Fuse or breaker that cannot open the computed short circuit",
    books=("iso13297",),
    basis=(
        Basis("iso13297", "ISO 13297:2020 (from memory)", "A device can interrupt the largest short-circuit current that can come "
              "at its place.", "memory"),
    ),
    wordings={
        "too-weak": Wording(
            "danger",
            "{device} can interrupt {rated} A; a short circuit beside it draws up to {current} A.",
            "Fit a device that interrupts at least {current} A, or one before it that limits the current.",
            "{rated} A < {current} A, computed with every source at once, batteries full, conductors cold",
        )
    },
    needs="Interrupting rating of each DC device; resistance or short-circuit current of each battery; length and size of the "
    "wires. What comes through a class T fuse that is strong enough itself counts as limited by it (common practice; the maker "
    "confirms which devices may stand behind which). AC is not asked: what the marina's supply can drive stands on no drawing.",
    slow=True,
)  # fmt: skip
def interrupting_below_computed(boat: Boat, book: Book) -> Iterator[Outcome]:
    """When a short circuit drives more than a device can break, its contacts weld or the arc burns on inside. ISO gives no table by
    battery size: the current has to be worked out, from every source and every metre of cable."""
    reached = boat.derive(_reached)
    for device in devices(boat):
        if device.a[2] == "+" and (device.a in reached or device.b in reached):
            yield _judge(boat, device)


def _reached(boat: Boat) -> frozenset[Node]:
    """Where a battery can drive current."""
    return frozenset(node for alone in alone_sources(boat) for node in alone.trail.at if node[2] == "+")


def _judge(boat: Boat, device: Device) -> Outcome:
    rated = interrupting_of(boat, device)
    least = most = most_from(boat)
    lacks: tuple[str, ...] = ()
    if rated is not None and low(rated, 0.0) < most:
        most, lacks = _computed(boat, device)
        least = 0.0 if lacks or high(rated) >= most else _computed(at_end(boat, "least"), device)[0]
        lacks = (*lacks, *_ranged(boat, device))
    return judged(
        "too-weak",
        (device.key,),
        safe=rated is not None and low(rated, 0.0) >= most,
        hopeless=rated is not None and high(rated) < least,
        lacks=(*(() if is_exact(rated) else (interrupting_field(device),)), *lacks),
        values=lambda: {
            "device": item_name(boat, device.key),
            "rated": high(rated, 0.0),
            "current": round(most) if most < math.inf else "?",
        },
    )


def _computed(boat: Boat, device: Device) -> tuple[float, tuple[str, ...]]:
    """The largest current through the device that nothing before it limits, and the fields without which it is only a bound."""
    from engine.studies.faults import fault_levels
    from engine.studies.protection import through

    levels = [level for at in (device.a, device.b) if (level := fault_levels(boat).get(at)) and level.shares]
    if not levels:
        return 0.0, ()
    vague = tuple(dict.fromkeys(field for level in levels for field in level.lacks))
    if vague:
        return math.inf, vague
    limited = _limited(boat, device)
    open_share = max(
        sum(share.current_a for share in level.shares if share.part not in limited) / level.most_a for level in levels
    )
    current_a = through(boat, device.a, device.b, device.key) * min(open_share, 1.0)
    return current_a, tuple(dict.fromkeys(_vague(boat, levels))) if current_a > 0 else ()


def _ranged(boat: Boat, device: Device) -> tuple[str, ...]:
    """The fields that hold a range, of the sources that drive the current and of the ways on which it comes."""
    from engine.studies.faults import fault_levels
    from engine.studies.protection import trees, way

    levels = fault_levels(boat)
    shares = {(share.part, at) for at in (device.a, device.b) if at in levels for share in levels[at].shares}
    known = trees(boat)
    steps = [step for part, at in sorted(shares) if part in known for step in way(boat, part, at)]
    return ranged_fields(boat, (*(f"part:{part}" for part, _ in sorted(shares)), *(step.edge.key for step in steps)))


def _limited(boat: Boat, device: Device) -> frozenset[str]:
    """The sources whose way to the device leads through a class T fuse."""
    known = guards(boat)
    found = set()
    for alone in alone_sources(boat):
        stops = [alone.trail.stops[alone.trail.at[at]] for at in (device.a, device.b) if at in alone.trail.at]
        passed = {key for stop in stops[:1] for key in stop.guards if key != device.key}
        if any(known[key].series == CURRENT_LIMITING for key in passed if key in known):
            found.add(alone.source.supply.part.id)
    return frozenset(found)


def _vague(boat: Boat, levels: Sequence[FaultLevel]) -> Iterator[str]:
    for level in levels:
        yield from level.lacks
        for share in level.shares:
            if boat.role(boat.parts[share.part]) == "battery" and not _stated(boat, share.part):
                yield f"part:{share.part} short_circuit_a"


def _stated(boat: Boat, part_id: str) -> bool:
    values = boat.parts[part_id].values
    return values.get("internal_mohm") is not None or values.get("short_circuit_a") is not None

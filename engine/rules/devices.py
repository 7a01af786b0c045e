"""What flows through a device or a switch in service, and on which system it sits: shared by the rules about devices."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence

import msgspec

from engine.graph.boat import DEVICES, LIVE_POLES, Boat, Earlier, quantity
from engine.graph.demand import Demand
from engine.graph.listed import web_of
from engine.graph.poles import Edge, Node
from engine.model.network import AC_LINES, Part, Run
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Book
from engine.rules.bounds import Bound
from engine.rules.each import Turn, runs_of

Cores = tuple[tuple[str, str], ...]
"""(run id, pole) of some cores."""


class Device(msgspec.Struct, frozen=True):
    """A fuse, breaker or contact with the two nodes it lies between; of a device with several poles, its first live one."""

    key: str
    edge: Edge
    a: Node
    b: Node
    cores: tuple[Cores, Cores]
    """The cores that land on either side."""


def devices(boat: Boat) -> tuple[Device, ...]:
    """Every fuse and breaker once."""
    return boat.carry_on("devices", lambda earlier: _made(boat, earlier))


def every_device(boat: Boat, book: Book) -> Mapping[str, Device]:
    """The same by their keys."""
    return boat.carry_wiring(_by_key)


def _by_key(boat: Boat) -> Mapping[str, Device]:
    return {device.key: device for device in devices(boat)}


def devices_in(boat: Boat, parts: Container[str]) -> frozenset[str]:
    """The keys of the devices in some of the parts."""
    return frozenset([device.key for device in devices(boat) if device.a[0] in parts])


def devices_beside(turn: Turn, cores: Iterable[tuple[str, str]]) -> frozenset[str]:
    """The keys of the devices in parts that differ, and of those at whose sides runs came or went, or one of these cores lands; the
    ways of a panel are beside its feed."""
    at = turn.ports_at(turn.runs | runs_of(cores))
    at |= {(part, "bus") for part, port in at if port == "feed"}
    known = ((device.key, device.a, device.b) for device in devices(turn.now))
    return frozenset([key for key, a, b in known if a[0] in turn.parts or a[:2] in at or b[:2] in at])


def contacts(boat: Boat) -> tuple[Device, ...]:
    """Every contact of a switch or relay that stands on a live pole."""
    listed = (_device(boat, edge) for _, _, edge in boat.inside("contact"))
    return tuple(each for each in listed if each.a[2] in LIVE_POLES and not each.edge.key.startswith("position:"))


def _made(boat: Boat, earlier: Earlier[tuple[Device, ...]] | None) -> tuple[Device, ...]:
    """Where they were made before, the same objects but in parts that are wired otherwise."""
    known = {each.key: each for each in earlier.made if each.a[0] not in earlier.parts} if earlier is not None else {}
    return tuple([known.get(edge.key) or _device(boat, edge) for edge in boat.carry_parts(_once)])


def _once(boat: Boat) -> tuple[Edge, ...]:
    """Of each device the first live link."""
    found: dict[str, Edge] = {}
    for a, _, edge in boat.devices():
        if a[2] in LIVE_POLES:
            found.setdefault(edge.key, edge)
    return tuple(found.values())


def _device(boat: Boat, edge: Edge) -> Device:
    """With its nodes in the order of the link: a is the side of the panel's bus, or the first port."""
    assert edge.part is not None
    assert edge.link is not None
    a, b = (edge.part.id, *edge.link.a), (edge.part.id, *edge.link.b)
    return Device(edge.key, edge, a, b, (_cores_at(boat, a), _cores_at(boat, b)))


def _cores_at(boat: Boat, node: Node) -> Cores:
    return tuple((run.id, node[2]) for run in runs_at_node(boat, node))


def runs_at_node(boat: Boat, node: Node) -> list[Run]:
    """The runs that land on a node with its pole."""
    return [run for run in boat.runs_at.get(node[:2], ()) if node[2] in run.poles]


def flow_through(boat: Boat, device: Device) -> Bound:
    """The current through a device in service, A: the lesser of what the conductors on its two sides carry."""
    carried = ([boat.demand[core] for core in side if core in boat.demand] for side in device.cores)
    sides = [_sum(side) for side in carried if side]
    if not sides:
        return Bound(0, 0)
    least = min(sides, key=lambda side: side.most)
    return Bound(min(side.least for side in sides), least.most, least.lacks)


def _sum(found: Sequence[Demand]) -> Bound:
    lacks = tuple(field for demand in found for field in demand.unknown)
    return Bound(sum(demand.least_a for demand in found), sum(demand.most_a for demand in found), lacks)


def is_cranking(boat: Boat, device: Device) -> bool:
    """Whether a starter's cable lands on either side of it."""
    return any(run.cranking for node in (device.a, device.b) for run in runs_at_node(boat, node))


def first_devices(boat: Boat) -> frozenset[str]:
    """The keys of the devices that are first in series with a battery or an AC source."""
    found: set[str] = set()
    seen = {place.live for place in boat.source_places if place.kind == "battery" or place.live[2] in AC_LINES}
    queue = list(seen)
    while queue:
        for other, edge in web_of(boat.wires)[queue.pop()]:
            if edge.kind in DEVICES:
                found.add(edge.key)
            elif other not in seen and other[2] in LIVE_POLES:
                seen.add(other)
                queue.append(other)
    return frozenset(found)


def voltage_at(boat: Boat, node: Node) -> Bound | None:
    """Nominal voltage of the system that a live node belongs to, V; None where nothing feeds it."""
    return boat.derive(voltages).get(boat.unbonded.get(node, node)) if node[2] in LIVE_POLES else None


def voltages(boat: Boat) -> Mapping[Node, Bound]:
    """By island the highest voltage of its batteries, or of what else feeds it."""
    feeding: dict[Node, list[Part]] = {}
    for source in boat.sources:
        if source.live in boat.unbonded and (source.kind != "generator" or source.is_ac):
            feeding.setdefault(boat.unbonded[source.live], []).append(source.part)
    found: dict[Node, Bound] = {}
    for island, parts in feeding.items():
        batteries = [part for part in parts if boat.role(part) == "battery"]
        found[island] = max((_nominal(part) for part in batteries or parts), key=lambda bound: bound.most)
    return found


def _nominal(part: Part) -> Bound:
    field = "output_v" if "output_v" in part.values else "nominal_v"
    value = quantity(part, field)
    return Bound(low(value, 0.0), high(value), () if is_exact(value) else (f"part:{part.id} {field}",))

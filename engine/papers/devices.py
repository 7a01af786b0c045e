"""Every fuse and breaker of the boat as an owner meets it: where it is, what it protects, what may be fitted.

Facts only; knows no layout.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from engine.graph.boat import Boat
from engine.graph.poles import Edge, Node
from engine.messages import tr
from engine.model.network import Part, Position, Run
from engine.model.quantity import Quantity, as_quantity, high, low
from engine.papers import figures
from engine.papers.circuits import Limit, Reach, behind, far_side, largest_rating, steps_from_sources, wire_limit
from engine.papers.panels import feed_use
from engine.papers.supply import supply_of
from engine.rules.api import Book
from engine.rules.families import family_of

LIVE = figures.LIVE


class Device(msgspec.Struct, frozen=True):
    """One fuse or breaker: of its own, a panel's main, or in a way of a panel."""

    part: Part
    edge: Edge
    position: Position | None
    rating_a: Quantity
    reach: Reach
    limit: Limit

    @property
    def is_breaker(self) -> bool:
        """A breaker is reset; a fuse is replaced."""
        return self.edge.kind == "breaker"

    @property
    def in_panel(self) -> bool:
        """A way of a panel, or its main device."""
        return self.position is not None or _is_main(self.edge)

    @property
    def too_large(self) -> bool:
        """Whether the one fitted is larger than its wire surely allows."""
        limit = self.limit
        return limit.limit_a is not None and not limit.lacks and high(self.rating_a, 0.0) > limit.limit_a + 1e-9


def devices_of(boat: Boat, books: Sequence[Book]) -> tuple[Device, ...]:
    """Every device: those on their own first, then panel by panel; spare ways are left out."""
    near = steps_from_sources(boat)
    found = [_device(boat, a, b, edge, near, books) for a, b, edge in _edges(boat)]
    return tuple(sorted(found, key=_order))


def _order(device: Device) -> tuple[bool, object]:
    """Those on their own first, then panel by panel; ways stay in the order of their panel."""
    return (device.in_panel, figures.natural_key(device.part.designation))


def _edges(boat: Boat) -> Iterator[tuple[Node, Node, Edge]]:
    """One live edge for each device, in the order of the parts; the poles of one device count once."""
    seen: set[tuple[str, str]] = set()
    order = {part.id: number for number, part in enumerate(boat.network.parts)}
    edges = [(a, b, edge) for a, b, edge in boat.devices() if a[2] in LIVE and edge.part and edge.link]
    for a, b, edge in sorted(edges, key=lambda found: order[found[0][0]]):
        assert edge.link is not None
        part = boat.part_of(edge)
        name = (part.id, edge.link.position or f"{edge.link.a[0]}-{edge.link.b[0]}")
        position = boat.position(part, edge.link.position)
        if name not in seen and (position is None or position.state == "used"):
            seen.add(name)
            yield a, b, edge


def _device(boat: Boat, a: Node, b: Node, edge: Edge, near: object, books: Sequence[Book]) -> Device:
    assert edge.link is not None
    part = boat.part_of(edge)
    position = boat.position(part, edge.link.position)
    far = _outgoing(part, edge, position) or far_side(boat, a, b, near)  # type: ignore[arg-type]
    starts = _all_poles(boat, far)
    reached = behind(boat, starts, {part.id})
    beside = {(run.id, pole): _beside(boat, edge.key, run, pole) for run, pole in reached.runs}
    limit = wire_limit(boat, reached.runs, books, family_of(edge), *feed_use(reached), beside)
    if _is_main(edge):
        limit = _main_limit(boat, part, edge, books)
    return Device(part, edge, position, boat.rating_of(edge), reached, limit)


def _main_limit(boat: Boat, panel: Part, edge: Edge, books: Sequence[Book]) -> Limit:
    """A panel's main device: no larger than the feeder's wire and the bus allow."""
    run = supply_of(boat, (panel.id, "feed", edge.pole)).conductor
    bus = as_quantity(panel.values.get("bus_a"))
    if run is None or bus is None:
        return Limit(None)
    limit = wire_limit(boat, [(run, edge.pole)], books, family_of(edge), "panel-feed", low(bus))
    if limit.limit_a is None or limit.limit_a <= low(bus):
        return limit
    return Limit(largest_rating(low(bus), family_of(edge)), low(bus), run, limit.lacks)


def _beside(boat: Boat, key: str, run: Run, pole: str) -> float:
    """What else is pushed through the core together with what passes this device, A: the other parts of that flow."""
    held = boat.held_fitted.get((run.id, pole))
    for feed in (held.a, held.b) if held else ():
        names = dict(feed.by)
        if key in names and len(names) > 1:
            return sum(current_a for name, current_a in feed.by if name != key)
    return 0.0


def _outgoing(part: Part, edge: Edge, position: Position | None) -> Node | None:
    if position is None:
        return None
    return (part.id, f"p{position.key}", edge.pole)


def _all_poles(boat: Boat, node: Node) -> list[Node]:
    return [(node[0], node[1], pole) for pole in sorted(LIVE) if (node[0], node[1], pole) in boat.wires]


def _is_main(edge: Edge) -> bool:
    return edge.link is not None and edge.link.position == "main"


def device_name(edge: Edge, boat: Boat) -> str:
    """ "F5 Panel feed", "A1 DC panel, way 3", "A2 AC panel, main"."""
    assert edge.link is not None
    name = boat.name(boat.part_of(edge))
    if edge.link.position == "main":
        return tr("{panel}, main").format(panel=name)
    if edge.link.position:
        return tr("{panel}, way {key}").format(panel=name, key=edge.link.position)
    return name


def short_name(edge: Edge, boat: Boat) -> str:
    """ "F5", "A1 way 3"."""
    assert edge.link is not None
    part = boat.part_of(edge)
    name = part.designation or part.label or part.id
    if edge.link.position == "main":
        return tr("{panel} main").format(panel=name)
    return tr("{panel} way {key}").format(panel=name, key=edge.link.position) if edge.link.position else name


def rated(edge: Edge, boat: Boat) -> str:
    """ "fuse 10 A", "breaker 30 A", "fuse ? A"."""
    word = tr("breaker") if edge.kind == "breaker" else tr("fuse")
    rating = boat.rating_of(edge)
    return f"{word} {figures.amps(rating)} A"


def fed_by(boat: Boat, part: Part) -> Edge | None:
    """The nearest fuse or breaker through which a load is fed."""
    for port in boat.ports(part):
        for pole in port.poles:
            node = (part.id, port.name, pole)
            if pole in LIVE and boat.runs_at.get((part.id, port.name)):
                supply = supply_of(boat, node)
                if supply.source is not None:
                    return supply.device
    return None


def is_fed(boat: Boat, part: Part) -> bool:
    """Whether any source reaches the part along conductors."""
    return any(
        supply_of(boat, (part.id, port.name, pole)).source is not None
        for port in boat.ports(part)
        for pole in port.poles
        if pole in LIVE and boat.runs_at.get((part.id, port.name))
    )

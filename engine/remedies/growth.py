"""What may still be added to a boat: at each spare way, stud and panel, in amperes and watts, and which limit binds.

Every circuit is counted with its running current at once, as in the checks; whoever never runs two things together may
add more than is said here, but no check knows that. Knows no edit: what is added, `addition` adds.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import msgspec

from engine.electrics.sources import Rulebook
from engine.graph.boat import LIVE_POLES, Boat
from engine.graph.poles import SPLIT_LINES, Node
from engine.graph.sources import to_neutral
from engine.library.expand import live_poles
from engine.messages import tr
from engine.model.network import End, Part, Position
from engine.model.quantity import high, low
from engine.remedies.limits import NOTHING_LEFT, Limit, holder_limit, tightest, upstream_limits
from engine.remedies.probe import carried_poles, probe_at
from engine.rules.api import Book
from engine.rules.bounds import Bound, rulebook
from engine.rules.devices import voltage_at

ROOMY = ("spare", "prepared")


class Room(msgspec.Struct, frozen=True):
    """What may be added at one place. `key` is "position:p4/12" or "stud:p4/s3"; `limits` the tightest first."""

    key: str
    part: Part
    position: Position | None
    end: End
    """Where a new wire would land: the way's port, or the far end of the wire that a prepared way has."""
    poles: tuple[str, ...]
    volts: Bound
    amps: Bound
    limits: tuple[Limit, ...]

    @property
    def binding(self) -> Limit:
        """The limit that leaves least."""
        return self.limits[0]

    @property
    def watts(self) -> Bound:
        """Amperes times the nominal voltage there."""
        return Bound(self.amps.least * self.volts.least, self.amps.most * self.volts.most, self.amps.lacks)

    @property
    def is_dc(self) -> bool:
        """Whether it is a place of the direct-current system."""
        return "+" in self.poles


def rooms(boat: Boat, books: Sequence[Book]) -> tuple[Room, ...]:
    """Every spare and prepared way, panel by panel."""
    return tuple(
        found
        for panel in boat.with_role("dc_panel", "ac_panel")
        for position in panel.positions
        if position.state in ROOMY and (found := room_at(boat, panel, position, books)) is not None
    )


def room_at(boat: Boat, panel: Part, position: Position, books: Sequence[Book]) -> Room | None:
    """What may be added on one way of a panel; None for a way that takes no load that is known."""
    end = _far_end(boat, panel, position)
    poles = carried_poles(boat, end)
    if not live_poles(poles):
        return None
    key = f"position:{panel.id}/{position.key}"
    limits = (holder_limit(panel, position), *_upstream(boat, end, None, books, key))
    return _room(boat, key, panel, position, end, poles, limits)


def _room(
    boat: Boat, key: str, part: Part, position: Position | None, end: End, poles: tuple[str, ...],
    limits: Sequence[Limit],
) -> Room:  # fmt: skip
    _, amps = tightest(limits)
    order = tuple(sorted(limits, key=lambda limit: (limit.room.least, limit.room.most)))
    return Room(key, part, position, end, poles, _volts(boat, end, poles), amps, order)


def _upstream(boat: Boat, end: End, back: End | None, books: Sequence[Book], skip: str) -> tuple[Limit, ...]:
    return upstream_limits(probe_at(boat, end, back), _rulebooks(books), skip)


def _rulebooks(books: Sequence[Book]) -> tuple[Rulebook, ...]:
    return tuple(rulebook(book) for book in books if book != "any")


def _far_end(boat: Boat, panel: Part, position: Position) -> End:
    """The way's own port, or where its one wire goes."""
    port = f"p{position.key}"
    runs = boat.runs_at.get((panel.id, port), ())
    if len(runs) != 1:
        return End(part=panel.id, port=port)
    return runs[0].b if runs[0].a == End(part=panel.id, port=port) else runs[0].a


def _volts(boat: Boat, end: End, poles: Sequence[str]) -> Bound:
    """The nominal voltage at a port, V; of one line of two to the neutral."""
    node: Node = (end.part, end.port, live_poles(tuple(poles))[0])
    found = voltage_at(boat, node)
    if found is None:
        return Bound(0.0, 0.0, ("voltage",))
    if len(SPLIT_LINES.intersection(poles)) == 1:
        return Bound(low(to_neutral(found.least)), high(to_neutral(found.most)), found.lacks)
    return found


def studs(boat: Boat, books: Sequence[Book]) -> tuple[Room, ...]:
    """Every live bus bar: what may be added on a free stud; on a bar that is full, nothing."""
    bars = [bar for bar in boat.with_role("bus") if _is_live_bar(boat, bar)]
    rooms = (_stud_room(boat, bar, books) for bar in bars)
    return tuple(room for room in rooms if room is not None)


def _is_live_bar(boat: Boat, bar: Part) -> bool:
    """A bar whose studs are one node, on a live pole; a terminal block has a node for each way."""
    return any(link.kind == "through" for link in boat.links(bar)) and all(
        pole in LIVE_POLES for port in boat.ports(bar) for pole in port.poles
    )


def free_studs(boat: Boat, bar: Part) -> tuple[str, ...]:
    """The studs of a bar on which nothing lands."""
    return tuple(port.name for port in boat.ports(bar) if not boat.runs_at.get((bar.id, port.name)))


def _stud_room(boat: Boat, bar: Part, books: Sequence[Book]) -> Room | None:
    """None for a bar that nothing feeds: there is no limit to speak of, and nothing to draw."""
    ports = [port.name for port in boat.ports(bar)]
    free = free_studs(boat, bar)
    end = End(part=bar.id, port=(free or ports)[0])
    poles = carried_poles(boat, end)
    limits = _upstream(boat, end, _return_for(boat), books, "")
    if limits and free and not any(limit.sort in ("device", "source") for limit in limits):
        limits = (*limits, _several(bar))
    if not limits:
        return None
    taken = f"{len(ports) - len(free)} of {len(ports)} studs taken"
    full = Limit("stud", f"part:{bar.id}", NOTHING_LEFT, taken, NOTHING_LEFT)
    return _room(boat, f"stud:{bar.id}/{end.port}", bar, None, end, poles, limits if free else (full, *limits))


def _several(bar: Part) -> Limit:
    """Nothing is promised where the current comes by several ways, or by one without a device: no limit is the whole."""
    why = tr("no single fuse or breaker carries all that is drawn there")
    return Limit("several", f"part:{bar.id}", Bound(0.0, math.inf, (f"part:{bar.id} feed",)), why, NOTHING_LEFT)


def _return_for(boat: Boat) -> End | None:
    """A negative bar to which a new return would go: one with a free stud, else any."""
    bars = [part for part in boat.network.parts if part.kind == "bus_negative"]
    open_ = [End(part=bar.id, port=port) for bar in bars for port in free_studs(boat, bar)]
    full = (End(part=bar.id, port=port.name) for bar in bars for port in boat.ports(bar))
    return open_[0] if open_ else next(full, None)


def stays_live(boat: Boat, panel: Part) -> bool:
    """Whether a direct-current panel hangs on a battery with every switch off."""
    return any((panel.id, "feed", "+") in boat.at_rest(battery) for battery in boat.batteries)


def all_rooms(boat: Boat, books: Sequence[Book]) -> Iterator[Room]:
    """Ways, then studs."""
    yield from rooms(boat, books)
    yield from studs(boat, books)

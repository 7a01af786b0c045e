"""What a panel schedule says: for each panel its feed, its ways, its sums. Facts only; knows no layout."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from engine.electrics.protection import Use
from engine.graph.boat import Boat, quantity
from engine.library.expand import live_poles
from engine.model.network import Part, Position, Run
from engine.model.quantity import Quantity, as_quantity, high, low
from engine.papers.circuits import PANELS, Draw, Limit, Reach, behind, position_family, wire_limit
from engine.papers.figures import natural_key
from engine.papers.supply import Supply, supply_of, voltage
from engine.rules.api import Book

SHARE = 0.8
"""Of its rating a device is loaded in service (least device 125 % of the load, a device maker's brief)."""


class Way(msgspec.Struct, frozen=True):
    """One position and what is behind it."""

    position: Position
    runs: tuple[Run, ...]
    """Runs that land on its port."""
    reach: Reach
    draws: Mapping[str, Draw]
    """What it carries in service, A, by live pole."""
    limit: Limit

    @property
    def in_use(self) -> bool:
        """Whether a circuit is on it."""
        return self.position.state == "used"

    def draw(self, pole: str = "") -> Draw:
        """The current in one pole, or the largest of all its poles; nothing known where nothing is reached."""
        wanted = [draw for name, draw in self.draws.items() if not pole or name == pole]
        return max(wanted, key=lambda draw: (draw.most_a, draw.unknown), default=Draw(unknown=1))


class Panel(msgspec.Struct, frozen=True):
    """A panel with everything its schedule prints."""

    part: Part
    is_ac: bool
    poles: tuple[str, ...]
    """Its live poles."""
    supply: Supply
    volts: Quantity
    frequency_hz: Quantity
    bus_a: Quantity
    ways: tuple[Way, ...]

    def used(self, pole: str = "") -> Draw:
        """Every circuit at its full current at once; circuits of other legs left out."""
        return _sum(way.draw(pole) for way in self.ways if way.in_use and (not way.draws or pole in way.draws))

    def with_spares(self, pole: str = "") -> Draw:
        """The same with each spare and prepared way loaded to 80 % of the largest device it takes."""
        return self.used(pole).plus(_sum(spare_load(way) for way in self.room))

    @property
    def room(self) -> tuple[Way, ...]:
        """Spare and prepared ways."""
        return tuple(way for way in self.ways if _is_room(way))

    @property
    def ceiling_a(self) -> tuple[float, str] | None:
        """The smallest known of bus, main device and feed device, A, and which it is."""
        known = (
            (self.bus_a, "bus"), (as_quantity(self.part.values.get("main_rating_a")), "main"), (self.supply.device_a, "feed")
        )  # fmt: skip
        return min(((low(each), name) for each, name in known if each is not None), default=None)

    @property
    def left_a(self) -> float | None:
        """What the ceiling leaves beside the used circuits at their most, A; None where it cannot be told."""
        used = max((self.used(pole) for pole in self.poles), key=lambda each: each.most_a)
        if self.ceiling_a is None or self.bus_a is None or used.unknown or used.most_a == float("inf"):
            return None
        return self.ceiling_a[0] - used.most_a


def panels_of(boat: Boat, books: Sequence[Book]) -> tuple[Panel, ...]:
    """Every panel, DC first, by designation."""
    parts = sorted(
        boat.with_role(*PANELS), key=lambda part: (boat.role(part) == "ac_panel", natural_key(part.designation))
    )
    return tuple(panel_of(boat, part, books) for part in parts)


def panel_of(boat: Boat, part: Part, books: Sequence[Book]) -> Panel:
    """One panel with its ways in order."""
    feed = next((port.poles for port in boat.ports(part) if port.name == "feed"), ())
    poles = live_poles(feed)
    supply = supply_of(boat, (part.id, "feed", poles[0])) if poles else Supply()
    source = supply.source
    return Panel(
        part=part,
        is_ac=boat.role(part) == "ac_panel",
        poles=poles,
        supply=supply,
        volts=voltage(source) if source else None,
        frequency_hz=quantity(source, "frequency_hz") if source else None,
        bus_a=quantity(part, "bus_a"),
        ways=tuple(_way(boat, part, position, poles, books) for position in part.positions),
    )


def _way(boat: Boat, part: Part, position: Position, poles: tuple[str, ...], books: Sequence[Book]) -> Way:
    port = f"p{position.key}"
    runs = tuple(boat.runs_at.get((part.id, port), ()))
    starts = [(part.id, port, pole) for pole in poles]
    reached = behind(boat, starts, {part.id})
    family = position_family(position.device)
    limit = wire_limit(boat, reached.runs, books, family, *feed_use(reached))
    return Way(position, runs, reached, _draws(boat, runs, reached, poles), limit)


def feed_use(reached: Reach) -> tuple[Use, float | None]:
    """Whether the conductors feed a panel, and then its bus rating, A: panel feeds have a limit of their own (E-11)."""
    panel = next((panel for panel in reached.panels if panel.id in reached.direct), None)
    if panel is None:
        return "branch", None
    own_main = panel.values.get("main_device") in ("breaker", "fuse")
    bus_a = as_quantity(panel.values.get("bus_a"))
    return ("panel-feed-with-submain" if own_main else "panel-feed"), None if bus_a is None else low(bus_a)


def _draws(boat: Boat, runs: Sequence[Run], reached: Reach, poles: Sequence[str]) -> Mapping[str, Draw]:
    """The loads behind the way; where it feeds another panel, what its conductors carry in service."""
    if not reached.panels:
        return reached.draws
    found: dict[str, Draw] = {}
    for run in runs:
        for pole in poles:
            demand = boat.demand.get((run.id, pole))
            if demand is not None:
                open_ends = 1 if demand.unknown or demand.most_a == float("inf") else 0
                one = Draw(demand.least_a, demand.least_a if open_ends else demand.most_a, open_ends)
                found[pole] = found.get(pole, Draw()).plus(one)
    return found


def _is_room(way: Way) -> bool:
    return way.position.state in ("spare", "prepared")


def largest_device(position: Position) -> Quantity:
    """The largest device the way takes, A: of its holder, or the breaker's own rating."""
    return position.holder_largest_a if position.device == "fuse" else position.rating_a


def spare_load(way: Way) -> Draw:
    """What a spare way may carry one day."""
    largest = largest_device(way.position)
    if largest is None:
        return Draw(unknown=1)
    return Draw(SHARE * low(largest), SHARE * high(largest))


def _sum(draws: Iterable[Draw]) -> Draw:
    total = Draw()
    for draw in draws:
        total = total.plus(draw)
    return total

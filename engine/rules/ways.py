"""The ways whose voltage drop is judged: from a panel or a battery to each load and back, and from the battery to each panel.

Where a DC-DC converter alone feeds a system, it stands for the battery.

Knows lengths and currents along a way, no rulebook.
"""

from __future__ import annotations

from collections.abc import Mapping, Set

import msgspec

from engine.graph.boat import Boat, quantity
from engine.graph.demand import Demand
from engine.graph.paths import Step
from engine.graph.taps import load_current
from engine.model.kept import differing_keys, latest
from engine.model.network import Part, Run
from engine.model.quantity import above_nothing, high, is_exact, low
from engine.rules.bounds import Bound
from engine.rules.routes import Asked, Found, Kind, Route, route_table, stated_voltage

LOWEST_V, HIGHEST_V = 6.0, 60.0
"""Between these the voltage of a DC system on a boat lies when it is not known."""


Core = tuple[Run, str, Demand | None]
"""A core along a way: its run, its pole, and what it carries in service."""


class Way(msgspec.Struct, frozen=True):
    """A way out and back. `part` is the load, or the panel that a feeder feeds; `source` what it starts from."""

    kind: Kind
    part: Part
    source: Part
    out: tuple[Step, ...]
    back: tuple[Step, ...] | None
    """None: the drawing has no way back."""
    battery: Part
    """Or the DC-DC converter, where it alone feeds the system."""
    position: str = ""
    cores: tuple[Core, ...] = ()
    """Out and back."""
    own: int = 0
    """How many of them, from the first, are the circuit's own: up to the panel; of a circuit from the battery up to its own
    first device."""


class _Table(msgspec.Struct, frozen=True, eq=False):
    """The ways of a boat, one for each route, and what they were made of."""

    made: Mapping[Asked, Way] = {}
    found: Mapping[Asked, Found] = {}
    parts: Mapping[str, Part] = {}
    runs: Mapping[str, Run] = {}
    demand: Mapping[tuple[str, str], Demand] = {}

    def other_cores(self, boat: Boat) -> set[tuple[str, str]]:
        """Those whose run is another on the boat, or carries another current."""
        runs = differing_keys(self.runs, boat.runs)
        listed = [known[run] for known in (self.runs, boat.runs) for run in runs if run in known]
        return differing_keys(self.demand, boat.demand) | {(run.id, pole) for run in listed for pole in run.poles}


def ways(boat: Boat) -> tuple[Way, ...]:
    """Every way of the direct-current system whose drop counts."""
    return tuple(boat.derive(ways_asked).values())


def ways_asked(boat: Boat) -> Mapping[Asked, Way]:
    """The same by what was asked of; the same objects for what is as it was on the boat before."""
    before, found = latest.get("ways", _NONE_YET), route_table(boat).found
    parts, cores = differing_keys(before.parts, boat.parts), before.other_cores(boat)
    made: dict[Asked, Way] = {}
    for asked, each in found.items():
        was, route = before.found.get(asked), each.route
        still = was is each or (was is not None and was.route == route)
        still = still and cores.isdisjoint(route.cores) and not (parts and _is_of(route, parts))
        made[asked] = before.made[asked] if still else _way(boat, route)
    latest["ways"] = _Table(made, found, boat.parts, boat.runs, boat.demand)
    return made


_NONE_YET = _Table()


def _is_of(route: Route, parts: Set[str]) -> bool:
    return bool(parts & {route.part, route.source, route.battery})


def _way(boat: Boat, route: Route) -> Way:
    parts, runs, demand = boat.parts, boat.runs, boat.demand
    cores = tuple([(runs[core[0]], core[1], demand.get(core)) for core in route.cores])
    source, battery = parts[route.source], parts[route.battery]
    return Way(route.kind, parts[route.part], source, route.out, route.back, battery, route.position, cores, route.own)


def circuit_current(way: Way) -> Bound:
    """The current of the circuit where it leaves its source: of all its loads, or of the load alone, A."""
    own = load_current(way.part) if way.kind != "feeder" else 0.0
    lacks: tuple[str, ...] = () if is_exact(own) else (f"part:{way.part.id} running_a",)
    least, most = low(own, 0.0), high(own)
    for _, _, demand in way.cores[: way.own]:
        if demand is not None and (way.kind == "feeder" or not demand.in_ring):
            least, most = max(least, demand.least_a), max(most, demand.most_a)
            lacks += demand.unknown
    return Bound(least, most, lacks)


def system_voltage(battery: Part) -> Bound:
    """Nominal voltage of a battery or of a bank as a whole, output voltage of a DC-DC converter, V."""
    field = stated_voltage(battery)
    value = above_nothing(quantity(battery, field))
    lacks = () if is_exact(value) else (f"part:{battery.id} {field}",)
    return Bound(low(value, LOWEST_V), high(value, HIGHEST_V), lacks)

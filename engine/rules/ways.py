"""The ways whose voltage drop is judged: from a panel or a battery to each load and back, and from the battery to each panel.

Where a DC-DC converter alone feeds a system, it stands for the battery.

Knows lengths and currents along a way, no rulebook.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

import msgspec

from engine.graph.boat import DEVICES, Boat, quantity
from engine.graph.demand import Demand
from engine.graph.paths import Step, Tree, tree_from, tree_to, way_up
from engine.graph.poles import Node, PartRef
from engine.graph.sources import Place, Source
from engine.graph.taps import load_current
from engine.model.kept import Kept
from engine.model.network import Part, Run
from engine.model.quantity import above_nothing, high, is_exact, low
from engine.rules.bounds import Bound

Kind = Literal["branch", "feeder", "direct"]
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


class Route(msgspec.Struct, frozen=True):
    """The same by the ids of its parts: where the way leads, which stays as long as the same hangs together."""

    kind: Kind
    part: str
    source: str
    out: tuple[Step, ...]
    back: tuple[Step, ...] | None
    battery: str
    position: str
    cores: tuple[tuple[str, str], ...]
    own: int


def ways(boat: Boat) -> tuple[Way, ...]:
    """Every way of the direct-current system whose drop counts; the same objects for what is as it was on the boat before."""
    parts, runs, demand = boat.parts, boat.runs, boat.demand
    return tuple([
        _WAYS.of(number, (each, parts[each.part], parts[each.source], parts[each.battery],
                          tuple([(runs[core[0]], core[1], demand.get(core)) for core in each.cores])))
        for number, each in enumerate(boat.carry_wiring(routes))
    ])  # fmt: skip


def _way(facts: tuple[Route, Part, Part, Part, tuple[Core, ...]]) -> Way:
    route, part, source, battery, cores = facts
    return Way(route.kind, part, source, route.out, route.back, battery, route.position, cores, route.own)


_WAYS = Kept(_way)


def routes(boat: Boat) -> tuple[Route, ...]:
    """Where these ways lead."""
    return tuple(_Routes(boat).every())


class _Routes:
    def __init__(self, boat: Boat) -> None:
        self._boat = boat
        self._plus, self._minus = (boat.currents.rails[pole] for pole in "+-")
        self._roots = {place.live: place for place in boat.source_places if place.kind == "battery"}
        self._out = tree_from(self._plus, self._roots)
        extra = [each for each in boat.source_places if is_dc_converter(each) and each.live not in self._out]
        if extra:
            self._roots |= {each.live: each for each in extra}
            self._out = tree_from(self._plus, self._roots)
        self._buses = frozenset((panel.id, "bus", "+") for panel in boat.with_role("dc_panel"))
        self._root_of: dict[Node, Node] = {}
        self._back: dict[Node, Tree] = {}
        self._passed: dict[tuple[str, Node], frozenset[Node]] = {}

    def every(self) -> Iterator[Route]:
        for panel in self._boat.with_role("dc_panel"):
            yield from self._way("feeder", panel.id, (panel.id, "bus", "+"), (panel.id, "bus", "-"))
        for a, b, edge in self._boat.inside("load"):
            if edge.part is not None and self._boat.role(edge.part) == "load_dc":
                live, back = (a, b) if a[2] == "+" else (b, a)
                yield from self._way("branch", edge.part.id, live, back)

    def _way(self, kind: Kind, part: str, live: Node, back: Node) -> Iterator[Route]:
        """Towards the battery as far as the first panel's bus, and back to what that panel's return passes; none where no way
        leads there."""
        out = way_up(self._out, live, lambda node: node in self._buses and node[0] != part)
        if out is None:
            return
        home = out[-1].start if out else live
        battery = self._roots[self._root(home)]
        kind = kind if kind == "feeder" or home in self._buses else "direct"
        returns = self._return(back, battery.back or self._negative_of(battery), home)
        along = (*cores(out), *cores(returns or ()))
        own = len(list(_own_cores(kind, part, out)))
        yield Route(kind, part, home[0], out, returns, battery.live[0], _position(out, home[0]), along, own)

    def _negative_of(self, converter: Place) -> Node | None:
        """Where what a DC-DC converter feeds returns: its own negative output, or the negative of both its sides."""
        nodes: tuple[Node, ...] = ((converter.live[0], converter.live[1], "-"), (converter.live[0], "neg", "-"))
        return next((node for node in nodes if node in self._minus), None)

    def _root(self, node: Node) -> Node:
        """The source from which a node is reached."""
        passed = []
        while node not in self._root_of and (step := self._out[node]) is not None:
            passed.append(node)
            node = step.start
        root = self._root_of.get(node, node)
        self._root_of.update(dict.fromkeys(passed, root))
        return root

    def _return(self, start: Node, battery_back: Node | None, home: Node) -> tuple[Step, ...] | None:
        if battery_back is None:
            return None
        if battery_back not in self._back:
            self._back[battery_back] = tree_to(self._boat.strand_at(battery_back), battery_back)
        tree = self._back[battery_back]
        if (home[0], battery_back) not in self._passed:
            self._passed[home[0], battery_back] = self._passed_by(home[0], tree)
        passed = self._passed[home[0], battery_back]
        return way_up(tree, start, lambda node: node in passed)

    def _passed_by(self, panel_id: str, tree: Tree) -> frozenset[Node]:
        """The nodes that the return of the panel passes: a load's own way back ends at the first of them."""
        own = (panel_id, "bus", "-")
        steps = way_up(tree, own) or ()
        return frozenset({own, *(step.start for step in steps)}) if own in tree else frozenset()


def _position(out: tuple[Step, ...], panel: str) -> str:
    """The way of the panel by which a circuit leaves it."""
    for step in reversed(out):
        if step.start[0] == panel and step.edge.link and step.edge.link.position:
            return step.edge.link.position
    return ""


def is_dc_converter(source: Source | Place) -> bool:
    """Whether a source is the output of a DC-DC converter."""
    part = source.part if isinstance(source, Source) else source.edge.part
    return source.live[2] == "+" and part is not None and stated_voltage(part) == "output_v"


def stated_voltage(source: Part | PartRef) -> str:
    """The field in which a source states the voltage it gives."""
    return "output_v" if source.kind.startswith("dc_dc_") else "nominal_v"


def cores(steps: Iterable[Step]) -> tuple[tuple[str, str], ...]:
    """The cores along a way, (run id, pole)."""
    return tuple([(step.edge.run.id, step.edge.pole) for step in steps if step.edge.run is not None])


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


def _own_cores(kind: Kind, part: str, out: tuple[Step, ...]) -> Iterator[tuple[str, str]]:
    """The cores of the circuit itself.

    The main device inside a panel is not one on its feed: the feed's conductors come after it.
    """
    for step in out:
        own_main = step.edge.part is not None and step.edge.part.id == part
        if step.edge.kind in DEVICES and kind != "branch" and not own_main:
            return
        if step.edge.run is not None:
            yield step.edge.run.id, step.edge.pole
            if kind != "branch":
                return


def system_voltage(battery: Part) -> Bound:
    """Nominal voltage of a battery or of a bank as a whole, output voltage of a DC-DC converter, V."""
    field = stated_voltage(battery)
    value = above_nothing(quantity(battery, field))
    lacks = () if is_exact(value) else (f"part:{battery.id} {field}",)
    return Bound(low(value, LOWEST_V), high(value, HIGHEST_V), lacks)

"""The ways whose voltage drop is judged: from a panel or a battery to each load and back, and from the battery to each panel.

Where a DC-DC converter alone feeds a system, it stands for the battery.

Knows lengths and currents along a way, no rulebook.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

import msgspec
import networkx as nx

from engine.graph.boat import DEVICES, Boat, quantity
from engine.graph.demand import Demand
from engine.graph.listed import mended_at
from engine.graph.paths import Step, Tree, tree_from, tree_to, way_up
from engine.graph.poles import Node, PartRef
from engine.graph.sources import Place, Source
from engine.graph.spans import span_of
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
        for number, each in enumerate(routes(boat))
    ])  # fmt: skip


def _way(facts: tuple[Route, Part, Part, Part, tuple[Core, ...]]) -> Way:
    route, part, source, battery, cores = facts
    return Way(route.kind, part, source, route.out, route.back, battery, route.position, cores, route.own)


_WAYS = Kept(_way)


def routes(boat: Boat) -> tuple[Route, ...]:
    """Where these ways lead."""
    found = boat.carry_on("routes", lambda earlier: _Routes(boat).every(earlier.made if earlier is not None else None))
    return tuple([each.route for each in found if each is not None])


class _Found(msgspec.Struct, frozen=True):
    """A route with what it was found by: the strands it lies on, the nodes of its way back, and where the panel's own return
    passes, at which that ends."""

    route: Route
    plus: nx.MultiGraph
    minus: nx.MultiGraph | None
    root: Node | None
    """Where the way back leads to in the end: the negative of the source."""
    nodes: frozenset[Node]
    passed: frozenset[Node]


Asked = tuple[Kind, str, Node, Node]
"""A way that may be there: its kind, the part, and the two nodes from which it leads out and back."""


def _asked(boat: Boat) -> tuple[Asked, ...]:
    """To every panel and to every load."""
    panels = [(panel.id, (panel.id, "bus", "+"), (panel.id, "bus", "-")) for panel in boat.with_role("dc_panel")]
    loads = [
        (edge.part.id, *((a, b) if a[2] == "+" else (b, a)))
        for a, b, edge in boat.inside("load")
        if edge.part is not None and boat.role(edge.part) == "load_dc"
    ]
    return (*(("feeder", *each) for each in panels), *(("branch", *each) for each in loads))


class _Routes:
    """Finds where the ways lead; takes over those that no edit touches."""

    def __init__(self, boat: Boat) -> None:
        self._boat = boat
        self._strands = boat.graphs.strands
        self._minus = boat.currents.rails["-"]
        self._sources = {place.live: place for place in boat.source_places}
        self._buses = frozenset((panel.id, "bus", "+") for panel in boat.with_role("dc_panel"))
        self._at: dict[tuple[int, Node], frozenset[Node] | None] = {}
        self._out: dict[int, Tree] = {}
        self._root_of: dict[Node, Node] = {}
        self._back: dict[Node, Tree] = {}
        self._passed: dict[tuple[str, Node], frozenset[Node]] = {}

    def every(self, known: Sequence[_Found | None] | None) -> Sequence[_Found | None]:
        """Each that is asked of; `known` are those of the boat before."""
        asked = self._boat.carry_parts(_asked)
        if known is None:
            return [self._find(*each) for each in asked]
        still = {id(strand) for rail in "+-" for strand in self._strands[rail]}
        return [
            was
            if was is not None and id(was.plus) in still and (id(was.minus) in still or self._leads_back_still(was))
            else self._find(*each)
            for each, was in zip(asked, known, strict=True)
        ]

    def _leads_back_still(self, was: _Found) -> bool:
        """Whether the way back is the same though its strand was mended: where there is no ring there is but one, and it is still
        there when nothing was touched along it; and it ends where it did."""
        if was.minus is None or was.root is None or was.route.back is None:
            return False
        at = self._mended(was.minus, was.root)
        return at is not None and at.isdisjoint(was.nodes) and self._passed_by(was.route.source, was.root) == was.passed

    def _mended(self, before: nx.MultiGraph, root: Node) -> frozenset[Node] | None:
        """The nodes at which the strand of the root was mended, where neither it nor the one before has a ring."""
        name = id(before), root
        if name not in self._at:
            strand = self._boat.strand_at(root)
            ringed = strand is None or span_of(strand).rings or span_of(before).rings
            self._at[name] = None if strand is None or ringed else mended_at(strand, before)
        return self._at[name]

    def _find(self, kind: Kind, part: str, live: Node, back: Node) -> _Found | None:
        """Towards the battery as far as the first panel's bus, and back to what that panel's return passes; None where no way
        leads there."""
        strand = self._boat.strand_at(live)
        tree = self._tree_of(strand) if strand is not None else {}
        out = way_up(tree, live, lambda node: node in self._buses and node[0] != part)
        if strand is None or out is None:
            return None
        home = out[-1].start if out else live
        source = self._sources[self._root(tree, home)]
        kind = kind if kind == "feeder" or home in self._buses else "direct"
        root = source.back or self._negative_of(source)
        passed = self._passed_by(home[0], root) if root is not None else frozenset[Node]()
        returns = way_up(self._back_to(root), back, lambda node: node in passed) if root is not None else None
        along = (*cores(out), *cores(returns or ()))
        own = len(list(_own_cores(kind, part, out)))
        route = Route(kind, part, home[0], out, returns, source.live[0], _position(out, home[0]), along, own)
        nodes = frozenset({back, *(step.start for step in returns or ())})
        minus = self._boat.strand_at(root) if root is not None else None
        return _Found(route, strand, minus, root, nodes, passed)

    def _tree_of(self, strand: nx.MultiGraph) -> Tree:
        """From its batteries; where there is none, from the DC-DC converters that no battery reaches."""
        if id(strand) not in self._out:
            batteries = [node for node, place in self._sources.items() if place.kind == "battery" and node in strand]
            tree = tree_from(strand, batteries)
            others = [node for node, place in self._sources.items()
                      if node in strand and node not in tree and is_dc_converter(place)]  # fmt: skip
            self._out[id(strand)] = tree_from(strand, [*batteries, *others]) if others else tree
        return self._out[id(strand)]

    def _negative_of(self, converter: Place) -> Node | None:
        """Where what a DC-DC converter feeds returns: its own negative output, or the negative of both its sides."""
        nodes: tuple[Node, ...] = ((converter.live[0], converter.live[1], "-"), (converter.live[0], "neg", "-"))
        return next((node for node in nodes if node in self._minus), None)

    def _root(self, tree: Tree, node: Node) -> Node:
        """The source from which a node is reached."""
        passed = []
        while node not in self._root_of and (step := tree[node]) is not None:
            passed.append(node)
            node = step.start
        root = self._root_of.get(node, node)
        self._root_of.update(dict.fromkeys(passed, root))
        return root

    def _back_to(self, root: Node) -> Tree:
        if root not in self._back:
            strand = self._boat.strand_at(root)
            self._back[root] = tree_to(strand, root) if strand is not None else {root: None}
        return self._back[root]

    def _passed_by(self, panel_id: str, root: Node) -> frozenset[Node]:
        """The nodes that the return of the panel passes: a load's own way back ends at the first of them."""
        if (panel_id, root) not in self._passed:
            own = (panel_id, "bus", "-")
            steps = way_up(self._back_to(root), own)
            nodes = {own, *(step.start for step in steps)} if steps is not None else set[Node]()
            self._passed[panel_id, root] = frozenset(nodes)
        return self._passed[panel_id, root]


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

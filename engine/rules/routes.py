"""Where the ways lead whose voltage drop is judged: from a panel or a battery to each load and back, and from the battery to each
panel.

Where a DC-DC converter alone feeds a system, it stands for the battery. Follows from the wiring; knows no length and no current.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal, NamedTuple

import msgspec
import networkx as nx

from engine.graph.boat import DEVICES, Boat, Earlier
from engine.graph.paths import Step, Tree, tree_from, tree_to, way_up
from engine.graph.poles import Node, PartRef
from engine.graph.sources import Place, Source
from engine.graph.spans import span_of
from engine.model.network import Part

Kind = Literal["branch", "feeder", "direct"]


class Route(msgspec.Struct, frozen=True):
    """A way by the ids of its parts, which stays as long as the same hangs together."""

    kind: Kind
    part: str
    source: str
    out: tuple[Step, ...]
    back: tuple[Step, ...] | None
    battery: str
    position: str
    cores: tuple[tuple[str, str], ...]
    own: int


class Found(msgspec.Struct, frozen=True):
    """A route with what it was found by: where its way back leads to in the end, the negative of the source, and the nodes of
    that way."""

    route: Route
    root: Node | None
    nodes: frozenset[Node]


class Asked(NamedTuple):
    """A way that may be there: its kind, the part, and the two nodes from which it leads out and back; the key of its load, as a
    part may have two between the same."""

    kind: Kind
    part: str
    live: Node
    back: Node
    key: str = ""


class Table(msgspec.Struct, frozen=True, eq=False):
    """The routes of a boat, each by what was asked of, and what they were found by."""

    found: Mapping[Asked, Found]
    sources: Mapping[Node, Place]
    buses: frozenset[Node]
    plus: tuple[nx.MultiGraph, ...]
    """The strands over which the ways out lead."""
    out: Tree
    """The steps of these ways, from the batteries to all they reach."""
    minus: Mapping[Node, nx.MultiGraph | None]
    """The strand on which each negative of a source is."""
    passed: Mapping[tuple[str, Node], frozenset[Node]]
    """The nodes that the return of a panel passes towards such a negative: a load's own way back ends at the first of them."""


def routes(boat: Boat) -> tuple[Route, ...]:
    """Where these ways lead."""
    return tuple([each.route for each in route_table(boat).found.values()])


def route_table(boat: Boat) -> Table:
    """The same with what they were found by."""
    return boat.carry_on("routes", lambda earlier: _Routes(boat).every(earlier))


def _asked(boat: Boat) -> tuple[Asked, ...]:
    """To every panel and to every load."""
    panels = [
        Asked("feeder", panel.id, (panel.id, "bus", "+"), (panel.id, "bus", "-"))
        for panel in boat.with_role("dc_panel")
    ]
    loads = [
        Asked("branch", edge.part.id, *((a, b) if a[2] == "+" else (b, a)), edge.key)
        for a, b, edge in boat.inside("load")
        if edge.part is not None and boat.role(edge.part) == "load_dc"
    ]
    return *panels, *loads


class _Routes:
    """Finds where the ways lead; takes over those that no edit touches."""

    def __init__(self, boat: Boat) -> None:
        self._boat = boat
        self._negatives = boat.currents.rails["-"]
        self._sources = {place.live: place for place in boat.source_places}
        self._buses = frozenset((panel.id, "bus", "+") for panel in boat.with_role("dc_panel"))
        self._out: dict[Node, Step | None] = {}
        self._root_of: dict[Node, Node] = {}
        self._minus: dict[Node, nx.MultiGraph | None] = {}
        self._back: dict[Node, Tree] = {}
        self._passed: dict[tuple[str, Node], frozenset[Node]] = {}

    def every(self, earlier: Earlier[Table] | None) -> Table:
        """Each that is asked of and leads anywhere."""
        asked, plus = self._boat.carry_parts(_asked), self._boat.graphs.strands["+"]
        if earlier is None or (earlier.made.sources, earlier.made.buses) != (self._sources, self._buses):
            for strand in plus:
                self._out.update(self._tree_of(strand))
            every = {each: self._find(each) for each in asked}
        else:
            known, led, back = earlier.made.found, self._led_otherwise(earlier.made), _Back(self, earlier)
            every = {
                each: known[each]
                if each in known and each.live not in led and back.leads_still(known[each])
                else self._find(each)
                for each in asked
            }
        found = {each: leads for each, leads in every.items() if leads is not None}
        return Table(found, self._sources, self._buses, plus, self._out, self._minus, self._passed)

    def _led_otherwise(self, before: Table) -> set[Node]:
        """The nodes to which another way leads out than before, or none; from the batteries outwards."""
        self._out, found = dict(before.out), set[Node]()
        strands = self._boat.graphs.strands["+"]
        known, still = ({id(strand) for strand in each} for each in (before.plus, strands))
        was = {node: self._out.pop(node, _UNREACHED) for each in before.plus if id(each) not in still for node in each}
        for strand in strands:
            if id(strand) in known:
                continue
            tree = self._tree_of(strand)
            for node, step in tree.items():
                if was.pop(node, _UNREACHED) != step or (step is not None and step.start in found):
                    found.add(node)
            self._out.update(tree)
        return found.union(node for node, step in was.items() if step is not _UNREACHED)

    def _find(self, asked: Asked) -> Found | None:
        """Towards the battery as far as the first panel's bus, and back to what that panel's return passes; None where no way
        leads there."""
        kind, part, live, back = asked.kind, asked.part, asked.live, asked.back
        out = way_up(self._out, live, lambda node: node in self._buses and node[0] != part)
        if out is None:
            return None
        home = out[-1].start if out else live
        source = self._sources[self._root(home)]
        kind = kind if kind == "feeder" or home in self._buses else "direct"
        root = source.back or self._negative_of(source)
        passed = self.passed_by(home[0], root) if root is not None else frozenset[Node]()
        returns = way_up(self._back_to(root), back, lambda node: node in passed) if root is not None else None
        along = (*cores(out), *cores(returns or ()))
        own = len(list(_own_cores(kind, part, out)))
        route = Route(kind, part, home[0], out, returns, source.live[0], _position(out, home[0]), along, own)
        return Found(route, root, frozenset({back, *(step.start for step in returns or ())}))

    def _tree_of(self, strand: nx.MultiGraph) -> Tree:
        """From its batteries; where there is none, from the DC-DC converters that no battery reaches."""
        batteries = [node for node, place in self._sources.items() if place.kind == "battery" and node in strand]
        tree = tree_from(strand, batteries)
        others = [node for node, place in self._sources.items()
                  if node in strand and node not in tree and is_dc_converter(place)]  # fmt: skip
        return tree_from(strand, [*batteries, *others]) if others else tree

    def _negative_of(self, converter: Place) -> Node | None:
        """Where what a DC-DC converter feeds returns: its own negative output, or the negative of both its sides."""
        nodes: tuple[Node, ...] = ((converter.live[0], converter.live[1], "-"), (converter.live[0], "neg", "-"))
        return next((node for node in nodes if node in self._negatives), None)

    def _root(self, node: Node) -> Node:
        """The source from which a node is reached."""
        passed = []
        while node not in self._root_of and (step := self._out[node]) is not None:
            passed.append(node)
            node = step.start
        root = self._root_of.get(node, node)
        self._root_of.update(dict.fromkeys(passed, root))
        return root

    def minus_at(self, root: Node) -> nx.MultiGraph | None:
        """The strand on which the negative of a source is."""
        if root not in self._minus:
            self._minus[root] = self._boat.strand_at(root)
        return self._minus[root]

    def _back_to(self, root: Node) -> Tree:
        if root not in self._back:
            strand = self.minus_at(root)
            self._back[root] = tree_to(strand, root) if strand is not None else {root: None}
        return self._back[root]

    def passed_by(self, panel_id: str, root: Node, known: frozenset[Node] | None = None) -> frozenset[Node]:
        """The nodes that the return of the panel passes; `known` where they are known."""
        if (panel_id, root) not in self._passed:
            self._passed[panel_id, root] = known if known is not None else frozenset(self._return_of(panel_id, root))
        return self._passed[panel_id, root]

    def _return_of(self, panel_id: str, root: Node) -> Iterator[Node]:
        own = (panel_id, "bus", "-")
        steps = way_up(self._back_to(root), own)
        if steps is not None:
            yield own
            yield from (step.start for step in steps)


_UNREACHED = object()


class _Back:
    """Which ways back are as they were.

    On a strand that was mended and has no ring there is but one way between two nodes, and it is still there where nothing was
    touched along it.
    """

    def __init__(self, now: _Routes, earlier: Earlier[Table]) -> None:
        self._at = earlier.at
        self._kept: set[Node] = set()
        """The roots whose strand is the same."""
        self._mended: set[Node] = set()
        """Those whose strand is another without a ring, as it was before."""
        for root, was in earlier.made.minus.items():
            strand = now.minus_at(root)
            if strand is was:
                self._kept.add(root)
            elif not (strand is None or was is None or span_of(strand).rings or span_of(was).rings):
                self._mended.add(root)
        self._otherwise = {
            whose for whose, nodes in earlier.made.passed.items() if not self._passes_still(now, whose, nodes)
        }

    def _passes_still(self, now: _Routes, whose: tuple[str, Node], nodes: frozenset[Node]) -> bool:
        """Whether the return of a panel passes the same nodes."""
        root = whose[1]
        surely = root in self._kept or (root in self._mended and bool(nodes) and self._at.isdisjoint(nodes))
        return now.passed_by(*whose, nodes if surely else None) == nodes

    def leads_still(self, was: Found) -> bool:
        """Whether the way back of a route is as it was, where the way out is."""
        root, route = was.root, was.route
        if root is None or root in self._kept:
            return True
        if root not in self._mended or route.back is None or not self._at.isdisjoint(was.nodes):
            return False
        return (route.source, root) not in self._otherwise


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

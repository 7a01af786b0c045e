"""A boat as the checks see it: its network, its pole graph and what follows from it, each computed once when first asked.

One instance per network; nothing here is stored in the document.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

import msgspec
import networkx as nx

from engine.graph.flows import NOTHING, UNLIMITED, Capacity, Feed, Feeds, Layout
from engine.graph.poles import Edge, Node, Switches, conductors, edges_of, pole_graph
from engine.graph.sources import Source, sources_of
from engine.library.device import DeviceKind, Library
from engine.library.expand import Link, Port, links_of, ports_of
from engine.model.lookup import parts_by_id, runs_at, runs_by_id
from engine.model.network import AC_LINES, Compartment, Enclosure, Network, Part, Position, Run
from engine.model.quantity import Quantity, as_quantity, high, low

if TYPE_CHECKING:
    from engine.graph.demand import Demand

LIVE_POLES = frozenset({"+"}) | AC_LINES
DEVICES = frozenset({"fuse", "breaker"})
ALMOST_NOTHING = 1e-6
Derived = TypeVar("Derived")


class Held(msgspec.Struct, frozen=True):
    """What can be pushed into both ends of one core, A: at end a and at end b of its run."""

    a: Feed = NOTHING
    b: Feed = NOTHING

    @property
    def worst(self) -> Feed:
        """The larger of the two: the current a fault on the conductor can draw through part of it."""
        return self.a if self.a.current_a >= self.b.current_a else self.b


class Boat:
    """The network with everything derived that more than one check needs."""

    def __init__(self, network: Network, library: Library) -> None:
        self.network = network
        self.library = library
        self._derived: dict[Callable[[Boat], object], object] = {}

    def derive(self, make: Callable[[Boat], Derived]) -> Derived:
        """make(boat), worked out once: what a higher layer derives from the boat and several of its checks share."""
        if make not in self._derived:
            self._derived[make] = make(self)
        return self._derived[make]  # type: ignore[return-value]

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Parts by id."""
        return parts_by_id(self.network)

    @cached_property
    def runs(self) -> Mapping[str, Run]:
        """Runs by id."""
        return runs_by_id(self.network)

    @cached_property
    def runs_at(self) -> Mapping[tuple[str, str], list[Run]]:
        """Runs by (part id, port)."""
        return runs_at(self.network)

    @cached_property
    def compartments(self) -> Mapping[str, Compartment]:
        """Compartments by id."""
        return {space.id: space for space in self.network.compartments}

    @cached_property
    def enclosures(self) -> Mapping[str, Enclosure]:
        """Enclosures by id."""
        return {box.id: box for box in self.network.enclosures}

    @cached_property
    def graph(self) -> nx.MultiGraph:
        """The pole graph with every contact closed that can close."""
        return pole_graph(self.network, self.library)

    @cached_property
    def wires(self) -> nx.MultiGraph:
        """Its conducting edges only."""
        return conductors(self.graph)

    @cached_property
    def rails(self) -> Mapping[str, nx.MultiGraph]:
        """The conducting graph by kind of pole: "+", "-", "N", and "L" for all AC lines."""
        rails = {name: nx.MultiGraph() for name in ("+", "-", "N", "L")}
        for node in self.wires:
            if (name := rail_of(node)) in rails:
                rails[name].add_node(node)
        for a, b, key, edge in self.wires.edges(keys=True, data="edge"):
            name = rail_of(a)
            if name in rails and rail_of(b) == name:
                rails[name].add_edge(a, b, key, edge=edge)
        return rails

    @cached_property
    def _layouts(self) -> Mapping[str, Layout]:
        return {name: Layout(self.rails[name]) for name in ("+", "L")}

    @cached_property
    def sources(self) -> tuple[Source, ...]:
        """Every source."""
        return sources_of(self.graph, self.library)

    def switched(self, switches: Switches) -> nx.MultiGraph:
        """The conducting graph with the switches set as given (others as drawn)."""
        return conductors(pole_graph(self.network, self.library, switches))

    def kind(self, part: Part) -> DeviceKind | None:
        """The part's device kind; None when the library does not know it."""
        return self.library.get(part.kind)

    def role(self, part: Part) -> str:
        """The part's electrical role; "" when its kind is unknown."""
        kind = self.library.get(part.kind)
        return kind.role if kind else ""

    def with_role(self, *roles: str) -> tuple[Part, ...]:
        """The parts that have one of the roles."""
        return tuple(part for part in self.network.parts if self.role(part) in roles)

    def ports(self, part: Part) -> tuple[Port, ...]:
        """The part's actual ports."""
        kind = self.kind(part)
        return ports_of(part, kind) if kind else ()

    def links(self, part: Part) -> tuple[Link, ...]:
        """The part's actual links."""
        kind = self.kind(part)
        return links_of(part, kind) if kind else ()

    def name(self, part: Part) -> str:
        """How a sentence calls the part: designation and label."""
        return f"{part.designation} {part.label}".strip() or part.id

    def name_run(self, run: Run) -> str:
        """How a sentence calls the run: its number, or from where to where."""
        if run.number:
            return run.number
        ends = [self.parts[end.part].designation if end.part in self.parts else "?" for end in (run.a, run.b)]
        return "–".join(ends)

    def position(self, part: Part, key: str) -> Position | None:
        """The panel position of that key."""
        return next((position for position in part.positions if position.key == key), None)

    @cached_property
    def held_fitted(self) -> Mapping[tuple[str, str], Held]:
        """(run id, pole) -> what can be pushed into it with the fuses fitted; an unknown rating holds nothing back."""
        return self._held(lambda edge: _capacity(edge, rating_of), _most)

    @cached_property
    def held_fitted_least(self) -> Mapping[tuple[str, str], Held]:
        """The same with every unknown at its most favourable: a fuse of unknown rating as if it let nothing through."""
        return self._held(lambda edge: _least_capacity(edge, rating_of), _least)

    @cached_property
    def held_largest(self) -> Mapping[tuple[str, str], Held]:
        """The same with the largest fuse that each holder accepts."""
        return self._held(lambda edge: _capacity(edge, largest_of), _most)

    @cached_property
    def held_largest_least(self) -> Mapping[tuple[str, str], Held]:
        """With the largest fuses, unknowns at their most favourable; no holder takes less than what is in it."""
        return self._held(lambda edge: _least_capacity(edge, largest_of), _least)

    def _held(self, capacity: Capacity, inflow_of: Callable[[Source], float]) -> Mapping[tuple[str, str], Held]:
        found: dict[tuple[str, str], Held] = {}
        for poles in (frozenset({"+"}), AC_LINES):
            layout = self._layouts["+" if "+" in poles else "L"]
            inflow = _inflow([source for source in self.sources if source.live[2] in poles], inflow_of)
            feeds = Feeds(layout, inflow, capacity)
            for a, b, key, edge in feeds.edges():
                if edge.run is not None:
                    found[edge.run.id, edge.pole] = _held_by(feeds, edge, a, b, key)
        return found

    def fed_by(self, part: Part, port: str, pole: str) -> tuple[Feed, Feed] | None:
        """What can be pushed into a port of a part by the runs that land there, at its most and at its least; None where
        no run lands. Of several runs the one that brings most."""
        found = []
        for run in self.runs_at.get((part.id, port), ()):
            if pole in run.poles:
                most, least = self.held_fitted[run.id, pole], self.held_fitted_least[run.id, pole]
                at_b = run.b.part == part.id and run.b.port == port
                found.append((most.a, least.a) if at_b else (most.b, least.b))
        return max(found, key=lambda pair: pair[0].current_a) if found else None

    @cached_property
    def _draws(self) -> Feeds:
        """What the loads can draw through the positive wiring, device ratings as capacities."""
        from engine.graph.demand import taps_of  # here, since demand reads a Boat

        inflow: dict[Node, Feed] = {}
        for tap in taps_of(self):
            if tap.kind == "load" and tap.node[2] == "+":
                inflow[tap.node] = Feed(inflow.get(tap.node, NOTHING).current_a + high(tap.current_a, UNLIMITED))
        return Feeds(self._layouts["+"], inflow, lambda edge: _capacity(edge, rating_of))

    @cached_property
    def drawn(self) -> Mapping[tuple[str, str], Held]:
        """(run id, "+") -> what the loads beyond each end of the core can draw through it, A."""
        feeds = self._draws
        return {
            (edge.run.id, edge.pole): _held_by(feeds, edge, a, b, key)
            for a, b, key, edge in feeds.edges()
            if edge.run is not None
        }

    def drawn_from(self, battery_back: Node) -> float:
        """What the loads can draw from the battery whose negative terminal this is, A."""
        live = next((source.live for source in self.sources if source.back == battery_back), None)
        return self._draws.at(live).current_a if live is not None else UNLIMITED

    @cached_property
    def demand(self) -> Mapping[tuple[str, str], Demand]:
        """(run id, pole) -> the current that core carries in service."""
        from engine.graph.demand import demands  # here, since demand reads a Boat

        return demands(self)

    @cached_property
    def positive_demand(self) -> Mapping[tuple[str, str], Demand]:
        """The same for the positive cores alone, which the returns are measured by."""
        from engine.graph.demand import positive_demands  # here, since demand reads a Boat

        return positive_demands(self)

    @cached_property
    def return_nodes(self) -> frozenset[Node]:
        """The negative terminals of the DC sources and the neutral of the AC ones."""
        return frozenset(source.back for source in self.sources if source.back is not None)

    def devices(self) -> Iterable[tuple[Node, Node, Edge]]:
        """Every protective link: fuses and breakers, those in panel positions included."""
        return ((a, b, edge) for a, b, edge in edges_of(self.graph) if edge.kind in DEVICES)


def rail_of(node: Node) -> str:
    """To which rail a node belongs: its pole, all AC lines together as "L"."""
    return "L" if node[2] in AC_LINES else node[2]


def _held_by(feeds: Feeds, edge: Edge, a: Node, b: Node, key: str) -> Held:
    assert edge.run is not None
    first, second = (a, b) if a[:2] == (edge.run.a.part, edge.run.a.port) else (b, a)
    return Held(feeds.into(first, second, key), feeds.into(second, first, key))


def rating_of(edge: Edge) -> Quantity:
    """The rating of the device that is fitted, A."""
    return edge.link.rating_a if edge.link else None


def largest_of(edge: Edge) -> Quantity:
    """The largest device that could be put in its place, A: for a fuse what its holder accepts."""
    return edge.link.largest_a if edge.link else None


def _capacity(edge: Edge, size: Callable[[Edge], Quantity]) -> float:
    """The most a device may let through for ever, A; other edges carry without limit."""
    return high(size(edge), UNLIMITED) if edge.kind in DEVICES else UNLIMITED


def _least_capacity(edge: Edge, size: Callable[[Edge], Quantity]) -> float:
    """The least a device may let through for ever, A; where it is unknown all but nothing, so that it stays named."""
    return max(low(size(edge), ALMOST_NOTHING), ALMOST_NOTHING) if edge.kind in DEVICES else UNLIMITED


def _most(source: Source) -> float:
    return high(source.limit_a, UNLIMITED) if source.limited else UNLIMITED


def _least(source: Source) -> float:
    """The least a source may be able to push: a charger that is not known to limit itself may still do so."""
    if source.kind == "battery" or source.part.values.get("self_limiting") is False:
        return UNLIMITED
    return low(as_quantity(source.limit_a), ALMOST_NOTHING)


def _inflow(sources: Iterable[Source], amount: Callable[[Source], float]) -> dict[Node, Feed]:
    inflow: dict[Node, Feed] = {}
    for source in sources:
        current_a = amount(source)
        if current_a > 0:
            known = inflow.get(source.live, NOTHING)
            item = (f"part:{source.part.id}", current_a)
            inflow[source.live] = Feed(known.current_a + current_a, (*known.by, item))
    return inflow


def quantity(part: Part, name: str) -> Quantity:
    """The part's value of that name as a quantity; unknown when it has none."""
    return as_quantity(part.values.get(name))

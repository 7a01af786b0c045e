"""A boat as the checks see it: its network, its pole graph and what follows from it, each computed once when first asked.

One instance per network; nothing here is stored in the document.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any, Generic, TypeVar

import networkx as nx

from engine.graph.graphs import Graphs, graphs_of, switched_edges
from engine.graph.islands import Islands, Together
from engine.graph.listed import graph_of
from engine.graph.paths import reach
from engine.graph.poles import DEVICES as DEVICES
from engine.graph.poles import Edge, Node, PartRef, Switches, landing, rail_of, stays_closed
from engine.graph.skeleton import Tables, facts_of, once, wiring_of
from engine.graph.sources import Place, Source, places_of, source_at
from engine.library.device import DeviceKind, Library
from engine.library.expand import Link, Port, links_of, ports_of, stated_at
from engine.model.kept import latest
from engine.model.lookup import parts_by_id, runs_at, runs_by_id
from engine.model.network import AC_LINES, Compartment, Enclosure, Network, Part, Position, Run
from engine.model.quantity import Quantity, as_quantity

if TYPE_CHECKING:
    from engine.graph.currents import Currents
    from engine.graph.demand import Demand
    from engine.graph.flows import Held

LIVE_POLES = frozenset({"+"}) | AC_LINES
Derived = TypeVar("Derived")


class Earlier(Generic[Derived]):
    """What was made of the boat before, and the terminals at which in this one something is wired otherwise."""

    def __init__(self, made: Derived, at: frozenset[Node], others: frozenset[str]) -> None:
        self.made, self.at = made, at
        self.others = others
        """The parts that came, went or are others inside."""
        self.parts = frozenset(node[0] for node in at)
        """The parts that are wired otherwise, these among them."""

    def leaves(self, run: Run) -> bool:
        """Whether the run was there before, and nothing is wired otherwise at either of its parts."""
        return run.a.part not in self.parts and run.b.part not in self.parts


class Boat:
    """The network with everything derived that more than one check needs."""

    def __init__(self, network: Network, library: Library) -> None:
        self.network = network
        self.library = library
        self.parts: Mapping[str, Part] = parts_by_id(network)
        self.runs: Mapping[str, Run] = runs_by_id(network)
        self.compartments: Mapping[str, Compartment] = {space.id: space for space in network.compartments}
        self.enclosures: Mapping[str, Enclosure] = {box.id: box for box in network.enclosures}
        self._ports: dict[str, tuple[Port, ...]] = {}
        self._positions: dict[str, Mapping[str, Position]] = {}
        self._recorded: dict[str, Any] = {}
        self._derived: dict[Callable[[Boat], object], object] = {}

    def derive(self, make: Callable[[Boat], Derived]) -> Derived:
        """make(boat), worked out once: what a higher layer derives from the boat and several of its checks share."""
        if make not in self._derived:
            self._derived[make] = make(self)
        return self._derived[make]  # type: ignore[return-value]

    def carry(self, make: Callable[[Boat], Derived]) -> Derived:
        """The same of what follows from the skeleton alone (see engine.graph.skeleton) and holds no record: carried from
        one boat to the next."""
        return once(self.currents.tables, f"{make.__module__}.{make.__qualname__}", lambda: make(self))

    def carry_wiring(self, make: Callable[[Boat], Derived]) -> Derived:
        """The same of what follows from the wiring alone: from which conductor hangs on which."""
        return once(self.wiring, f"{make.__module__}.{make.__qualname__}", lambda: make(self))

    def carry_on(self, name: str, make: Callable[[Earlier[Derived] | None], Derived]) -> Derived:
        """The same of what follows from the wiring, begun with the last of its name where only at some terminals something is
        wired otherwise."""

        def begun() -> Derived:
            graphs, last = self.graphs, latest.get(name)
            made = make(
                Earlier(last[1], graphs.at, graphs.parts) if last is not None and last[0] is graphs.before else None
            )
            latest[name] = (graphs.stamp, made)
            return made

        return once(self.wiring, name, begun)

    def carry_by_run(self, name: str, make: Callable[[Run], Derived | None]) -> Mapping[str, Derived]:
        """Of each run, by its id, what follows from it and from the wiring at its parts, where that is anything: asked again only
        of the runs at parts that are wired otherwise."""

        def begun(earlier: Earlier[Mapping[str, Derived]] | None) -> Mapping[str, Derived]:
            others = [run for run in self.network.runs if earlier is None or not earlier.leaves(run)]
            found = {**(earlier.made if earlier is not None else {}), **{run.id: make(run) for run in others}}
            return {run: each for run in self.runs if (each := found.get(run)) is not None}

        return self.carry_on(name, begun)

    def touched_since(self, stamp: object) -> frozenset[Node] | None:
        """The terminals at which something is wired otherwise than in the graphs of that stamp; None where that is not known."""
        graphs = self.graphs
        return frozenset() if stamp is graphs.stamp else graphs.at if stamp is graphs.before else None

    def reached(self, start: Node, name: str, stop: Callable[[Edge], bool]) -> frozenset[Node]:
        """What is reached by conductors from a terminal without passing an edge that stops. `name` says what stops, which follows
        from the parts."""

        def walk(earlier: Earlier[frozenset[Node]] | None) -> frozenset[Node]:
            if earlier is not None and earlier.at.isdisjoint(earlier.made):
                return earlier.made
            return frozenset(reach(self.wires, [start], stop))

        return self.carry_on(f"reached {name} {start}", walk)

    def carry_parts(self, make: Callable[[Boat], Derived]) -> Derived:
        """The same of what follows from what lies inside the parts alone, wherever runs go."""
        return once(self.graphs.within.tables, f"{make.__module__}.{make.__qualname__}", lambda: make(self))

    def carry_records(self, name: str, make: Callable[[], Derived]) -> Derived:
        """The same of what follows from the records of the parts alone, values and all."""
        if name not in self._recorded:
            last = latest.get(name)
            if last is None or last[0] != self.network.parts or last[1] is not self.library:
                last = latest[name] = (self.network.parts, self.library, make())
            self._recorded[name] = last[2]
        made: Derived = self._recorded[name]
        return made

    def inside(self, *kinds: str) -> tuple[tuple[Node, Node, Edge], ...]:
        """The edges of these kinds inside parts, with their nodes, in the order of the parts."""
        within = self.graphs.within
        return once(within.tables, f"inside {kinds}", lambda: tuple(
            [(a, b, edge) for a, b, _, edge in within.links if edge.kind in kinds]))  # fmt: skip

    @cached_property
    def runs_at(self) -> Mapping[tuple[str, str], list[Run]]:
        """(part id, port) -> the runs that land there."""
        return runs_at(self.network)

    @cached_property
    def wiring(self) -> Tables:
        """What follows from the wiring alone, by name."""
        return wiring_of(self.network, self.library)

    @property
    def graphs(self) -> Graphs:
        """All its graphs."""
        return once(self.wiring, "graphs", lambda: graphs_of(self.network, self.library, *facts_of(self.wiring)))

    @cached_property
    def graph(self) -> nx.MultiGraph:
        """The pole graph with every contact closed that can close."""
        return self.graphs.whole

    @cached_property
    def wires(self) -> nx.MultiGraph:
        """Its conducting edges only."""
        return self.graphs.wires

    @property
    def _together(self) -> Together:
        return self.carry_on(
            "together", lambda earlier: Together(self.graphs, earlier.made if earlier is not None else None)
        )

    @cached_property
    def islands(self) -> Islands:
        """Which of its conductors hang together."""
        return self._together.islands

    @cached_property
    def unbonded(self) -> Islands:
        """The same without bonds."""
        return self._together.unbonded

    @cached_property
    def rings(self) -> frozenset[str]:
        """The keys of the conducting edges that do not part the wiring when they are taken out."""
        return self._together.rings

    def strand_at(self, node: Node) -> nx.MultiGraph | None:
        """What hangs together with a node along its rail, and perhaps a little beside it that does not; None where nothing does."""
        return next((strand for strand in self.graphs.strands.get(rail_of(node), ()) if node in strand), None)

    def islands_at(self, nodes: Iterable[Node]) -> frozenset[Node]:
        """The islands on which the nodes are; a node that the boat does not have is on none."""
        return frozenset(self.islands[node] for node in nodes if node in self.islands)

    @cached_property
    def sources(self) -> tuple[Source, ...]:
        """Every source."""
        return tuple(
            source_at(place, self.part_of(place.edge), self.rating_of(place.edge)) for place in self.source_places
        )

    @property
    def source_places(self) -> tuple[Place, ...]:
        """Where they feed."""
        links = self.inside("source", "converter")
        return once(self.graphs.within.tables, "source places", lambda: places_of(links, self.library))

    @cached_property
    def batteries(self) -> Mapping[Node, Part]:
        """The live terminals of the batteries, with the battery at each."""
        return {source.live: source.part for source in self.sources if source.kind == "battery"}

    def switched(self, switches: Switches) -> nx.MultiGraph:
        """The conducting graph with the switches set as given (others as drawn)."""
        return graph_of(self.graph, switched_edges(self.graph, self.library, switches))

    def at_rest(self, node: Node) -> frozenset[Node]:
        """What of the positive wiring hangs together with a node when every switch is as it is drawn."""
        rail = self.currents.rails["+"]
        return once(self.wiring, f"at rest {node}", lambda: frozenset(reach(rail, [node], self.is_open_at_rest)))

    def is_open_at_rest(self, edge: Edge) -> bool:
        """Whether an edge is a contact that is open as it is drawn."""
        return not stays_closed(edge, self.library, {})

    def core_ends(self, run: Run, pole: str) -> tuple[Node, Node]:
        """The nodes between which a core of the run lies."""
        return landing(run, run.a, pole, self.terminals), landing(run, run.b, pole, self.terminals)

    @cached_property
    def terminals(self) -> frozenset[Node]:
        """The terminals that the parts have."""
        return self.graphs.within.terminals

    def terminals_of(self, part: Part, poles: Collection[str]) -> list[Node]:
        """The part's terminals of these poles, in the order of its ports."""
        return [(part.id, port.name, pole) for port in self.ports(part) for pole in port.poles if pole in poles]

    def return_beside(self, live: Node, known: Container[Node]) -> Node | None:
        """Of the known nodes the return that belongs to a live terminal: at the same port, else at another of its part."""
        wanted = "-" if live[2] == "+" else "N"
        at_port = (live[0], live[1], wanted)
        if at_port in known:
            return at_port
        ports = self.ports(self.parts[live[0]]) if live[0] in self.parts else ()
        return next((node for port in ports if (node := (live[0], port.name, wanted)) in known), None)

    def part_of(self, edge: Edge) -> Part:
        """The part that an edge is a link of; asked of links only."""
        assert edge.part is not None
        return self.parts[edge.part.id]

    def run_of(self, edge: Edge) -> Run:
        """The run that an edge is a core of; asked of cores only."""
        assert edge.run is not None
        return self.runs[edge.run.id]

    def rating_of(self, edge: Edge) -> Quantity:
        """The rating of the device, source or converter that is fitted, A; None where it is unknown or has none."""
        return self.stated(edge, edge.link.rated) if edge.link else None

    def largest_of(self, edge: Edge) -> Quantity:
        """The largest device that could be put in its place, A: for a fuse what its holder accepts."""
        return self.stated(edge, edge.link.largest) if edge.link else None

    def stated(self, edge: Edge, name: str) -> Quantity:
        """What the part says of the device at an edge, or its way where it is in one; None where the name is ""."""
        if not name or edge.link is None:
            return None
        key, part = (edge.key, name), self.part_of(edge)
        known = self._ratings.get(key)
        if known is None or known[0] is not part:
            way = edge.link.position
            known = self._ratings[key] = part, stated_at(part, self.position(part, way) if way else None, name)
        return known[1]

    @cached_property
    def _ratings(self) -> dict[tuple[str, str], tuple[Part, Quantity]]:
        """Those asked for, each with the part that states it; by the key of the device and the name of the value."""
        ratings: dict[tuple[str, str], tuple[Part, Quantity]] = latest.setdefault("ratings", {})
        return ratings

    def kind(self, part: Part | PartRef) -> DeviceKind | None:
        """The part's device kind; None when the library does not know it."""
        return self.library.get(part.kind)

    def role(self, part: Part | PartRef) -> str:
        """The part's electrical role; "" when its kind is unknown."""
        kind = self.library.get(part.kind)
        return kind.role if kind else ""

    def with_role(self, *roles: str) -> tuple[Part, ...]:
        """The parts that have one of the roles."""
        if len(roles) == 1:
            return self._by_role.get(roles[0], ())
        return tuple(part for part in self.network.parts if self.role(part) in roles)

    @cached_property
    def _by_role(self) -> Mapping[str, tuple[Part, ...]]:
        found: dict[str, list[Part]] = {}
        for part in self.network.parts:
            found.setdefault(self.role(part), []).append(part)
        return {role: tuple(parts) for role, parts in found.items()}

    def ports(self, part: Part) -> tuple[Port, ...]:
        """The part's actual ports."""
        if part.id not in self._ports:
            kind = self.kind(part)
            self._ports[part.id] = ports_of(part, kind) if kind else ()
        return self._ports[part.id]

    def links(self, part: Part) -> tuple[Link, ...]:
        """The part's actual links."""
        kind = self.kind(part)
        return links_of(part, kind) if kind else ()

    def name(self, part: Part) -> str:
        """How a sentence calls the part: designation and label."""
        return f"{part.designation} {part.label}".strip() or part.id

    def name_run(self, run: Run) -> str:
        """How a sentence calls the run: wire and number, or from where to where."""
        if run.number:
            return f"wire {run.number}"
        ends = [self.parts[end.part].designation if end.part in self.parts else "?" for end in (run.a, run.b)]
        return "–".join(ends)

    def position(self, part: Part, key: str) -> Position | None:
        """The panel position of that key."""
        if part.id not in self._positions:
            self._positions[part.id] = {position.key: position for position in part.positions}
        return self._positions[part.id].get(key)

    @cached_property
    def currents(self) -> Currents:
        """What can be pushed through its conductors, and what flows in service."""
        from engine.graph.currents import Currents  # here, since it reads a Boat

        return Currents(self)

    @property
    def held_fitted(self) -> Mapping[tuple[str, str], Held]:
        """(run id, pole) -> what can be pushed into it with the fuses fitted; an unknown rating holds nothing back."""
        return self.currents.held_fitted

    @property
    def held_fitted_least(self) -> Mapping[tuple[str, str], Held]:
        """The same with every unknown at its most favourable."""
        return self.currents.held_fitted_least

    @property
    def demand(self) -> Mapping[tuple[str, str], Demand]:
        """(run id, pole) -> the current that core carries in service."""
        return self.currents.demand

    @cached_property
    def return_nodes(self) -> frozenset[Node]:
        """The negative terminals of the DC sources and the neutral of the AC ones."""
        return frozenset(source.back for source in self.sources if source.back is not None)

    def devices(self) -> tuple[tuple[Node, Node, Edge], ...]:
        """Every protective link: fuses and breakers, those in panel positions included."""
        return self.inside(*DEVICES)


def quantity(part: Part, name: str) -> Quantity:
    """The part's value of that name as a quantity; unknown when it has none."""
    return as_quantity(part.values.get(name))

"""The AC system as its rules see it: sources, wiring by kind of pole, residual-current elements, what stands at the ends.

Made once for each boat (ac_of). Knows no rule and no rulebook's number.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

import msgspec
import networkx as nx

from engine.graph.boat import Boat
from engine.graph.flows import UNLIMITED
from engine.graph.listed import graph_of, keyed_edges_of, web_of
from engine.graph.paths import reach
from engine.graph.poles import Edge, Keyed, Node, landing, ref_of
from engine.graph.positions import Needs, Positions, needs_of
from engine.library.device import DeviceKind
from engine.model.network import AC_LINES, Part, Run
from engine.model.quantity import Quantity

EARTH_POLES = frozenset({"PE", "BOND", "-"})
EARTH_WAYS = frozenset({"core", "through", "blocking", "bond"})
CONSUMERS = ("load_ac", "outlet_ac", "converter", "transformer")


class AcSource(msgspec.Struct, frozen=True):
    """A place where AC enters the wiring: the port of a part."""

    part: Part
    port: str
    lines: tuple[Node, ...]
    kind: str
    """"shore", "generator", "inverter" or "transformer"."""
    needs: Needs
    """The states of its own in which it feeds."""

    @property
    def neutral(self) -> Node:
        """Its neutral terminal."""
        return (self.part.id, self.port, "N")

    @property
    def earth(self) -> Node:
        """Its protective-earth terminal."""
        return (self.part.id, self.port, "PE")


class Bond(msgspec.Struct, frozen=True):
    """A joint between a neutral and an earth: inside a source, or a conductor that lands on the wrong bus."""

    neutral: Node
    earth: Node
    edge: Edge
    needs: Needs
    sure: bool
    """False where the part may join them and nobody has said that it does."""


class Residual(msgspec.Struct, frozen=True):
    """A residual-current element: the terminals behind it and its trip current, mA."""

    edge: Edge
    part: Part
    spans: tuple[Node, ...]
    trip_ma: Quantity

    @property
    def key(self) -> str:
        """The key of the device it belongs to."""
        return self.edge.key

    @property
    def field(self) -> str:
        """The field that holds the trip current."""
        main = self.edge.link is not None and self.edge.link.position == "main"
        return f"{self.key} {'main_residual_ma' if main else 'residual_ma'}"


class AcSystem:
    """Views of one boat's AC wiring, each made when first asked."""

    def __init__(self, boat: Boat) -> None:
        self.boat = boat

    @cached_property
    def wires(self) -> nx.MultiGraph:
        """Every conductor of the AC system and its earths, with joints where a conductor lands on a strange bus."""
        if not self._landings:
            return self.boat.wires
        return graph_of(self.boat.wires, [*keyed_edges_of(self.boat.wires), *self._landings])

    @cached_property
    def _landings(self) -> tuple[Keyed, ...]:
        """The joints where a conductor lands on a strange bus."""
        found = self.boat.carry_by_run("strange landings", lambda run: tuple(_landings_of(self.boat, run)) or None)
        return tuple(joint for joints in found.values() for joint in joints)

    @cached_property
    def lines(self) -> nx.MultiGraph:
        """The live line conductors."""
        return self._of(AC_LINES) if self._landings else self.boat.graphs.rails["L"]

    @cached_property
    def neutrals(self) -> nx.MultiGraph:
        """The neutral conductors."""
        return self._of(frozenset({"N"})) if self._landings else self.boat.graphs.rails["N"]

    @cached_property
    def earths(self) -> nx.MultiGraph:
        """The protective earths, as far as no switch, fuse or breaker parts them."""
        return self._of(frozenset({"PE"}), EARTH_WAYS)

    @cached_property
    def grounds(self) -> nx.MultiGraph:
        """Protective earths, bonding and DC negative together."""
        return self._of(EARTH_POLES, EARTH_WAYS)

    def _of(self, poles: frozenset[str], kinds: frozenset[str] = frozenset()) -> nx.MultiGraph:
        edges = [
            (a, b, key, edge)
            for a, b, key, edge in keyed_edges_of(self.wires)
            if a[2] in poles and b[2] in poles and (not kinds or edge.kind in kinds)
        ]
        return graph_of([node for node in self.wires if node[2] in poles], edges)

    @cached_property
    def stateful(self) -> frozenset[str]:
        """Parts that feed, or join neutral and earth, in some of their states only."""
        changing = self.boat.inside("source", "converter", "bond")
        return frozenset(edge.part.id for _, _, edge in changing if edge.part is not None and needs_of(edge))

    @cached_property
    def line_positions(self) -> Positions:
        """Which line conductors can be joined in which positions."""
        return Positions(self.lines, self.stateful)

    @cached_property
    def neutral_positions(self) -> Positions:
        """Which neutrals can be joined in which positions."""
        return Positions(self.neutrals, self.stateful)

    @cached_property
    def sources(self) -> tuple[AcSource, ...]:
        """Every AC source."""
        found: dict[tuple[str, str], AcSource] = {}
        for _, _, edge in self.boat.inside("source", "converter"):
            if edge.link is not None and edge.link.b[1] in AC_LINES:
                assert edge.part is not None
                place = (edge.part.id, edge.link.b[0])
                known = found[place].lines if place in found else ()
                live: Node = (edge.part.id, *edge.link.b)
                part = self.boat.part_of(edge)
                kind = _source_kind(part, self.boat.role(part))
                found[place] = AcSource(part, place[1], (*known, live), kind, needs_of(edge))
        return tuple(found.values())

    def of_kind(self, *kinds: str) -> tuple[AcSource, ...]:
        """The sources of these kinds that a conductor is wired to."""
        return tuple(source for source in self.sources if source.kind in kinds and self.is_wired(source.lines[0]))

    def is_wired(self, node: Node) -> bool:
        """Whether a run lands on the node."""
        return any(edge.run is not None for _, edge in web_of(self.wires).get(node, ()))

    @cached_property
    def bonds(self) -> tuple[Bond, ...]:
        """Every joint of a neutral with an earth."""
        found = []
        for a, b, _, edge in (*self.boat.graphs.beside, *self._landings):  # no bond lies along a rail
            if edge.kind == "bond" and "N" in (a[2], b[2]) and a[2] != b[2]:
                neutral, earth = (a, b) if a[2] == "N" else (b, a)
                if earth[2] in EARTH_POLES:
                    found.append(Bond(neutral, earth, edge, needs_of(edge), _is_stated(self.boat, edge)))
        return tuple(found)

    @cached_property
    def residuals(self) -> tuple[Residual, ...]:
        """Every residual-current element."""
        found = []
        for _, _, edge in self.boat.inside("residual"):
            if edge.part is not None and edge.link is not None:
                spans = tuple((edge.part.id, *span) for span in edge.link.spans)
                found.append(Residual(edge, self.boat.part_of(edge), spans, self.boat.rating_of(edge)))
        return tuple(found)

    @cached_property
    def ends(self) -> Mapping[Node, Part]:
        """The live terminals at which something uses AC: loads, outlets, chargers, transformers. Meters are none."""
        found: dict[Node, Part] = {}
        for _, _, edge in self.boat.inside("load", "converter"):
            if edge.part is None or edge.link is None:
                continue
            if self.boat.role(edge.part) in CONSUMERS:
                part = self.boat.part_of(edge)
                found |= {(part.id, *end): part for end in _taking(edge) if end[1] in AC_LINES}
        return found

    def feeding(self, part: Part) -> tuple[AcSource, ...]:
        """The sources that can feed the part, by conductors, in any position; itself not counted."""
        groups = {
            self.reachable_from.get((part.id, port.name, pole), ())
            for port in self.boat.ports(part)
            for pole in port.poles
            if pole in AC_LINES
        }
        names = {index for group in groups for index in group}
        return tuple(source for index, source in enumerate(self.sources) if index in names and source.part != part)

    @cached_property
    def reachable_from(self) -> Mapping[Node, tuple[int, ...]]:
        """For each line node, the numbers of the sources whose line conductors lead to it."""
        found: dict[Node, tuple[int, ...]] = {}
        for index, source in enumerate(self.sources):
            for node in reach(self.lines, source.lines):
                found[node] = (*found.get(node, ()), index)
        return found

    def spanned(self, residuals: Iterable[Residual]) -> frozenset[Node]:
        """The terminals behind the elements."""
        return frozenset(node for each in residuals for node in each.spans)


def ac_of(boat: Boat) -> AcSystem:
    """The boat's AC system, made once."""
    return boat.derive(AcSystem)


def reach_up_to(graph: nx.MultiGraph, starts: Iterable[Node], walls: frozenset[Node]) -> set[Node]:
    """Every node reached from the starts without entering one of the walls."""
    seen = {node for node in starts if node in graph and node not in walls}
    stack = list(seen)
    while stack:
        for _, other in graph.edges(stack.pop()):
            if other not in seen and other not in walls:
                seen.add(other)
                stack.append(other)
    return seen


def has_value(kind: DeviceKind | None, name: str) -> bool:
    """Whether parts of the kind can say this value."""
    return kind is not None and any(value.name == name for value in kind.value)


def shown(value: Quantity) -> str:
    """A quantity as a sentence shows it."""
    if value is None:
        return "unknown"
    return f"{value[0]:.4g} to {value[1]:.4g}" if isinstance(value, tuple) else f"{value:.4g}"


def amperes(current_a: float) -> str:
    """A current as a sentence shows it."""
    return "unlimited current" if current_a == UNLIMITED else f"{current_a:.4g} A"


def _taking(edge: Edge) -> tuple[tuple[str, str], ...]:
    assert edge.link is not None
    return (edge.link.a,) if edge.kind == "converter" else (edge.link.a, edge.link.b)


def _source_kind(part: Part, role: str) -> str:
    if role == "ac_source":
        return "shore" if part.kind.startswith("shore_inlet") else "generator"
    return "transformer" if role == "transformer" else "inverter"


def _is_stated(boat: Boat, edge: Edge) -> bool:
    """A conductor is what it is; a link that a part may lack is sure only where the part says so."""
    if edge.part is None or not has_value(boat.kind(edge.part), "bonds_neutral"):
        return True
    return boat.part_of(edge).values.get("bonds_neutral") is True


def _landings_of(boat: Boat, run: Run) -> Iterator[Keyed]:
    """Where a conductor lands on a port of one pole that is not its own: the two are joined there. In-line devices let strange
    poles pass by and are left out."""
    for end in (run.a, run.b):
        part = boat.parts.get(end.part)
        kind = boat.kind(part) if part else None
        if part is None or kind is None or end.port in kind.inline:
            continue
        poles = next((port.poles for port in boat.ports(part) if port.name == end.port), ())
        if len(poles) == 1:
            for pole in run.poles:
                node = landing(run, end, pole, boat.terminals)
                if node[2] != poles[0]:
                    joint = Edge("bond", ref_of(run), node[2])
                    yield node, (part.id, end.port, poles[0]), f"{run.id}:landing-{part.id}", joint

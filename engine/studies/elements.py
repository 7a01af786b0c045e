"""The boat in a case as a list of electrical elements between poles: conductors, supplies, valves, loads, converters.

Protective earth and bonding carry no current in normal service and are left out. Through links are one point. Knows no
matrix.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec
import networkx as nx

from engine.graph.boat import Boat, quantity
from engine.graph.graphs import pole_graph
from engine.graph.listed import edges_of
from engine.graph.poles import Edge, Node
from engine.model.network import AC_POLES, Part
from engine.studies.ac import ac_supply
from engine.studies.batteries import battery
from engine.studies.conditions import Case, duty_of
from engine.studies.conductors import core, device
from engine.studies.converters import Transfer, transfers
from engine.studies.draws import Draw, draw
from engine.studies.supplies import Supply, Valve, charging_source
from engine.studies.values import Corner, Figure, assumed

CARRYING = frozenset({"+", "-"}) | AC_POLES


class Branch(msgspec.Struct, frozen=True):
    """A conductor: a core of a run, a fuse, breaker, contact or shunt. `key` as findings call it."""

    key: str
    pole: str
    a: Node
    b: Node
    ohm: Figure


class Load(msgspec.Struct, frozen=True):
    """A load between two poles; `draw` None where it is at rest."""

    part: Part
    a: Node
    b: Node
    draw: Draw | None


class Elements(msgspec.Struct, frozen=True):
    """Everything that carries, gives or takes current in one case."""

    nodes: tuple[Node, ...]
    joined: tuple[tuple[Node, Node], ...]
    branches: tuple[Branch, ...]
    supplies: tuple[Supply, ...]
    valves: tuple[Valve, ...]
    loads: tuple[Load, ...]
    transfers: tuple[Transfer, ...]


def elements_of(boat: Boat, case: Case, corner: Corner) -> Elements:
    """The elements of the boat with its switches, sources and loads as the case has them."""
    graph = graph_of(boat, case)
    found = _Sorted()
    for a, b, edge in edges_of(graph):
        if a[2] in CARRYING and b[2] in CARRYING and a != b:
            _sort(found, boat, case, corner, (a, b), edge)
    for part, links in found.converters.items():
        found.transfers += transfers(boat, boat.parts[part], links, case, corner)
    nodes = tuple(node for node in graph if node[2] in CARRYING)
    return Elements(
        nodes, tuple(found.joined), tuple(found.branches), tuple(found.supplies), tuple(found.valves),
        tuple(found.loads), tuple(found.transfers),
    )  # fmt: skip


class _Sorted:
    """The lists while they are being filled."""

    def __init__(self) -> None:
        self.joined: list[tuple[Node, Node]] = []
        self.branches: list[Branch] = []
        self.supplies: list[Supply] = []
        self.valves: list[Valve] = []
        self.loads: list[Load] = []
        self.converters: dict[str, list[Edge]] = {}
        self.transfers: list[Transfer] = []


def _sort(found: _Sorted, boat: Boat, case: Case, corner: Corner, ends: tuple[Node, Node], edge: Edge) -> None:
    if edge.kind == "core":
        found.branches.append(_core(boat, edge, corner))
    elif edge.kind in ("through", "fuse", "breaker", "contact"):
        ohm = device(boat, edge, corner)
        if ohm is None:
            found.joined.append(ends)
        else:
            found.branches.append(Branch(edge.key, edge.pole, *_link_ends(edge), ohm))
    elif edge.kind == "load":
        found.loads.append(_load(boat, case, corner, edge))
    elif edge.kind == "converter" and edge.part is not None:
        found.converters.setdefault(edge.part.id, []).append(edge)
    elif edge.kind == "source":
        _sort_source(found, boat, case, corner, edge)
    elif edge.kind == "blocking":
        found.valves.append(_diode(boat, edge, corner))


def _core(boat: Boat, edge: Edge, corner: Corner) -> Branch:
    run = boat.run_of(edge)
    a, b = boat.core_ends(run, edge.pole)
    return Branch(edge.key, edge.pole, a, b, core(boat, run, corner, ac=edge.pole in AC_POLES))


def _link_ends(edge: Edge) -> tuple[Node, Node]:
    """The link's ends in its own order; those of a pole that passes straight through included."""
    assert edge.part is not None
    assert edge.link is not None
    return (edge.part.id, *edge.link.a), (edge.part.id, *edge.link.b)


def _load(boat: Boat, case: Case, corner: Corner, edge: Edge) -> Load:
    part, (a, b) = boat.part_of(edge), _link_ends(edge)
    return Load(part, a, b, draw(boat, part, case, corner, ac=a[2] in AC_POLES))


def _sort_source(found: _Sorted, boat: Boat, case: Case, corner: Corner, edge: Edge) -> None:
    part, (a, b) = boat.part_of(edge), _link_ends(edge)
    if boat.role(part) == "battery":
        cell = battery(boat, part, case.charge.get(part.id), corner)
        if cell.emf.real > 0:
            found.supplies.append(Supply(part, a, b, cell.emf, cell.resistance))
        return
    duty = duty_of(boat, part, case)
    if b[2] in AC_POLES:
        if duty > 0 and (supply := ac_supply(boat, part, a, b, corner)):
            found.supplies.append(supply)
    elif duty > 0 and (valve := charging_source(boat, part, a, b, duty, corner)):
        found.valves.append(valve)


def _diode(boat: Boat, edge: Edge, corner: Corner) -> Valve:
    """A blocking link: it passes from a to b and loses some voltage."""
    part = boat.part_of(edge)
    lost_v, source = assumed("diode_lost", corner, "low")
    stated = quantity(part, "drop_v")
    lost_v = stated if isinstance(stated, (int, float)) else lost_v
    slope, slope_source = assumed("diode_slope", corner, "low")
    emf = Figure(-lost_v, "V", f"{lost_v:g} V lost", (source,))
    ohm = Figure(slope / 1000, "ohm", f"{slope:g} mΩ", (slope_source,))
    return Valve(part, *_link_ends(edge), emf, ohm, None)


def fields_lacking(elements: Elements) -> Iterator[tuple[Node, str]]:
    """Every field without which the results are at best what is shown, with a pole near which it counts."""
    for branch in elements.branches:
        yield from ((branch.a, field) for field in branch.ohm.lacks)
    for supply in elements.supplies:
        yield from ((supply.b, field) for figure in (supply.emf, supply.ohm) for field in figure.lacks)
    for load in elements.loads:
        yield from ((load.a, field) for field in (load.draw.amount.lacks if load.draw else ()))
    for transfer in elements.transfers:
        yield from ((transfer.a, field) for field in transfer.lacks)
    for valve in elements.valves:
        yield from ((valve.b, field) for field in (valve.limit_a.lacks if valve.limit_a else ()))


def graph_of(boat: Boat, case: Case) -> nx.MultiGraph:
    """The pole graph of the case; the boat's own where every contact is closed."""
    return boat.graph if case.switches is None else pole_graph(boat.network, boat.library, case.switches)

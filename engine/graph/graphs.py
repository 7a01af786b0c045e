"""The graphs of a boat: the pole graph, its conductors, and these by kind of pole.

They are made anew, or from those that were made last where only runs came or went between terminals: then what is listed of the
nodes these do not touch is taken over, and a graph that they do not touch stays the same object.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence

import msgspec
import networkx as nx

from engine.graph.listed import graph_of, keyed_edges_of, mended
from engine.graph.poles import (
    SPLIT_LINES,
    Edge,
    Keyed,
    Node,
    PartRef,
    RunRef,
    Switches,
    is_closed,
    landing,
    rail_of,
    ref_of,
    stays_closed,
)
from engine.graph.skeleton import Skeleton, Tables, parts_wired
from engine.library.device import DeviceKind, Library
from engine.library.expand import Link, links_of, ports_of
from engine.model.kept import by_identity, latest
from engine.model.network import Network, Part, Run

RAILS = ("+", "-", "N", "L")


class Graphs(msgspec.Struct, frozen=True):
    """`whole`: the pole graph with every contact closed that can close; `wires`: its conducting edges; `rails`: these by kind of
    pole, all AC lines together as "L"."""

    whole: nx.MultiGraph
    wires: nx.MultiGraph
    rails: Mapping[str, nx.MultiGraph]
    beside: Sequence[Keyed]
    """The conducting edges that lie along none of these."""
    strands: Mapping[str, tuple[nx.MultiGraph, ...]]
    """Each rail in parts between which no edge lies, with all its edges: where nothing was mended, as small as they can be."""
    through: tuple[Keyed, ...]
    """The edges that go straight through parts."""
    runs: tuple[RunRef, ...]
    within: Within
    stamp: object
    """Tells these from all others."""
    before: object = None
    """The stamp of those with which these were begun."""
    at: frozenset[Node] = frozenset()
    """The terminals at which those have other edges."""


class Sorted(msgspec.Struct, frozen=True):
    """The conducting ones of some edges: all, along each rail, and along none."""

    every: list[Keyed]
    along: Mapping[str, list[Keyed]]
    beside: list[Keyed]


class Within(msgspec.Struct, frozen=True):
    """What the parts bring: their terminals, and the edges inside them. `inline`: those through which poles may go straight."""

    parts: tuple[Skeleton, ...]
    library: Library
    nodes: tuple[Node, ...]
    terminals: frozenset[Node]
    links: tuple[Keyed, ...]
    sorted_links: Sorted
    inline: Mapping[str, tuple[PartRef, DeviceKind]]
    tables: Tables
    """What follows from it, by name."""


def pole_graph(network: Network, library: Library, switches: Switches | None = None) -> nx.MultiGraph:
    """The graph of the boat with its switches set; None: every contact closed that can close.

    Parts of unknown kind have no links; their ports exist where runs land on them.
    """
    within = _within(network, library, switches)
    cores = _cores(network, within)
    return graph_of(within.nodes, (*within.links, *cores, *_through(cores, within)))


def switched_edges(graph: nx.MultiGraph, library: Library, switches: Switches) -> tuple[Keyed, ...]:
    """The conducting edges that remain of the full graph (every contact closed) with the switches set as given."""
    return tuple(
        keyed for keyed in keyed_edges_of(graph) if keyed[3].conducts and stays_closed(keyed[3], library, switches)
    )


def graphs_of(network: Network, library: Library, parts: tuple[Skeleton, ...], runs: tuple[RunRef, ...]) -> Graphs:
    """The graphs of a boat with this wiring; begun with those that were made last."""
    before: Graphs | None = latest.get("graphs")
    if before is None or before.within.library is not library or before.within.parts != parts:
        made = _anew(network, _within(network, library), runs)
    elif (at := _touched(before, runs)) is None:
        made = _anew(network, before.within, runs)
    else:
        made = _mended(before, network, runs, at)
    latest["graphs"] = made
    return made


def _anew(network: Network, within: Within, runs: tuple[RunRef, ...]) -> Graphs:
    cores = _cores(network, within)
    through = _through(cores, within)
    found = _together(within.sorted_links, _sorted(cores), _sorted(through))
    whole = graph_of(within.nodes, (*within.links, *cores, *through))
    nodes: dict[str, list[Node]] = {name: [] for name in RAILS}
    for node in whole:
        if (name := rail_of(node)) in nodes:
            nodes[name].append(node)
    rails = {name: graph_of(nodes[name], along) for name, along in found.along.items()}
    strands = {name: tuple(_strands(nodes[name], along)) for name, along in found.along.items()}
    return Graphs(whole, graph_of(whole, found.every), rails, found.beside, strands, through, runs, within, object())


def _mended(before: Graphs, network: Network, runs: tuple[RunRef, ...], at: frozenset[Node]) -> Graphs:
    within, through = before.within, before.through
    cores = _cores(network, within)
    found = _together(within.sorted_links, _sorted(cores), _sorted(through))
    edges = (*within.links, *cores, *through)
    here = [keyed for keyed in edges if keyed[0] in at or keyed[1] in at]
    those = _sorted(here)
    whole, wires = mended(before.whole, edges, at, here), mended(before.wires, found.every, at, those.every)
    rails, strands = dict(before.rails), dict(before.strands)
    for name, along in found.along.items():
        if at_rail := frozenset(node for node in at if rail_of(node) == name):
            rails[name] = mended(rails[name], along, at_rail, those.along[name])
            strands[name] = _strands_mended(strands[name], rails[name], at_rail, those.along[name])
    return Graphs(whole, wires, rails, found.beside, strands, through, runs, within, object(), before.stamp, at)


def _sorted(edges: Iterable[Keyed]) -> Sorted:
    every = [keyed for keyed in edges if keyed[3].conducts]
    along: dict[str, list[Keyed]] = {name: [] for name in RAILS}
    beside: list[Keyed] = []
    for keyed in every:
        name = rail_of(keyed[0])
        at = along[name] if name in along and rail_of(keyed[1]) == name else beside
        at.append(keyed)
    return Sorted(every, along, beside)


def _together(*several: Sorted) -> Sorted:
    every = [keyed for each in several for keyed in each.every]
    along = {name: [keyed for each in several for keyed in each.along[name]] for name in RAILS}
    return Sorted(every, along, [keyed for each in several for keyed in each.beside])


def _touched(before: Graphs, runs: tuple[RunRef, ...]) -> frozenset[Node] | None:
    """The terminals at which cores came or went. None where one lands elsewhere, or on a part through which poles go straight,
    and where runs changed places in the list."""
    old, new = {run.id: run for run in before.runs}, {run.id: run for run in runs}
    stayed = [name for name, run in old.items() if new.get(name) == run]
    if stayed != [name for name, run in new.items() if old.get(name) == run]:
        return None
    still, terminals = frozenset(stayed), before.within.terminals
    others = [run for known in (old, new) for name, run in known.items() if name not in still]
    at = frozenset(landing(run, end, pole, terminals) for run in others for pole in run.poles for end in (run.a, run.b))
    return at if at <= terminals and not any(node[0] in before.within.inline for node in at) else None


def _strands(nodes: Iterable[Node], edges: Iterable[Keyed]) -> Iterator[nx.MultiGraph]:
    """The parts that hang together."""
    above: dict[Node, Node] = {}
    listed = list(edges)
    for a, b, _, _ in listed:
        above[_top(above, b)] = _top(above, a)
    along: dict[Node, list[Keyed]] = {}
    for keyed in listed:
        along.setdefault(_top(above, keyed[0]), []).append(keyed)
    within: dict[Node, list[Node]] = {}
    for node in nodes:
        if node in above:
            within.setdefault(_top(above, node), []).append(node)
    for top, joined in within.items():
        yield graph_of(joined, along[top])


def _top(above: dict[Node, Node], node: Node) -> Node:
    """The node that stands for all with which one hangs together."""
    while (one := above.setdefault(node, node)) is not node:
        above[node] = above[one]
        node = one
    return node


def _strands_mended(
    before: tuple[nx.MultiGraph, ...], rail: nx.MultiGraph, at: frozenset[Node], here: Sequence[Keyed]
) -> tuple[nx.MultiGraph, ...]:
    """Those that are touched become one: it may fall apart, which changes nothing that is worked out over it."""
    touched = [strand for strand in before if any(node in strand for node in at)]
    still = [strand for strand in before if strand not in touched]
    nodes = at.union(*touched)
    edges = [keyed for keyed in keyed_edges_of(rail) if keyed[0] in nodes]
    if len(touched) == 1 and len(nodes) == len(touched[0]):
        return *still, mended(touched[0], edges, at, here)
    return *still, graph_of((node for node in rail if node in nodes), edges)


def _within(network: Network, library: Library, switches: Switches | None = None) -> Within:
    kinds = [(part, library.get(part.kind)) for part in network.parts]
    nodes = tuple(node for part, kind in kinds for node in _nodes_of(part, kind))
    links = tuple(link for part, kind in kinds for link in _closed(part, kind, switches))
    inline = {
        part.id: (PartRef(part.id, part.kind), kind)
        for part, kind in kinds
        if kind is not None and len(kind.inline) > 1
    }
    return Within(parts_wired(network, library), library, nodes, frozenset(nodes), links, _sorted(links), inline, {})


def _cores(network: Network, within: Within) -> list[Keyed]:
    return [core for run in network.runs for core in _cores_of(run, within.terminals)]


def _through(cores: Iterable[Keyed], within: Within) -> tuple[Keyed, ...]:
    """Poles that an in-line device does not take go straight through it."""
    landed: dict[str, set[str]] = {part: set() for part in within.inline}
    for a, b, _, _ in cores:
        for part, _, pole in (a, b):
            if part in landed:
                landed[part].add(pole)
    return tuple(each for part, poles in landed.items() for each in _passing(*within.inline[part], poles))


@by_identity
def _nodes_of(part: Part, kind: DeviceKind | None) -> tuple[Node, ...]:
    return tuple((part.id, port.name, pole) for port in ports_of(part, kind) for pole in port.poles) if kind else ()


def _closed(part: Part, kind: DeviceKind | None, switches: Switches | None) -> Iterable[Keyed]:
    """The part's own links that are closed."""
    every = _links_inside(part, kind)
    if kind is None or switches is None:
        return every
    return (keyed for keyed in every if keyed[3].link and is_closed(part, kind, keyed[3].link, switches))


@by_identity
def _links_inside(part: Part, kind: DeviceKind | None) -> tuple[Keyed, ...]:
    if kind is None:
        return ()
    itself = PartRef(part.id, part.kind)
    return tuple(
        ((part.id, *link.a), (part.id, *link.b), f"{part.id}#{index}", Edge(link.kind, None, link.a[1], itself, link))
        for index, link in enumerate(links_of(part, kind))
    )


def _cores_of(run: Run, known: Container[Node]) -> tuple[Keyed, ...]:
    """Where they land depends on the parts for the lines of a split-phase supply only."""
    return _cores_to(run, known) if SPLIT_LINES.intersection(run.poles) else _plain_cores(run, None)


@by_identity
def _plain_cores(run: Run, _: None) -> tuple[Keyed, ...]:
    return _cores_to(run, ())


def _cores_to(run: Run, known: Container[Node]) -> tuple[Keyed, ...]:
    itself = ref_of(run)
    return tuple(
        (
            landing(run, run.a, pole, known),
            landing(run, run.b, pole, known),
            f"{run.id}:{pole}",
            Edge("core", itself, pole),
        )
        for pole in run.poles
    )


def _passing(part: PartRef, kind: DeviceKind, landed: set[str]) -> Iterator[Keyed]:
    """Poles of a run that an in-line device does not take go straight through between its in-line ports."""
    first, *others = kind.inline
    taken = {pole for port in kind.port for pole in port.poles}
    for pole in sorted(landed - taken):
        for other in others:
            link = Link("through", (first, pole), (other, pole))
            a, b = (part.id, first, pole), (part.id, other, pole)
            yield a, b, f"{part.id}#pass-{other}-{pole}", Edge("through", None, pole, part, link)

"""The graphs of a boat: the pole graph, its conductors, and these by kind of pole.

They are made anew, or from those that were made last where parts and runs came or went between terminals: then what is listed of
the nodes these do not touch is taken over, and a graph that they do not touch stays the same object.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from itertools import chain

import msgspec
import networkx as nx

from engine.graph.differing import Difference, Wired, difference
from engine.graph.edges import (
    LIVE_RAILS,
    RAILS,
    Cores,
    Listed,
    Within,
    cores_of,
    sort_out,
    through_of,
    together,
    within_of,
)
from engine.graph.listed import graph_of, graph_over, keyed_edges_of, mended
from engine.graph.poles import Keyed, Node, RunRef, Switches, rail_of, stays_closed
from engine.graph.skeleton import Skeleton
from engine.graph.strands import strands_anew, strands_mended, strands_of
from engine.library.device import Library
from engine.model.kept import latest
from engine.model.network import Network


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
    cores: Cores
    within: Within
    stamp: object
    """Tells these from all others."""
    before: object = None
    """The stamp of those with which these were begun."""
    at: frozenset[Node] = frozenset()
    """The terminals at which those have other edges, and those that only one of the two has."""
    parts: frozenset[str] = frozenset()
    """The parts that came, went or are others than in those."""


def pole_graph(network: Network, library: Library, switches: Switches | None = None) -> nx.MultiGraph:
    """The graph of the boat with its switches set; None: every contact closed that can close.

    Parts of unknown kind have no links; their ports exist where runs land on them.
    """
    within = within_of(network, library, switches)
    cores = [*chain(*cores_of(network.runs, within))]
    return graph_of(within.nodes, (*within.links, *cores, *through_of(cores, within)))


def switched_edges(graph: nx.MultiGraph, library: Library, switches: Switches) -> tuple[Keyed, ...]:
    """The conducting edges that remain of the full graph (every contact closed) with the switches set as given."""
    return tuple(
        keyed for keyed in keyed_edges_of(graph) if keyed[3].conducts and stays_closed(keyed[3], library, switches)
    )


def graphs_of(network: Network, library: Library, parts: tuple[Skeleton, ...], runs: tuple[RunRef, ...]) -> Graphs:
    """The graphs of a boat with this wiring; begun with those that were made last."""
    before: Graphs | None = latest.get("graphs")
    if before is None or before.within.library is not library:
        made = _anew(network, within_of(network, library), runs)
    else:
        within = before.within if before.within.parts == parts else within_of(network, library)
        made = _mended(before, network, within, runs) or _anew(network, within, runs)
    latest["graphs"] = made
    return made


def _anew(network: Network, within: Within, runs: tuple[RunRef, ...]) -> Graphs:
    by_run = cores_of(network.runs, within)
    cores = [*chain(*by_run)]
    through = through_of(cores, within)
    found = together(within.sorted_links, sort_out(cores), sort_out(through))
    whole = graph_of(within.nodes, (*within.links, *cores, *through))
    nodes: dict[str, list[Node]] = {name: [] for name in RAILS}
    for node in whole:
        if (name := rail_of(node)) in nodes:
            nodes[name].append(node)
    rails = {name: graph_over(nodes[name], along) for name, along in found.along.items()}
    strands = {name: tuple(strands_of(nodes[name], along)) for name, along in found.along.items()}
    wires = graph_over(whole, found.every)
    return Graphs(whole, wires, rails, found.beside, strands, through, runs, by_run, within, object())


def _mended(before: Graphs, network: Network, within: Within, runs: tuple[RunRef, ...]) -> Graphs | None:
    """Made of those before; None where that cannot be. A live strand that is touched is made anew where edges inside parts that
    differ lie along it: devices may stand there."""
    differing = difference(Wired(before.within, before.runs), Wired(within, runs))
    if differing is None:
        return None
    within = within.sharing(before.within, differing.parts) if differing.parts else within
    cores = _cores_with(before, network, within, differing.runs)
    listed = Listed(within, cores, before.through)
    here = listed.at(differing.at)
    conducting = sort_out(here)
    nodes = _nodes_of(before, within, listed, differing) if differing.parts else None
    rails, strands = _rails_with(before, listed, nodes, differing, conducting.along)
    return Graphs(
        mended(before.whole, listed.every, differing.at, here, nodes),
        mended(before.wires, listed.conducting, differing.at, conducting.every, nodes),
        rails, _beside_with(before, listed, differing, conducting.beside), strands, before.through, runs, cores, within,
        object(), before.stamp, differing.at, differing.parts,
    )  # fmt: skip


def _cores_with(before: Graphs, network: Network, within: Within, but: frozenset[str]) -> Cores:
    """Those before, but of some runs."""
    known = {run.id: cores for run, cores in zip(before.runs, before.cores, strict=True) if run.id not in but}
    return tuple([known[run.id] if run.id in known else cores_of((run,), within)[0] for run in network.runs])


def _rails_with(
    before: Graphs,
    listed: Listed,
    nodes: Iterable[Node] | None,
    differing: Difference,
    here: Mapping[str, Sequence[Keyed]],
) -> tuple[Mapping[str, nx.MultiGraph], Mapping[str, tuple[nx.MultiGraph, ...]]]:
    """The rails and their strands. `nodes`: all of the boat, where they are others than before."""
    rails, strands, inside = dict(before.rails), dict(before.strands), sort_out(differing.inside).along
    for name in RAILS:
        if at := frozenset(node for node in differing.at if rail_of(node) == name):
            along = [node for node in nodes if rail_of(node) == name] if nodes is not None else None
            rail = rails[name] = mended(before.rails[name], partial(listed.along, name), at, here[name], along)
            edges_at = partial(listed.along_at, name)
            if inside[name] and name in LIVE_RAILS:
                strands[name] = strands_anew(strands[name], rail, at, edges_at)
            else:
                came = [node for node in at if node not in before.rails[name]]
                strands[name] = strands_mended(strands[name], rail, at, here[name], edges_at, came)
    return rails, strands


def _beside_with(before: Graphs, listed: Listed, differing: Difference, here: Sequence[Keyed]) -> Sequence[Keyed]:
    """The conducting edges along no rail: those before, where none of them came or went."""
    gone = any(not differing.at.isdisjoint(keyed[:2]) for keyed in before.beside)
    return listed.beside() if here or gone else before.beside


def _nodes_of(before: Graphs, within: Within, listed: Listed, differing: Difference) -> Iterable[Node]:
    """The terminals of a boat, and all else at which an edge ends: the same as before where no edge inside what differs does so."""
    if differing.between_terminals:
        return (*within.nodes, *list(before.whole)[len(before.within.nodes) :])
    return dict.fromkeys(chain(within.nodes, *(keyed[:2] for keyed in listed.every())))

"""The pole graph: one node per (part, port, pole), one edge per core of a run and per link inside a part.

Every safety question is a question about this graph, never about the drawing. Edges carry an `Edge` under "edge".
Conductors (cores, through, closed contacts, fuses, breakers, bonds) are told from energy links (source, load, converter),
over which no conductor runs.
"""

from __future__ import annotations

from collections.abc import Mapping

import msgspec
import networkx as nx

from engine.library.device import DeviceKind, Library
from engine.library.expand import Link, links_of, ports_of
from engine.model.network import Network, Part, Run

Node = tuple[str, str, str]
"""(part id, port, pole)."""

ENERGY = frozenset({"source", "load", "converter"})
"""Links over which power crosses but no conductor does; a residual element is a measurement, not a conductor either."""

Switches = Mapping[str, str]
"""Position of each switch: part id -> state, or "part id/position key" -> "on" | "off"."""


class Edge(msgspec.Struct, frozen=True):
    """One edge of the pole graph: a core of a run (run set) or a link of a part (part and link set)."""

    kind: str
    """"core" or a link kind."""
    run: Run | None = None
    pole: str = ""
    part: Part | None = None
    link: Link | None = None

    @property
    def key(self) -> str:
        """What a finding or a click calls it: "run:ID", "position:ID/KEY" or "part:ID"."""
        if self.run is not None:
            return f"run:{self.run.id}"
        assert self.part is not None
        assert self.link is not None
        inside_panel = self.link.position and self.link.position != "main"
        return f"position:{self.part.id}/{self.link.position}" if inside_panel else f"part:{self.part.id}"

    @property
    def conducts(self) -> bool:
        """Whether a conductor runs along it."""
        return self.kind not in ENERGY and self.kind != "residual"


def pole_graph(network: Network, library: Library, switches: Switches | None = None) -> nx.MultiGraph:
    """The graph of the boat with its switches set; None: every contact closed that can close.

    Parts of unknown kind have no links; their ports exist where runs land on them.
    """
    graph: nx.MultiGraph = nx.MultiGraph()
    kinds = {part.id: library.get(part.kind) for part in network.parts}
    for part in network.parts:
        _add_part(graph, part, kinds[part.id], switches)
    for run in network.runs:
        _add_run(graph, run)
    landed: dict[str, set[str]] = {}
    for run in network.runs:
        for end in (run.a, run.b):
            landed.setdefault(end.part, set()).update(run.poles)
    for part in network.parts:
        _pass_through(graph, part, kinds[part.id], landed.get(part.id, set()))
    return graph


def conductors(graph: nx.MultiGraph) -> nx.MultiGraph:
    """The same nodes with the conducting edges only."""
    inner = nx.MultiGraph()
    inner.add_nodes_from(graph)
    inner.add_edges_from(
        (a, b, key, data) for a, b, key, data in graph.edges(keys=True, data=True) if data["edge"].conducts
    )
    return inner


def switched_edges(
    graph: nx.MultiGraph, library: Library, switches: Switches
) -> tuple[tuple[Node, Node, str, Edge], ...]:
    """The conducting edges that remain of the full graph (every contact closed) with the switches set as given."""
    return tuple(
        (a, b, key, edge)
        for a, b, key, edge in graph.edges(keys=True, data="edge")
        if edge.conducts and (edge.link is None or _is_closed(edge.part, library[edge.part.kind], edge.link, switches))
    )


def edges_of(graph: nx.MultiGraph) -> tuple[tuple[Node, Node, Edge], ...]:
    """Every edge with its two nodes, of a graph that is no longer changed; listed once and kept with it.

    A subgraph view shares its parent's attributes, so the list is kept under the graph it was made from.
    """
    kept = graph.graph.get("edges")
    if kept is None or kept[0] is not graph:
        kept = graph.graph["edges"] = (graph, tuple(graph.edges(data="edge")))
    return kept[1]  # type: ignore[no-any-return]


def _add_part(graph: nx.MultiGraph, part: Part, kind: DeviceKind | None, switches: Switches | None) -> None:
    if kind is None:
        return
    for port in ports_of(part, kind):
        graph.add_nodes_from((part.id, port.name, pole) for pole in port.poles)
    for index, link in enumerate(links_of(part, kind)):
        if _is_closed(part, kind, link, switches):
            a, b = (part.id, *link.a), (part.id, *link.b)
            graph.add_edge(a, b, key=f"{part.id}#{index}", edge=Edge(link.kind, None, link.a[1], part, link))


def _add_run(graph: nx.MultiGraph, run: Run) -> None:
    for pole in run.poles:
        a, b = (run.a.part, run.a.port, pole), (run.b.part, run.b.port, pole)
        graph.add_edge(a, b, key=f"{run.id}:{pole}", edge=Edge("core", run, pole))


def _pass_through(graph: nx.MultiGraph, part: Part, kind: DeviceKind | None, landed: set[str]) -> None:
    """Poles of a run that an in-line device does not take go straight through between its in-line ports."""
    if kind is None or len(kind.inline) < 2:
        return
    first, *others = kind.inline
    taken = {pole for port in kind.port for pole in port.poles}
    for pole in sorted(landed - taken):
        for other in others:
            link = Link("through", (first, pole), (other, pole))
            key = f"{part.id}#pass-{other}-{pole}"
            graph.add_edge(
                (part.id, first, pole), (part.id, other, pole), key=key, edge=Edge("through", None, pole, part, link)
            )


def _is_closed(part: Part, kind: DeviceKind, link: Link, switches: Switches | None) -> bool:
    if switches is None:
        return True
    if link.position and switches.get(f"{part.id}/{link.position}", "on") == "off":
        return link.kind not in ("fuse", "breaker", "contact")
    state = switches.get(part.id, kind.states[0] if kind.states else "on")
    if link.states:
        return state in link.states
    return not (state == "off" and not kind.states and link.kind in ("fuse", "breaker"))

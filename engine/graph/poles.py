"""The pole graph: one node per (part, port, pole), one edge per core of a run and per link inside a part.

Every safety question is a question about this graph, never about the drawing. Edges carry an `Edge` under "edge".
Conductors (cores, through, closed contacts, fuses, breakers, bonds) are told from energy links (source, load, converter),
over which no conductor runs.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping

import msgspec
import networkx as nx

from engine.library.device import DeviceKind, Library
from engine.library.expand import Link, links_of, ports_of
from engine.model.kept import by_identity
from engine.model.network import End, Network, Part, Run

Node = tuple[str, str, str]
"""(part id, port, pole)."""

ENERGY = frozenset({"source", "load", "converter"})
"""Links over which power crosses but no conductor does; a residual element is a measurement, not a conductor either."""

DEVICES = frozenset({"fuse", "breaker"})
SPLIT_LINES = frozenset({"L1", "L2"})

Switches = Mapping[str, str]
"""Position of each switch: part id -> state, or "part id/position key" -> "on" | "off"."""


class PartRef(msgspec.Struct, frozen=True):
    """What the graph knows of a part."""

    id: str
    kind: str


class RunRef(msgspec.Struct, frozen=True):
    """What the graph knows of a run."""

    id: str
    a: End
    b: End
    poles: tuple[str, ...]
    cranking: bool = False


class Edge(msgspec.Struct, frozen=True):
    """One edge of the pole graph: a core of a run (run set) or a link of a part (part and link set).

    It holds no record of the network, so that it stays the same as long as the same hangs together; sizes, ratings and names
    are found with the boat (`Boat.run_of`, `Boat.part_of`, `Boat.rating_of`).
    """

    kind: str
    """"core" or a link kind."""
    run: RunRef | None = None
    pole: str = ""
    part: PartRef | None = None
    link: Link | None = None

    key: str = ""
    """What a finding or a click calls it: "run:ID", "position:ID/KEY" or "part:ID"."""

    def __post_init__(self) -> None:
        """Its key is asked for again and again."""
        msgspec.structs.force_setattr(self, "key", self._named())

    def _named(self) -> str:
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


Keyed = tuple[Node, Node, str, Edge]
"""An edge with its two nodes and its key, by which it is told from a parallel one."""


def pole_graph(network: Network, library: Library, switches: Switches | None = None) -> nx.MultiGraph:
    """The graph of the boat with its switches set; None: every contact closed that can close.

    Parts of unknown kind have no links; their ports exist where runs land on them.
    """
    kinds = {part.id: library.get(part.kind) for part in network.parts}
    nodes = [node for part in network.parts for node in _nodes_of(part, kinds[part.id])]
    edges = [edge for part in network.parts for edge in _inside(part, kinds[part.id], switches)]
    known = frozenset(nodes)
    inline: dict[str, set[str]] = {
        part: set() for part, kind in kinds.items() if kind is not None and len(kind.inline) > 1
    }
    for run in network.runs:
        for keyed in _cores(run, known):
            edges.append(keyed)
            for node in keyed[:2]:
                if node[0] in inline:
                    inline[node[0]].add(node[2])
    for part in network.parts:
        if part.id in inline:
            edges += _passing(part, kinds[part.id], inline[part.id])
    return graph_of(nodes, edges)


def graph_of(nodes: Iterable[Node], edges: Iterable[Keyed]) -> nx.MultiGraph:
    """A graph that is not changed any more, with its edges listed beside it for the many walks that go over it."""
    graph, listed = _Listed(), tuple(edges)
    known = graph._node
    for node in nodes:
        known[node] = {}
    for a, b, _, _ in listed:
        if a not in known:
            known[a] = {}
        if b not in known:
            known[b] = {}
    graph.graph["keyed"] = (graph, listed)
    return graph


class _Listed(nx.MultiGraph):  # type: ignore[misc]
    """A graph that is made of a list of edges. Its dicts of dicts are filled when networkx first asks for them: a check makes half
    a dozen graphs, and walks over most of them by the list alone."""

    _filled: dict[Node, dict[Node, dict[str, dict[str, Edge]]]] | None = None

    @property
    def _adj(self) -> dict[Node, dict[Node, dict[str, dict[str, Edge]]]]:
        if self._filled is None:
            self._filled = {node: {} for node in self._node}
            # a copy has the attributes of the graph it was copied from, its list too
            whose, listed = self.graph.get("keyed", (None, ()))
            for a, b, key, edge in listed if whose is self else ():
                between = self._filled[a].get(b)
                if between is None:
                    between = self._filled[a][b] = self._filled[b][a] = {}
                between[key] = {"edge": edge}
        return self._filled

    @_adj.setter
    def _adj(self, value: dict[Node, dict[Node, dict[str, dict[str, Edge]]]]) -> None:
        """networkx sets it to nothing when it makes a graph, and to a part of another's when it makes a view."""
        self._filled = value or None
        self.__dict__.pop("adj", None)


def conductors(graph: nx.MultiGraph) -> nx.MultiGraph:
    """The same nodes with the conducting edges only."""
    return graph_of(graph, (keyed for keyed in keyed_edges_of(graph) if keyed[3].conducts))


def switched_edges(graph: nx.MultiGraph, library: Library, switches: Switches) -> tuple[Keyed, ...]:
    """The conducting edges that remain of the full graph (every contact closed) with the switches set as given."""
    return tuple(
        keyed for keyed in keyed_edges_of(graph) if keyed[3].conducts and stays_closed(keyed[3], library, switches)
    )


def stays_closed(edge: Edge, library: Library, switches: Switches) -> bool:
    """Whether a conducting edge conducts with the switches set as given."""
    if edge.part is None or edge.link is None:
        return True
    return _is_closed(edge.part, library[edge.part.kind], edge.link, switches)


def keyed_edges_of(graph: nx.MultiGraph) -> tuple[Keyed, ...]:
    """Every edge with its two nodes and its key, of a graph that is no longer changed; listed once and kept with it.

    A subgraph view shares its parent's attributes, so the list is kept under the graph it was made from.
    """
    kept = graph.graph.get("keyed")
    if kept is None or kept[0] is not graph:
        kept = graph.graph["keyed"] = (graph, tuple(graph.edges(keys=True, data="edge")))
    return kept[1]  # type: ignore[no-any-return]


def joints_of(graph: nx.MultiGraph) -> Mapping[Node, list[tuple[Node, str]]]:
    """At each node the (other node, key) of its edges, of a graph that is no longer changed; kept with it."""
    kept = graph.graph.get("joints")
    if kept is None or kept[0] is not graph:
        near: dict[Node, list[tuple[Node, str]]] = {node: [] for node in graph}
        for a, b, key, _ in keyed_edges_of(graph):
            near[a].append((b, key))
            near[b].append((a, key))
        kept = graph.graph["joints"] = (graph, near)
    return kept[1]  # type: ignore[no-any-return]


def edges_of(graph: nx.MultiGraph) -> tuple[tuple[Node, Node, Edge], ...]:
    """Every edge with its two nodes, of a graph that is no longer changed; listed once and kept with it."""
    kept = graph.graph.get("edges")
    if kept is None or kept[0] is not graph:
        kept = graph.graph["edges"] = (graph, tuple((a, b, edge) for a, b, _, edge in keyed_edges_of(graph)))
    return kept[1]  # type: ignore[no-any-return]


@by_identity
def _nodes_of(part: Part, kind: DeviceKind | None) -> tuple[Node, ...]:
    return tuple((part.id, port.name, pole) for port in ports_of(part, kind) for pole in port.poles) if kind else ()


def _inside(part: Part, kind: DeviceKind | None, switches: Switches | None) -> Iterable[Keyed]:
    """The part's own links that are closed."""
    every = _links_inside(part, kind)
    if kind is None or switches is None:
        return every
    return (keyed for keyed in every if keyed[3].link and _is_closed(part, kind, keyed[3].link, switches))


@by_identity
def _links_inside(part: Part, kind: DeviceKind | None) -> tuple[Keyed, ...]:
    if kind is None:
        return ()
    itself = PartRef(part.id, part.kind)
    return tuple(
        ((part.id, *link.a), (part.id, *link.b), f"{part.id}#{index}", Edge(link.kind, None, link.a[1], itself, link))
        for index, link in enumerate(links_of(part, kind))
    )


def _cores(run: Run, known: Container[Node]) -> tuple[Keyed, ...]:
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


def ref_of(run: Run) -> RunRef:
    """A run as the graph knows it."""
    return RunRef(run.id, run.a, run.b, run.poles, run.cranking)


def is_core_of(edge: Edge, run: Run) -> bool:
    """Whether an edge is a core of the run."""
    return edge.run is not None and edge.run.id == run.id


def is_link_of(edge: Edge, part: Part) -> bool:
    """Whether an edge is a link of the part."""
    return edge.part is not None and edge.part.id == part.id


def landing(run: Run, end: End, pole: str, known: Container[Node]) -> Node:
    """The node on which a core of the run lands; `known` holds the terminals that parts have.

    One line of a split-phase supply (L1 or L2) that comes to a part with a single line feeds that line; two of them in
    one run do not, since they would be joined there.
    """
    node: Node = (end.part, end.port, pole)
    if pole in SPLIT_LINES and len(SPLIT_LINES.intersection(run.poles)) == 1 and node not in known:
        line: Node = (end.part, end.port, "L")
        return line if line in known else node
    return node


def _passing(part: Part, kind: DeviceKind | None, landed: set[str]) -> Iterator[Keyed]:
    """Poles of a run that an in-line device does not take go straight through between its in-line ports."""
    if kind is None or len(kind.inline) < 2:
        return
    first, *others = kind.inline
    taken = {pole for port in kind.port for pole in port.poles}
    for pole in sorted(landed - taken):
        for other in others:
            link = Link("through", (first, pole), (other, pole))
            a, b = (part.id, first, pole), (part.id, other, pole)
            yield a, b, f"{part.id}#pass-{other}-{pole}", Edge("through", None, pole, PartRef(part.id, part.kind), link)


def _is_closed(part: Part | PartRef, kind: DeviceKind, link: Link, switches: Switches | None) -> bool:
    if switches is None:
        return True
    if link.position and switches.get(f"{part.id}/{link.position}", "on") == "off":
        return link.kind not in ("fuse", "breaker", "contact")
    state = switches.get(part.id, kind.states[0] if kind.states else "on")
    if link.states:
        return state in link.states
    return not (state == "off" and not kind.states and link.kind in ("fuse", "breaker"))

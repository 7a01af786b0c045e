"""The edges of a boat, which its graphs are made of: those inside parts, the cores of runs, and what goes straight through in-line
parts.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from itertools import chain

import msgspec

from engine.graph.poles import SPLIT_LINES, Edge, Keyed, Node, PartRef, Switches, is_closed, landing, rail_of, ref_of
from engine.graph.skeleton import Skeleton, Tables, once, parts_wired
from engine.library.device import DeviceKind, Library
from engine.library.expand import Link, links_of, ports_of
from engine.model.kept import by_identity, made_of_each
from engine.model.network import Network, Part, Run

RAILS = ("+", "-", "N", "L")
LIVE_RAILS = ("+", "L")
"""Those of which it is worked out what can be pushed through them, past the devices that stand there."""
Cores = tuple[tuple[Keyed, ...], ...]
"""Of each run its own."""


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
    inline: Mapping[str, tuple[PartRef, DeviceKind]]
    tables: Tables
    """What follows from it, by name."""

    def sharing(self, before: Within, others: frozenset[str]) -> Within:
        """The same with the edges of those before inside all parts but the others: one edge is one object."""
        known = {keyed[2]: keyed for keyed in before.links if keyed[0][0] not in others}
        return msgspec.structs.replace(self, links=tuple([known.get(keyed[2], keyed) for keyed in self.links]))

    @property
    def sorted_links(self) -> Sorted:
        """The links, sorted out."""
        return once(self.tables, "sorted links", lambda: sort_out(self.links))


class Listed:
    """All edges of a boat, those inside parts first, and those of a rail, conducting or not: listed when they are asked for."""

    def __init__(self, within: Within, cores: Cores, through: tuple[Keyed, ...]) -> None:
        self._within, self._cores, self._through = within, cores, through

    def every(self) -> Iterable[Keyed]:
        """All of them."""
        return chain(self._within.links, *self._cores, self._through)

    def conducting(self) -> Iterable[Keyed]:
        """Those that conduct."""
        return chain(self._within.sorted_links.every, *self._cores, self._through)

    def along(self, rail: str) -> list[Keyed]:
        """The conducting ones along a rail."""
        others = [keyed for keyed in chain(*self._cores, self._through) if rail_along(keyed) == rail]
        return [*self._within.sorted_links.along[rail], *others]

    def along_at(self, rail: str, nodes: frozenset[Node]) -> list[Keyed]:
        """The conducting ones along a rail that stand at some nodes."""
        return sort_out(self.at(nodes)).along[rail]

    def beside(self) -> list[Keyed]:
        """The conducting ones along none."""
        others = [keyed for keyed in chain(*self._cores, self._through) if rail_along(keyed) is None]
        return [*self._within.sorted_links.beside, *others]

    def at(self, nodes: frozenset[Node]) -> list[Keyed]:
        """All that stand at some nodes."""
        parts = {node[0] for node in nodes}  # a name is compared sooner than a node
        near = [keyed for keyed in self.every() if keyed[0][0] in parts or keyed[1][0] in parts]
        return [keyed for keyed in near if keyed[0] in nodes or keyed[1] in nodes]


def rail_along(keyed: Keyed) -> str | None:
    """The rail along which an edge lies; None where it leads from one to another or lies at none."""
    name = rail_of(keyed[0])
    return name if name in RAILS and rail_of(keyed[1]) == name else None


def sort_out(edges: Iterable[Keyed]) -> Sorted:
    """Which of them conduct, and along which rail they lie."""
    every = [keyed for keyed in edges if keyed[3].conducts]
    along: dict[str, list[Keyed]] = {name: [] for name in RAILS}
    beside: list[Keyed] = []
    for keyed in every:
        name = rail_along(keyed)
        (along[name] if name is not None else beside).append(keyed)
    return Sorted(every, along, beside)


def together(*several: Sorted) -> Sorted:
    """The one after the other."""
    every = [keyed for each in several for keyed in each.every]
    along = {name: [keyed for each in several for keyed in each.along[name]] for name in RAILS}
    return Sorted(every, along, [keyed for each in several for keyed in each.beside])


def within_of(network: Network, library: Library, switches: Switches | None = None) -> Within:
    """What the parts of a boat bring with its switches set; None: every contact closed that can close."""
    kinds = [(part, library.get(part.kind)) for part in network.parts]
    nodes = tuple(chain(*made_of_each("terminals", network.parts, library, _nodes_by)))
    links = tuple(chain(*(_closed(part, kind, switches) for part, kind in kinds)))
    inline = {
        part.id: (PartRef(part.id, part.kind), kind)
        for part, kind in kinds
        if kind is not None and len(kind.inline) > 1
    }
    return Within(parts_wired(network, library), library, nodes, frozenset(nodes), links, inline, {})


def cores_of(runs: Iterable[Run], within: Within) -> Cores:
    """The cores of runs."""
    return tuple([_cores_of(run, within.terminals) for run in runs])


def through_of(cores: Iterable[Keyed], within: Within) -> tuple[Keyed, ...]:
    """Poles that an in-line device does not take go straight through it."""
    landed: dict[str, set[str]] = {part: set() for part in within.inline}
    for a, b, _, _ in cores:
        for part, _, pole in (a, b):
            if part in landed:
                landed[part].add(pole)
    return tuple(each for part, poles in landed.items() for each in _passing(*within.inline[part], poles))


def _nodes_by(part: Part, library: Library) -> tuple[Node, ...]:
    return _nodes_of(part, library.get(part.kind))


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


def goes_through(node: Node, within: Within) -> bool:
    """Whether a core that lands there would go straight through an in-line part, as that does not take its pole."""
    return node[0] in within.inline and node[2] not in _taken(within.inline[node[0]][1])


def _taken(kind: DeviceKind) -> frozenset[str]:
    return frozenset(pole for port in kind.port for pole in port.poles)


def _passing(part: PartRef, kind: DeviceKind, landed: set[str]) -> Iterator[Keyed]:
    """Poles of a run that an in-line device does not take go straight through between its in-line ports."""
    first, *others = kind.inline
    for pole in sorted(landed - _taken(kind)):
        for other in others:
            link = Link("through", (first, pole), (other, pole))
            a, b = (part.id, first, pole), (part.id, other, pole)
            yield a, b, f"{part.id}#pass-{other}-{pole}", Edge("through", None, pole, part, link)

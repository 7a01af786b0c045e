"""The pole graph: one node per (part, port, pole), one edge per core of a run and per link inside a part.

Every safety question is a question about this graph, never about the drawing. Edges carry an `Edge` under "edge".
Conductors (cores, through, closed contacts, fuses, breakers, bonds) are told from energy links (source, load, converter),
over which no conductor runs.
"""

from __future__ import annotations

from collections.abc import Container, Mapping

import msgspec

from engine.library.device import DeviceKind, Library
from engine.library.expand import Link
from engine.model.network import AC_LINES, End, Part, Run

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


def stays_closed(edge: Edge, library: Library, switches: Switches) -> bool:
    """Whether a conducting edge conducts with the switches set as given."""
    if edge.part is None or edge.link is None:
        return True
    return is_closed(edge.part, library[edge.part.kind], edge.link, switches)


def rail_of(node: Node) -> str:
    """To which rail a node belongs: its pole, all AC lines together as "L"."""
    return "L" if node[2] in AC_LINES else node[2]


def ref_of(run: Run) -> RunRef:
    """A run as the graph knows it."""
    return RunRef(run.id, run.a, run.b, run.poles, run.cranking)


def is_core_of(edge: Edge, run: Run) -> bool:
    """Whether an edge is a core of the run."""
    return edge.run is not None and edge.run.id == run.id


def is_link_of(edge: Edge, part: Part) -> bool:
    """Whether an edge is a link of the part."""
    return edge.part is not None and edge.part.id == part.id


def landing(run: Run | RunRef, end: End, pole: str, known: Container[Node]) -> Node:
    """The node on which a core of the run lands; `known` holds the terminals that parts have.

    One line of a split-phase supply (L1 or L2) that comes to a part with a single line feeds that line; two of them in
    one run do not, since they would be joined there.
    """
    node: Node = (end.part, end.port, pole)
    if pole in SPLIT_LINES and len(SPLIT_LINES.intersection(run.poles)) == 1 and node not in known:
        line: Node = (end.part, end.port, "L")
        return line if line in known else node
    return node


def is_closed(part: Part | PartRef, kind: DeviceKind, link: Link, switches: Switches | None) -> bool:
    """Whether a link of a part is closed with the switches set as given; None: whatever can close is."""
    if switches is None:
        return True
    if link.position and switches.get(f"{part.id}/{link.position}", "on") == "off":
        return link.kind not in ("fuse", "breaker", "contact")
    state = switches.get(part.id, kind.states[0] if kind.states else "on")
    if link.states:
        return state in link.states
    return not (state == "off" and not kind.states and link.kind in ("fuse", "breaker"))

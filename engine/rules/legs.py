"""The first stretch of a conductor after a source: how far along it the first device is on every way, and how far it may be.

The distances are those of the rulebooks, measured along the conductor; some count only where the conductor is in a sheath,
conduit or enclosure over the whole stretch.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping

import msgspec

from engine.electrics.sources import Rulebook, Source
from engine.graph.boat import DEVICES, Boat
from engine.graph.cranking import cranking_cores
from engine.graph.listed import web_of
from engine.graph.poles import ENERGY, Edge, Node
from engine.graph.skeleton import once
from engine.model.kept import Kept
from engine.model.network import AC_LINES, Run
from engine.rules.bounds import COVERED, Bound, one_way_m

INCH_M = 0.0254
ANY_LENGTH = float("inf")


class Reach(msgspec.Struct, frozen=True):
    """How far the first device may be, m: bare, and where the conductor is covered all the way."""

    bare_m: float
    covered_m: float
    clause: str
    source: Source


def _reach(bare_m: float, covered_m: float, clause: str, document: str, table: str, status: str) -> Reach:
    return Reach(bare_m, covered_m, clause, msgspec.convert(
        {"document": document, "table": table, "status": status}, Source))  # fmt: skip


_CFR = "33 CFR 183, 2015 edition"
REACHES: Mapping[tuple[Rulebook, str], Reach] = {
    ("33cfr183", "battery"): _reach(72 * INCH_M, 72 * INCH_M, "72 in from the battery", _CFR, "183.460(a)", "published"),
    ("33cfr183", "other"): _reach(7 * INCH_M, 40 * INCH_M, "7 in, 40 in when covered", _CFR, "183.455(b)", "published"),
    ("e11", "battery"): _reach(
        7 * INCH_M, 72 * INCH_M, "7 in, 72 in when covered, from the battery", "ABYC E-11", "placement", "secondary"),
    ("e11", "other"): _reach(7 * INCH_M, 40 * INCH_M, "7 in, 40 in when covered", "ABYC E-11", "placement", "secondary"),
    ("iso13297", "battery"): _reach(0.2, ANY_LENGTH, "200 mm, or covered all the way", "ISO 13297", "12.1", "memory"),
    ("iso13297", "other"): _reach(0.2, ANY_LENGTH, "200 mm, or covered all the way", "ISO 13297", "12.1", "memory"),
    ("iso13297", "charging"): _reach(1.8, ANY_LENGTH, "1.8 m, or covered all the way", "ISO 13297:2020", "12.3", "published"),
    ("iso13297", "ac"): _reach(0.5, ANY_LENGTH, "0.5 m, or covered all the way", "ISO 13297:2020", "13.2.2", "published"),
}  # fmt: skip
"""By rulebook and by what the conductor starts at; where a rulebook has no row of its own, "other" counts."""


class Way(msgspec.Struct, frozen=True):
    """One way from the start of a conductor to the first device on it."""

    device: Edge
    distance: Bound
    covered: bool | None
    """Covered over its whole length; None where that is not known."""
    uncertain: tuple[str, ...] = ()
    """The fields that would say so."""
    runs: tuple[str, ...] = ()

    def permitted_m(self, reach: Reach, surely: bool) -> float:
        """How far the device may be: surely, or with the most favourable reading of what is not known."""
        covered = self.covered is True or (self.covered is None and not surely)
        return reach.covered_m if covered else reach.bare_m


class Leg(msgspec.Struct, frozen=True):
    """Every way from the start of a conductor to the first devices, and whether one comes to a load without passing any."""

    ways: tuple[Way, ...]
    open_way: bool
    nodes: frozenset[Node]
    """Those that were passed."""

    @property
    def lacks(self) -> tuple[str, ...]:
        """The fields that keep lengths and coverings open."""
        return tuple(lack for way in self.ways for lack in (*way.distance.lacks, *way.uncertain))


class _Shape(msgspec.Struct, frozen=True):
    """Where these ways lead: each first device with the runs up to it. Follows from the wiring."""

    ways: tuple[tuple[Edge, tuple[str, ...]], ...]
    open_way: bool
    nodes: frozenset[Node]

    @property
    def runs(self) -> dict[str, None]:
        """All the runs, each once."""
        return dict.fromkeys(run for _, runs in self.ways for run in runs)


def legs_of(boat: Boat, start: Node, far: Node, run: Run) -> Leg:
    """The ways that begin at one end of a run and lead through it. Exempt cranking cables are not followed."""
    name = f"leg {run.id} {start} {far}"
    shape = once(boat.wiring, name, lambda: _shape(boat, start, far, run.id))
    return _LEGS.of(name, (shape, tuple([boat.runs[each] for each in shape.runs])))


def _shape(boat: Boat, start: Node, far: Node, first: str) -> _Shape:
    exempt, busy = boat.carry_wiring(cranking_cores), boat.carry_parts(energy_nodes)
    web = web_of(boat.wires)
    ways: list[tuple[Edge, tuple[str, ...]]] = []
    seen = {start, far}
    queue: deque[tuple[Node, tuple[str, ...]]] = deque([(far, (first,))])
    open_way = False
    while queue:
        node, runs = queue.popleft()
        open_way = open_way or node in busy
        for other, edge in web[node]:
            if other in seen or (edge.run is not None and (edge.run.id, edge.pole) in exempt):
                continue
            seen.add(other)
            if edge.kind in DEVICES:
                ways.append((edge, runs))
            else:
                queue.append((other, (*runs, edge.run.id) if edge.run is not None else runs))
    return _Shape(tuple(ways), open_way, frozenset(seen))


def _leg(facts: tuple[_Shape, tuple[Run, ...]]) -> Leg:
    shape, listed = facts
    runs = {run.id: run for run in listed}
    ways = tuple(_way(edge, [runs[run] for run in along]) for edge, along in shape.ways)
    return Leg(ways, shape.open_way, shape.nodes)


_LEGS = Kept(_leg)


def _way(device: Edge, along: list[Run]) -> Way:
    """How long it is, and whether it is covered all the way."""
    lengths = [one_way_m(run) for run in along]
    lacks = tuple(lack for each in lengths for lack in each.lacks)
    distance = Bound(sum(each.least for each in lengths), sum(each.most for each in lengths), lacks)
    covers = [None if run.cover is None else run.cover in COVERED for run in along]
    covered = False if False in covers else None if None in covers else True
    uncertain = tuple(f"run:{run.id} cover" for run in along if run.cover is None)
    return Way(device, distance, covered, uncertain, tuple(run.id for run in along))


def energy_nodes(boat: Boat) -> frozenset[Node]:
    """Every node at which something draws or pushes current."""
    return frozenset(node for a, b, _ in boat.inside(*ENERGY) for node in (a, b))


def start_kind(boat: Boat, node: Node) -> str:
    """What a conductor starts at, as the distances tell it apart: "battery", "charging", "ac" or "other"."""
    part = boat.parts.get(node[0])
    role = boat.role(part) if part else ""
    if role == "battery":
        return "battery"
    if node[2] in AC_LINES:
        return "ac"
    is_source = any(source.live == node for source in boat.sources)
    return "charging" if is_source and role in ("generator_dc", "converter") else "other"


def reach_from(boat: Boat, node: Node, book: Rulebook) -> Reach:
    """How far the first device after this node may be."""
    return REACHES.get((book, start_kind(boat, node)), REACHES[book, "other"])

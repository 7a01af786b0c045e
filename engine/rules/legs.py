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
from engine.graph.paths import web_of
from engine.graph.poles import ENERGY, Edge, Node, edges_of
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

    @property
    def lacks(self) -> tuple[str, ...]:
        """The fields that keep lengths and coverings open."""
        return tuple(lack for way in self.ways for lack in (*way.distance.lacks, *way.uncertain))


class _Walk(msgspec.Struct, frozen=True):
    node: Node
    distance: Bound
    covered: bool | None
    uncertain: tuple[str, ...]
    runs: tuple[str, ...]

    def along(self, run: Run, node: Node) -> _Walk:
        """Further along a run."""
        length = one_way_m(run)
        distance = Bound(
            self.distance.least + length.least, self.distance.most + length.most, self.distance.lacks + length.lacks
        )
        known = None if run.cover is None else run.cover in COVERED
        covered = False if known is False or self.covered is False else None if None in (known, self.covered) else True
        uncertain = (*self.uncertain, f"run:{run.id} cover") if known is None else self.uncertain
        return _Walk(node, distance, covered, uncertain, (*self.runs, run.id))


def legs_of(boat: Boat, start: Node, far: Node, run: Run) -> Leg:
    """The ways that begin at one end of a run and lead through it. Exempt cranking cables are not followed."""
    exempt, busy = boat.carry_wiring(cranking_cores), boat.derive(energy_nodes)
    web = web_of(boat.wires)
    ways: list[Way] = []
    seen = {start, far}
    queue = deque([_Walk(start, Bound(0, 0), True, (), ()).along(run, far)])
    open_way = False
    while queue:
        walk = queue.popleft()
        open_way = open_way or walk.node in busy
        for other, edge in web[walk.node]:
            if other in seen or (edge.run is not None and (edge.run.id, edge.pole) in exempt):
                continue
            seen.add(other)
            if edge.kind in DEVICES:
                ways.append(Way(edge, walk.distance, walk.covered, walk.uncertain, walk.runs))
            elif edge.run is not None:
                queue.append(walk.along(boat.run_of(edge), other))
            else:
                queue.append(_Walk(other, walk.distance, walk.covered, walk.uncertain, walk.runs))
    return Leg(tuple(ways), open_way)


def energy_nodes(boat: Boat) -> frozenset[Node]:
    """Every node at which something draws or pushes current."""
    return frozenset(node for a, b, edge in edges_of(boat.graph) if edge.kind in ENERGY for node in (a, b))


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

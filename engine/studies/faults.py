"""Prospective short-circuit current at every live pole: the largest and the smallest a fault there can draw.

Largest: every source at once, batteries full, conductors cold, contacts closed. Smallest: the weakest of the sources
that can be alone there with combining relays open, its battery weak, conductors at their insulation's limit, out and
back. By unit right-hand sides of the factorised conductance; loads are left out. AC faults are taken from line to
neutral and from each source by itself, since AC sources are never in parallel.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import msgspec
import numpy as np

from engine.electrics.sources import Source, number_text
from engine.graph.boat import Boat
from engine.graph.poles import Node
from engine.model.network import AC_LINES, AC_POLES
from engine.studies.circuit import Circuit, Numbers
from engine.studies.conditions import Case
from engine.studies.elements import Branch, Elements, elements_of
from engine.studies.fault_sources import LACKING_OHM, End, FaultSource, fault_sources
from engine.studies.island import lay_out
from engine.studies.solver import Factors
from engine.studies.supplies import Supply
from engine.studies.system import System

LIVE = frozenset({"+"}) | AC_LINES


class Share(msgspec.Struct, frozen=True):
    """What one source contributes to the largest fault current, A; `formula` is that of its inner impedance. Of a source that
    is not `known` nothing is counted: it may give any current."""

    part: str
    current_a: float
    formula: str
    sources: tuple[Source, ...]
    known: bool = True


class FaultLevel(msgspec.Struct, frozen=True):
    """The short-circuit current at a pole, A, between bounds.

    `most_a` is infinite where a source has no upper bound, `least_a` 0 where no bound can be given; `lacks` names the
    fields that would settle it. `emf_v` and `ohm` are those of the largest, `least_ohm` the whole loop of the smallest.
    """

    node: Node
    back: Node | None
    """The return the fault goes to; None: no return lies here, the largest is taken to the source's own terminal."""
    least_a: float
    most_a: float
    emf_v: float
    ohm: float
    least_ohm: float
    shares: tuple[Share, ...] = ()
    lacks: tuple[str, ...] = ()

    @property
    def formula(self) -> str:
        """The largest as a formula with its numbers."""
        if not math.isfinite(self.most_a):
            return "no upper bound"
        return (
            f"{number_text(self.emf_v)} V / {number_text(1000 * self.ohm)} mΩ = {number_text(round(self.most_a, 1))} A"
        )


def prospective(boat: Boat, node: Node) -> FaultLevel | None:
    """The fault level at a pole; None where no source can reach it, or it is no live pole."""
    return fault_levels(boat).get(node)


def fault_levels(boat: Boat) -> Mapping[Node, FaultLevel]:
    """Every live pole that a source can reach -> its fault level. Worked out once for a boat."""
    return boat.derive(_levels)


def _levels(boat: Boat) -> Mapping[Node, FaultLevel]:
    most, least = _End(boat, "most"), _End(boat, "least")
    nodes = [node for node in most.elements.nodes if node[2] in LIVE]
    backs = {node: boat.return_beside(node, most.known) for node in nodes}
    largest, smallest = most.largest(nodes, backs), least.smallest(nodes, backs)
    if _combining(boat) and len(smallest) < len(largest):
        smallest = {**_End(boat, "least", combined=True).smallest(nodes, backs), **smallest}
    return {
        node: _level(node, backs[node], largest.get(node), smallest.get(node), most)
        for node in nodes
        if node in largest
    }


class Loop(msgspec.Struct, frozen=True):
    """One fault: voltage before it, V, impedance of the loop, ohm, and the share of each source in it."""

    emf_v: complex
    ohm: complex
    shares: Mapping[str, complex] = {}
    lacks: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    """Sources that reach it and may give any current."""

    @property
    def current_a(self) -> float:
        """What flows, A."""
        return abs(self.emf_v / self.ohm) if self.ohm else 0.0


class _End:
    """The boat's conductors and fault sources at one end of what is possible."""

    def __init__(self, boat: Boat, end: End, *, combined: bool = False) -> None:
        self.end = end
        elements = elements_of(boat, Case(switches=None), "best" if end == "most" else "worst")
        apart = frozenset() if combined or end == "most" else _combining(boat)
        self.elements = _conductors_only(elements, end, apart)
        self.known = frozenset(self.elements.nodes)
        self.sources = fault_sources(boat, end)
        self.lacking = tuple(field for branch in elements.branches for field in branch.ohm.lacks)

    def largest(self, nodes: Sequence[Node], backs: Mapping[Node, Node | None]) -> dict[Node, Loop]:
        """DC with every source at once; AC from each by itself, the largest kept."""
        dc = [source for source in self.sources if source.supply.b[2] not in AC_POLES]
        groups = [dc, *([source] for source in self.sources if source.supply.b[2] in AC_POLES)]
        return self._kept(groups, nodes, backs, largest=True)

    def smallest(self, nodes: Sequence[Node], backs: Mapping[Node, Node | None]) -> dict[Node, Loop]:
        """Each source that can stand alone by itself, the smallest kept; the others where none of those reaches."""
        alone = [[source] for source in self.sources if source.stands_alone and not source.lacks]
        found = self._kept(alone, nodes, backs, largest=False)
        rest = [[source] for source in self.sources if not source.stands_alone and not source.lacks]
        return {**self._kept(rest, nodes, backs, largest=False), **found} if rest else found

    def _kept(
        self,
        groups: Iterable[list[FaultSource]],
        nodes: Sequence[Node],
        backs: Mapping[Node, Node | None],
        largest: bool,
    ) -> dict[Node, Loop]:
        kept: dict[Node, Loop] = {}
        for group in groups:
            for node, loop in self._loops(group, nodes, backs).items():
                old = kept.get(node)
                better = loop if old is None or (loop.current_a > old.current_a) == largest else old
                kept[node] = better if old is None else _with_unknown(better, old, loop)
        return kept

    def _loops(
        self, group: list[FaultSource], nodes: Sequence[Node], backs: Mapping[Node, Node | None]
    ) -> dict[Node, Loop]:
        elements = msgspec.structs.replace(self.elements, supplies=tuple(source.supply for source in group))
        system = System(elements, lay_out(elements))
        found: dict[Node, Loop] = {}
        vague = _vague_by_rail(group, system)
        for ac in (False, True):
            here = [node for node in nodes if (node[2] in AC_POLES) == ac and system.layout.is_live(node)]
            half = system.halves[ac]
            ends = [(system.layout.row[node], self._row(system, backs[node])) for node in here]
            places = list(dict.fromkeys(ends))
            loops = dict(zip(places, loops_of(half.circuit, places, [s.part.id for s in half.supplies]), strict=True))
            for node, place in zip(here, ends, strict=True):
                loop, open_here = loops[place], vague.get(system.layout.rail[node], [])
                if loop.current_a > 0 or open_here:
                    found[node] = _opened(self._closed(loop, backs[node], half.supplies), open_here)
        return found

    def _row(self, system: System, back: Node | None) -> int:
        """The row of the return: the reference where no return lies there or it is not joined to this source."""
        row = system.layout.row.get(back, -1) if back else -1
        return max(row, -1)

    def _closed(self, loop: Loop, back: Node | None, supplies: Sequence[Supply]) -> Loop:
        """For the smallest, where no return lies at the pole: as far back as out."""
        if back is not None or self.end == "most":
            return loop
        inner = min((abs(each.ohm.value) for each in supplies), default=0.0)
        return msgspec.structs.replace(loop, ohm=2 * loop.ohm - min(inner, abs(loop.ohm)))


def _vague_by_rail(group: Iterable[FaultSource], system: System) -> Mapping[int, list[FaultSource]]:
    """The sources of which too little is known to say what they give, by the rail that they reach."""
    found: dict[int, list[FaultSource]] = {}
    for each in group:
        if each.lacks and system.layout.is_live(each.supply.b):
            found.setdefault(system.layout.rail[each.supply.b], []).append(each)
    return found


def _opened(loop: Loop, sources: Iterable[FaultSource]) -> Loop:
    """The loop, with those sources beside that may give any current."""
    lacks = tuple(dict.fromkeys(field for each in sources for field in each.lacks))
    return msgspec.structs.replace(loop, lacks=lacks, unknown=tuple(each.supply.part.id for each in sources))


def _with_unknown(loop: Loop, *others: Loop) -> Loop:
    """The loop, with the sources that may give any current in one of the others."""
    lacks = tuple(dict.fromkeys(field for each in others for field in each.lacks))
    unknown = tuple(dict.fromkeys(part for each in others for part in each.unknown))
    return msgspec.structs.replace(loop, lacks=lacks, unknown=unknown)


def _combining(boat: Boat) -> frozenset[tuple[Node, Node]]:
    """The contacts that join two batteries: of combining relays, and of dual switches in their position combine."""
    found = []
    for part in boat.network.parts:
        for link in boat.links(part):
            if link.kind == "contact" and (part.kind == "combining_relay" or link.states == ("combine",)):
                found.append(((part.id, *link.a), (part.id, *link.b)))
    return frozenset(found)


def _conductors_only(elements: Elements, end: End, apart: frozenset[tuple[Node, Node]]) -> Elements:
    """Without loads, converters and the contacts `apart`; diodes as conductors; for the smallest without conductors that
    nobody has measured."""
    diodes = [Branch(f"part:{v.part.id}", "+", v.a, v.b, v.ohm) for v in elements.valves if v.limit_a is None]
    branches = [
        branch
        for branch in (*elements.branches, *diodes)
        if (branch.a, branch.b) not in apart and (end == "most" or not branch.ohm.lacks)
    ]
    return Elements(elements.nodes, elements.joined, tuple(branches), (), (), (), ())


CHUNK = 512


def loops_of(circuit: Circuit, ends: Sequence[tuple[int, int]], names: Sequence[str]) -> list[Loop]:
    """A short circuit between each pair of rows: the voltage before it, the impedance seen, the share of each source."""
    if not ends or not circuit.size:
        return [Loop(0.0, 0.0) for _ in ends]
    factors = Factors(circuit)
    open_v = factors.unloaded()
    found: list[Loop] = []
    for start in range(0, len(ends), CHUNK):
        found += _chunk(circuit, factors, open_v, ends[start : start + CHUNK], names)
    return found


def impedances(factors: Factors, live: Numbers, back: Numbers) -> tuple[Numbers, Numbers]:
    """(ohm seen between each pair of rows, the voltages for one ampere pushed through each, a column a pair)."""
    size = factors.circuit.size
    unit = np.zeros((size + 1, len(live)), factors.injected.dtype)
    columns = np.arange(len(live))
    unit[live, columns] += 1
    unit[back, columns] -= 1
    volts = factors.volts(unit[:-1])
    return volts[live, columns] - volts[back, columns], volts


def _chunk(
    circuit: Circuit, factors: Factors, open_v: Numbers, ends: Sequence[tuple[int, int]], names: Sequence[str]
) -> list[Loop]:
    live, back = (np.array(side, dtype=np.intp) for side in zip(*ends, strict=True))
    ohm, volts = impedances(factors, live, back)
    emf = open_v[live] - open_v[back]
    feeds = circuit.feeds
    shares = feeds.y_s[:, None] * (volts[feeds.b] - volts[feeds.a])
    return [
        Loop(complex(emf[k]), complex(ohm[k]), dict(zip(names, shares[:, k], strict=True))) for k in range(len(ends))
    ]


def _level(node: Node, back: Node | None, largest: Loop | None, smallest: Loop | None, most: _End) -> FaultLevel:
    assert largest is not None
    lacks = largest.lacks
    if smallest is None:
        lacks = (*lacks, *most.lacking)
    least_ohm = abs(smallest.ohm) if smallest else LACKING_OHM
    return FaultLevel(
        node, back, smallest.current_a if smallest else 0.0, math.inf if largest.lacks else largest.current_a,
        abs(largest.emf_v), abs(largest.ohm), least_ohm, tuple(_shares(largest, most.sources)), tuple(dict.fromkeys(lacks)),
    )  # fmt: skip


def _shares(loop: Loop, sources: Sequence[FaultSource]) -> list[Share]:
    """The largest first; those that may give any current last."""
    by_part = {each.supply.part.id: each.supply for each in sources}
    current = loop.emf_v / loop.ohm if loop.ohm else 0.0
    found = [
        Share(part, float(abs(share * current)), by_part[part].ohm.formula, by_part[part].ohm.sources)
        for part, share in loop.shares.items()
        if part not in loop.unknown
    ]
    known = sorted((each for each in found if each.current_a > 1e-6), key=lambda each: -each.current_a)
    return [*known, *(Share(part, 0.0, by_part[part].ohm.formula, (), known=False) for part in loop.unknown)]

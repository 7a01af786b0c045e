"""Which devices stand between a short circuit and what feeds it, how soon each opens, and what the conductor stands.

From the fault levels, the way to the source that gives most, and the time-current limits of each device's series. What
the drawing leaves open about a device is carried as several bands; what no table knows is a range.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import msgspec

from engine.graph.boat import DEVICES, Boat
from engine.graph.listed import keyed_edges_of
from engine.graph.paths import Step, Tree, tree_from, way_up
from engine.graph.poles import Edge, Node, is_core_of, ref_of
from engine.model.network import Run
from engine.studies.conductors import open_fields
from engine.studies.faults import LIVE, FaultLevel, fault_levels
from engine.studies.guards import Guard, guards


class Fault(msgspec.Struct, frozen=True):
    """A short circuit along one live core: at its far end, where least flows, or at its beginning, where most does.

    `guards`: the devices on the way to `source`, nearest first. What comes from behind the core is not in `most_a`.
    """

    run: Run
    pole: str
    far: Node
    source: str
    guards: tuple[Guard, ...]
    least_a: float
    most_a: float
    lacks: tuple[str, ...]
    others: tuple[str, ...] = ()
    """Further batteries, generators and converters that feed it."""
    both_ends: bool = False
    """The core is part of a ring: current comes to it over both its ends, and `guards` are those of one way only."""


def faults(boat: Boat) -> Mapping[tuple[str, str], Fault]:
    """(run id, pole) -> the short circuits along that core; only cores that a source can reach."""
    return boat.derive(_faults)


def _faults(boat: Boat) -> Mapping[tuple[str, str], Fault]:
    levels = fault_levels(boat)
    found = {}
    for run in boat.network.runs:
        for pole in run.poles:
            if pole in LIVE and (fault := _fault(boat, run, pole, levels)):
                found[run.id, pole] = fault
    return found


def _fault(boat: Boat, run: Run, pole: str, levels: Mapping[Node, FaultLevel]) -> Fault | None:
    ends = ((run.a.part, run.a.port, pole), (run.b.part, run.b.port, pole))
    reached = [levels[end] for end in ends if end in levels]
    if len(reached) < 2 or not reached[0].shares:
        return None
    source = reached[0].shares[0].part
    on_way = _way_into(boat, source, run, pole, ends)
    if not on_way:
        return None
    last, ringed = on_way[0].end, f"run:{run.id}" in in_rings(boat)
    near, far = (levels[end] for end in (ends if last == ends[1] else ends[::-1]))
    behind = sum(share.current_a for share in near.shares if not ringed and _passes(boat, source, share.part, run))
    least, lacks = _least(boat, far, on_way)
    return Fault(
        run, pole, last, source, guards_on(boat, on_way), least, max(near.most_a - behind, far.most_a), lacks,
        tuple(share.part for share in near.shares[1:] if any(each.part.id == share.part for each in boat.sources)), ringed,
    )  # fmt: skip


def _way_into(boat: Boat, source: str, run: Run, pole: str, ends: Sequence[Node]) -> tuple[Step, ...]:
    """The way from the source over the core to its far end, that end first. A core that no shortest way uses closes a ring:
    it is entered at the end that is nearer to the source. Empty where the source reaches neither."""
    tree = trees(boat)[source]
    last = next((end for end in ends if (step := tree.get(end)) and is_core_of(step.edge, run)), None)
    if last is not None:
        return way(boat, source, last)
    near, far = sorted(ends, key=lambda end: len(way(boat, source, end)) if end in tree else math.inf)
    return (Step(near, far, Edge("core", ref_of(run), pole)), *way(boat, source, near)) if near in tree else ()


def in_rings(boat: Boat) -> frozenset[str]:
    """The keys of runs and devices that do not part the wiring when they are taken out: current can come round."""
    return boat.derive(_in_rings)


def _in_rings(boat: Boat) -> frozenset[str]:
    rings = boat.rings
    return frozenset(edge.key for _, _, key, edge in keyed_edges_of(boat.wires) if key in rings)


def _least(boat: Boat, far: FaultLevel, steps: tuple[Step, ...]) -> tuple[float, tuple[str, ...]]:
    """The smallest current and what keeps it from being one number: fields of the conductors on the way, else of a source."""
    lacks = [field for step in steps if step.edge.run for field in open_fields(boat.run_of(step.edge))]
    return far.least_a, tuple(dict.fromkeys(lacks or far.lacks))


def trees(boat: Boat) -> Mapping[str, Tree]:
    """For each source that gives most somewhere, the shortest ways from it."""
    return boat.derive(_trees)


def _trees(boat: Boat) -> Mapping[str, Tree]:
    wanted = {level.shares[0].part for level in fault_levels(boat).values() if level.shares}
    found: dict[str, Tree] = {}
    for part in wanted:
        roots = [source.live for source in boat.sources if source.part.id == part]
        found[part] = tree_from(boat.wires, roots or boat.terminals_of(boat.parts[part], LIVE))
    return found


def way(boat: Boat, source: str, node: Node) -> tuple[Step, ...]:
    """The way from a source to a node, the node's side first; empty where there is none."""
    return way_up(trees(boat)[source], node) or ()


def guards_on(boat: Boat, steps: tuple[Step, ...]) -> tuple[Guard, ...]:
    """The devices on a way, that nearest the fault first."""
    keys = dict.fromkeys(step.edge.key for step in steps if step.edge.kind in DEVICES)
    return tuple(guards(boat)[key] for key in keys)


def _passes(boat: Boat, source: str, part_id: str, run: Run) -> bool:
    """Whether a contributor stands behind the run, seen from the source."""
    return part_id != source and run.id in crossed(boat)[source].get(part_id, frozenset())


def crossed(boat: Boat) -> Mapping[str, Mapping[str, frozenset[str]]]:
    """Source -> contributor -> run ids and device keys on the way between the two."""
    return boat.derive(_crossed)


def _crossed(boat: Boat) -> Mapping[str, Mapping[str, frozenset[str]]]:
    parts = {share.part for level in fault_levels(boat).values() for share in level.shares}
    return {
        source: {part: _on_way(tree, boat.terminals_of(boat.parts[part], LIVE)) for part in parts if part != source}
        for source, tree in trees(boat).items()
    }


def _on_way(tree: Tree, poles: list[Node]) -> frozenset[str]:
    steps = next((steps for pole in poles if (steps := way_up(tree, pole))), ())
    return frozenset(step.edge.run.id if step.edge.run else step.edge.key for step in steps)


def through(boat: Boat, a: Node, b: Node, key: str) -> float:
    """The largest current, A, that a short circuit on either side of a device drives through it. Of a ring the whole, though a
    part of it may come by the other way."""
    levels = fault_levels(boat)
    found = [0.0]
    for at in (a, b):
        level = levels.get(at)
        if level is None or not level.shares:
            continue
        source = level.shares[0].part
        behind = sum(share.current_a for share in level.shares if key in crossed(boat)[source].get(share.part, ()))
        last = trees(boat)[source].get(at)
        passing = level.most_a - behind if last and last.edge.key == key else behind
        found.append(level.most_a if key in in_rings(boat) else passing)
    return max(found)

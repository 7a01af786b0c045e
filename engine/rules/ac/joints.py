"""Where a source's neutral can be joined to earth, in which positions of the switches. Knows no rulebook."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.graph.poles import Edge, Node, is_link_of
from engine.graph.positions import Needs, Positions, both, needs_of, position_text
from engine.rules.ac.system import AcSource, AcSystem, Bond, ac_of
from engine.rules.api import Outcome, Shown


class Joint(msgspec.Struct, frozen=True):
    """A bond that a source's neutral reaches, and the positions it takes."""

    bond: Bond
    needs: Needs


def joints_of(ac: AcSystem, source: AcSource) -> Iterator[Joint]:
    """Every joint of the source's neutral with an earth, each in the first position found."""
    positions = ac.neutral_positions
    at: dict[Node, list[Bond]] = {}
    for bond in ac.bonds:
        at.setdefault(positions.group(bond.neutral), []).append(bond)
    seen: set[tuple[Node, Node]] = set()
    for group, needs in positions.reach(source.neutral, source.needs):
        for bond in at.get(group, ()):
            joined = both(needs, bond.needs)
            if joined is not None and (bond.neutral, bond.earth) not in seen:
                seen.add((bond.neutral, bond.earth))
                yield Joint(bond, joined)


def is_own(joint: Joint, source: AcSource) -> bool:
    """Whether the joint is the source's own, closed whenever it feeds."""
    return joint.bond.neutral == source.neutral and is_link_of(joint.bond.edge, source.part)


def witness(boat: Boat, code: str, joint: Joint, of: AcSource, **values: Shown) -> Outcome:
    """The finding that a neutral is joined to earth: the joint, the positions, the way there."""
    way = ac_of(boat).neutral_positions.way(of.neutral, joint.bond.neutral, joint.needs)
    told = {"joint": edge_name(boat, joint.bond.edge), "position": positions_of(boat, way, joint.needs), **values}
    keys = dict.fromkeys((*(edge.key for edge in way), joint.bond.edge.key))
    subjects = (f"part:{of.part.id}", joint.bond.edge.key)
    return Outcome(verdict="breaks", code=code, subjects=subjects, values=told, path=tuple(keys))


def meeting(positions: Positions, one: AcSource, start: Node, goals: Mapping[Node, Needs]) -> tuple[Node, Needs] | None:
    """The first of the goals (terminal -> the states in which it counts) that the source's terminal can be joined to."""
    at: dict[Node, list[Node]] = {}
    for goal in goals:
        at.setdefault(positions.group(goal), []).append(goal)
    for group, needs in positions.reach(start, one.needs):
        for goal in at.get(group, ()):
            joined = both(needs, goals[goal])
            if joined is not None:
                return goal, joined
    return None


def positions_of(boat: Boat, way: tuple[Edge, ...], needs: Needs) -> str:
    """The positions of every switch on the way, in words."""
    found = dict(needs)
    for edge in way:
        for part, states in needs_of(edge).items():
            found[part] = found.get(part, states) & states
    return position_text(found, {part: boat.name(boat.parts[part]) for part in found})


def edge_name(boat: Boat, edge: Edge) -> str:
    """What a sentence calls the place of an edge."""
    return boat.name_run(boat.run_of(edge)) if edge.run else boat.name(boat.part_of(edge)) if edge.part else ""

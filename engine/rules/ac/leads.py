"""From an AC terminal along its line conductors to the first device on each way: which one, and how far.

Knows the drawing's lengths through engine.rules.bounds, no rulebook's distance.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import msgspec

from engine.graph.listed import web_of
from engine.graph.poles import Edge, Node
from engine.graph.positions import Needs, both, needs_of
from engine.model.network import Run
from engine.rules.ac.system import AcSource, AcSystem
from engine.rules.bounds import COVERED, Bound, one_way_m

FEET_10_M = 3.048
"""10 ft. The texts add "(3 m)"; the foot is what they give first."""


class Lead(msgspec.Struct, frozen=True):
    """One way from a terminal to where it ends: at a device (key set), or at something that uses AC (key "")."""

    key: str
    node: Node
    runs: tuple[Run, ...]
    edge: Edge | None = None

    @property
    def length(self) -> Bound:
        """Its length along the conductors, m."""
        legs = [one_way_m(run) for run in self.runs]
        lacks = tuple(field for leg in legs for field in leg.lacks)
        return Bound(sum(leg.least for leg in legs), sum(leg.most for leg in legs), tuple(dict.fromkeys(lacks)))

    @property
    def covered(self) -> bool | None:
        """Whether every conductor on the way is in a sheath, conduit or enclosure; None where one does not say."""
        if any(run.cover == "open" for run in self.runs):
            return False
        return True if all(run.cover in COVERED for run in self.runs) else None

    @property
    def uncovered_fields(self) -> tuple[str, ...]:
        """The fields that would tell the cover."""
        return tuple(f"run:{run.id} cover" for run in self.runs if run.cover is None)

    @property
    def path(self) -> tuple[str, ...]:
        """What to draw: the conductors and the device."""
        return (*(f"run:{run.id}" for run in self.runs), *((self.key,) if self.key else ()))


def leads(
    ac: AcSystem, source: AcSource, stops: Callable[[Edge], bool], walls: Mapping[Node, str] | None = None
) -> list[Lead]:
    """Every way from a source to the first edge that stops, the first wall (node -> key of its device), or an end.

    A way that enters a selector by one input does not leave it by another: no position allows it.
    """
    return [lead for line in source.lines for lead in _from(ac, line, source.needs, stops, walls or {})]


def _from(
    ac: AcSystem, start: Node, needs: Needs, stops: Callable[[Edge], bool], walls: Mapping[Node, str]
) -> Iterator[Lead]:
    seen = {start}
    stack: list[tuple[Node, tuple[Run, ...], Needs]] = [(start, (), needs)]
    while stack:
        node, runs, held = stack.pop()
        if node in walls:
            yield Lead(walls[node], node, runs)
            continue
        if node in ac.ends and node != start:
            yield Lead("", node, runs)
        for other, edge in web_of(ac.lines).get(node, ()):
            joined = both(held, needs_of(edge))
            if joined is not None and stops(edge):
                yield Lead(edge.key, node, runs, edge)
            elif joined is not None and other not in seen:
                seen.add(other)
                stack.append((other, (*runs, ac.boat.run_of(edge)) if edge.run else runs, joined))


def is_device(edge: Edge) -> bool:
    """Whether the edge is a fuse or a breaker."""
    return edge.kind in ("fuse", "breaker")


def first_devices(ac: AcSystem, source: AcSource) -> list[Lead]:
    """The first overcurrent devices after a source; a lead without key is a user that has none before it."""
    return leads(ac, source, is_device)


def main_of(ac: AcSystem, source: AcSource) -> Lead | None:
    """The one device that everything after the source lies behind; None where there is not exactly one."""
    found = first_devices(ac, source)
    keys = {lead.key for lead in found}
    if len(keys) != 1 or "" in keys:
        return None
    return max(found, key=lambda lead: lead.length.most)

"""A run to be led and a run as led: its ends, its bends, its corners. And the way through bends set by hand.

Knows terminals and nodes of the grid, no parts and no wires.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from engine.drawing.outline import Point
from engine.drawing.ports import STEP, Key, Side
from engine.drawing.tracks import Node, node_at, point_at


class Terminal(msgspec.Struct, frozen=True):
    """One end of a run: the port, its pin, the sides it may leave by, and how far its own part's clearance reaches."""

    port: Key
    node: Node
    sides: tuple[Side, ...]
    reach: int = 1

    def exit(self, side: Side) -> Node:
        """The first node off the part."""
        dx, dy = STEP[side]
        return self.node[0] + dx * self.reach, self.node[1] + dy * self.reach


class Lead(msgspec.Struct, frozen=True):
    """A run to be led: its ends, and the bends set by hand."""

    run: str
    a: Terminal
    b: Terminal
    bends: tuple[Node, ...] = ()


class Led(msgspec.Struct, frozen=True):
    """A run as led: corners from pin to pin; `clear` is False where no free way was found."""

    lead: Lead
    corners: tuple[Node, ...]
    cost: float = 0.0
    clear: bool = True
    searched: bool = False
    """Found by the search over the grid, not by a usual shape."""

    def points(self) -> tuple[Point, ...]:
        """The polyline in mm."""
        return tuple(point_at(node) for node in self.corners)


def way_by_hand(lead: Lead) -> tuple[Node, ...]:
    """Through the bends in order. A leg that does not line up gets a corner; at a pin it leaves by the pin's side."""
    first, last = lead.bends[0], lead.bends[-1]
    nodes = [*_first_leg(lead.a, first), first]
    for at in lead.bends[1:]:
        here = nodes[-1]
        if here[0] != at[0] and here[1] != at[1]:
            nodes.append((at[0], here[1]) if nodes[-2][1] == here[1] else (here[0], at[1]))
        nodes.append(at)
    leg = _first_leg(lead.b, last)
    if len(leg) == 3 and len(nodes) > 1 and _turns_back(nodes[-2], last, leg[-1]):
        leg[-1] = (leg[1][0], last[1]) if leg[-1][0] == last[0] else (last[0], leg[1][1])
    return tidy([*nodes, *reversed(leg)])


def _turns_back(before: Node, here: Node, after: Node) -> bool:
    """Whether a way would go back over itself."""
    ahead = (here[0] - before[0]) * (after[0] - here[0]) + (here[1] - before[1]) * (after[1] - here[1])
    return _in_line(before, here, after) and ahead < 0


def _first_leg(end: Terminal, bend: Node) -> list[Node]:
    """From the pin to just before the bend."""
    pin = end.node
    if pin[0] == bend[0] or pin[1] == bend[1]:
        return [pin]
    side = max(end.sides, key=lambda one: (bend[0] - pin[0]) * STEP[one][0] + (bend[1] - pin[1]) * STEP[one][1])
    (dx, dy), out = STEP[side], end.exit(side)
    ahead = (bend[0] - out[0]) * dx + (bend[1] - out[1]) * dy >= 0
    level = (dx != 0) == ahead
    return [pin, out, (bend[0], out[1]) if level else (out[0], bend[1])]


def tidy(nodes: Sequence[Node]) -> tuple[Node, ...]:
    """The corners without repetitions and without points in the middle of a straight stretch."""
    kept: list[Node] = []
    for node in nodes:
        if kept and kept[-1] == node:
            continue
        if len(kept) > 1 and _in_line(kept[-2], kept[-1], node):
            kept.pop()
        kept.append(node)
    return tuple(kept)


def _in_line(a: Node, b: Node, c: Node) -> bool:
    return (a[0] == b[0] == c[0]) or (a[1] == b[1] == c[1])


def lead_between(run: str, a: Terminal, b: Terminal, bends_mm: Sequence[Point] = ()) -> Lead:
    """A run to be led, its bends given in mm."""
    return Lead(run, a, b, tuple(node_at(*bend) for bend in bends_mm))

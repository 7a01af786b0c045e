"""All that a node reaches along the conductors, by the same ways as a trail but in no certain order: so it can be begun with the
one before where conductors that lie in no ring came or went. Follows from the wiring alone."""

from __future__ import annotations

from collections.abc import Collection, Mapping

import msgspec

from engine.graph.boat import Boat, Earlier
from engine.graph.listed import Web, web_of
from engine.graph.poles import Edge, Node
from engine.studies.trails import is_barred

Steps = Mapping[Node, tuple[Node, Edge | None]]
"""Of each node from which it was reached, and over which edge; what leads to a node stands before it."""


class Spread(msgspec.Struct, frozen=True):
    """What a node reaches: `over`, the node itself over no edge. Begun with another one, `gone` are the nodes that are no longer
    reached as there, and `came` those that are reached otherwise or anew."""

    over: Steps
    stamp: object
    """Tells it from all others."""
    before: object = None
    """The stamp of the one with which it was begun."""
    gone: frozenset[Node] = frozenset()
    came: tuple[Node, ...] = ()


def spread(boat: Boat, start: Node) -> Spread:
    """What a node reaches."""
    return boat.carry_on(f"spread {start}", lambda earlier: _spread(boat, start, earlier))


def _spread(boat: Boat, start: Node, earlier: Earlier[Spread] | None) -> Spread:
    web = web_of(boat.wires)
    if earlier is not None:
        if earlier.at.isdisjoint(earlier.made.over):
            return earlier.made
        if (begun := _begun(web, earlier.made, earlier.at)) is not None:
            return begun
    over: dict[Node, tuple[Node, Edge | None]] = {start: (start, None)}
    _walk(web, over, [start])
    return Spread(over, object())


def _begun(web: Web, before: Spread, at: frozenset[Node]) -> Spread | None:
    """The one before, without what hung on conductors that went and with what hangs on those that came; None where one of them
    may lie in a ring, since then others may be reached otherwise."""
    over = dict(before.over)
    gone = _hanging(web, over, [node for node in at if _is_cut(web, over, node)])
    for node in gone:
        del over[node]
    if any(other in over and other not in at for node in gone for other, _ in web.get(node, ())):
        return None
    queue = [node for node in at if node in over]
    stood = len(queue)
    if _walk(web, over, queue):
        return None
    return Spread(over, object(), before.stamp, frozenset(gone), tuple(queue[stood:]))


def _is_cut(web: Web, over: Steps, node: Node) -> bool:
    """Whether the edge is gone over which a node was reached."""
    before, edge = over.get(node, (node, None))
    return edge is not None and (before, edge) not in web.get(node, ())


def _hanging(web: Web, over: Steps, nodes: Collection[Node]) -> list[Node]:
    """These nodes and all that was reached over them."""
    found, queue = set(nodes), list(nodes)
    for node in queue:
        for other, edge in web.get(node, ()):
            if other not in found and over.get(other) == (node, edge):
                found.add(other)
                queue.append(other)
    return queue


def _walk(web: Web, over: dict[Node, tuple[Node, Edge | None]], queue: list[Node]) -> bool:
    """Add what can be reached from the queue, and say whether an edge leads to what was reached by another."""
    closes = False
    for node in queue:
        came = over[node][1]
        for other, edge in web.get(node, ()):
            if other in over:
                closes = closes or (edge != came and edge != over[other][1])
            elif not (edge.kind == "contact" and is_barred(came, edge)):
                over[other] = node, edge
                queue.append(other)
    return closes

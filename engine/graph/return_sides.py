"""Which batteries and loads lie on either side of each conductor of the negative wiring. Begun with what was there before where a
strand without rings was mended."""

from __future__ import annotations

import msgspec
import networkx as nx

from engine.graph.boat import Boat
from engine.graph.listed import joints_of
from engine.graph.poles import Node
from engine.graph.spans import hanging_otherwise, span_of
from engine.model.kept import latest
from engine.model.network import Run

Ends = frozenset[Node]
"""Batteries and loads, by their negative terminals."""


class Side(msgspec.Struct, frozen=True):
    """The ends on one side of a conductor: those beyond it, or all but those."""

    ends: Ends
    but: Ends = frozenset()

    def among(self, ends: Ends) -> Ends:
        """Those of some ends that are here."""
        return (self.ends & ends) - self.but


class Sides:
    """The ends on either side of each conductor."""

    def __init__(self, boat: Boat, ends: Ends) -> None:
        self._below = [_below_of(strand, ends) for strand in boat.graphs.strands["-"]]

    def of(self, run: Run) -> tuple[Side, Side] | None:
        """The ends on either side of a run; None where it is in a ring."""
        a, b = (run.a.part, run.a.port, "-"), (run.b.part, run.b.port, "-")
        below = next((each for each in self._below if a in each.graph), None)
        return below.sides(a, b, f"{run.id}:-") if below is not None else None


def _below_of(strand: nx.MultiGraph, ends: Ends) -> _Below:
    name = f"ends below {next(iter(strand))}"
    known: _Below | None = latest.get(name)
    if known is None or known.graph is not strand or known.ends != ends:
        known = latest[name] = _Below(strand, ends, known)
    return known


class _Below:
    """The ends at each node of a strand and beyond it."""

    def __init__(self, graph: nx.MultiGraph, ends: Ends, before: _Below | None) -> None:
        self.graph, self.ends, self.span = graph, ends, span_of(graph)
        touched = hanging_otherwise(graph, before.graph, ends ^ before.ends) if before is not None else None
        self._at: dict[Node, Ends] = dict(before._at) if before is not None and touched is not None else {}
        for node in touched if touched is not None else reversed(self.span.order):
            self._at[node] = self._added_up(node)

    def _added_up(self, node: Node) -> Ends:
        parent = self.span.parent
        beyond = [self._at[other] for other, key in joints_of(self.graph)[node] if parent.get(other) == (node, key)]
        found = [ends for ends in beyond if ends]
        if node in self.ends:
            found.append(frozenset({node}))
        return found[0] if len(found) == 1 else frozenset().union(*found)

    def sides(self, a: Node, b: Node, key: str) -> tuple[Side, Side] | None:
        """Those on either side of an edge; None where it is in a ring."""
        child = self.span.child(a, b, key) if key not in self.span.rings else None
        if child is None:
            return None
        return Side(self._at[child]), Side(self._at[self.span.root[child]], self._at[child])

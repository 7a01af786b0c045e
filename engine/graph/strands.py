"""The strands of a rail: what of it hangs together, so that an edit touches one or two and leaves the others the same objects."""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Iterable, Iterator, Mapping, Sequence
from functools import partial

import networkx as nx

from engine.graph.listed import graph_of, graph_over, keyed_edges_of, mended
from engine.graph.poles import Keyed, Node


def strands_of(nodes: Iterable[Node], edges: Sequence[Keyed]) -> Iterator[nx.MultiGraph]:
    """What hangs together, each for itself."""
    joined = _joined(edges)
    along: dict[int, list[Keyed]] = {}
    for keyed in edges:
        along.setdefault(id(joined[keyed[0]]), []).append(keyed)
    within: dict[int, list[Node]] = {}
    for node in nodes:
        if node in joined:
            within.setdefault(id(joined[node]), []).append(node)
    for which, those in within.items():
        yield graph_over(those, along[which])


def _joined(edges: Iterable[Keyed]) -> Mapping[Node, list[Node]]:
    """Of each node all with which it hangs together, in a list that is the same for all of them."""
    found: dict[Node, list[Node]] = {}
    for a, b, _, _ in edges:
        one, other = found.get(a) or found.setdefault(a, [a]), found.get(b) or found.setdefault(b, [b])
        if one is not other:
            larger, smaller = (one, other) if len(one) >= len(other) else (other, one)
            larger += smaller
            for node in smaller:
                found[node] = larger
    return found


def strands_mended(
    before: tuple[nx.MultiGraph, ...], rail: nx.MultiGraph, at: frozenset[Node], here: Sequence[Keyed],
    edges_at: Callable[[frozenset[Node]], Sequence[Keyed]], came: Collection[Node] = (),
) -> tuple[nx.MultiGraph, ...]:  # fmt: skip
    """Those that are touched become one, made of the largest: it may fall apart, and nodes that the rail no longer has may stay in
    it without an edge, which changes nothing that is worked out over it. `came`: the nodes that the rail did not have."""
    touched = [strand for strand in before if any(node in strand for node in at)]
    still = [strand for strand in before if strand not in touched]
    wired = frozenset(node for keyed in here for node in keyed[:2])
    at = frozenset(node for node in at if node in wired or any(node in strand for strand in touched))
    largest = max(touched, key=len, default=None)
    if largest is None:
        return (*still, graph_of((node for node in rail if node in at), here)) if here else tuple(still)
    if len(touched) == 1 and all(node in largest and node not in came for node in at):
        return *still, mended(largest, partial(_edges_among, rail, largest.nodes), at, here)
    others = at.union(*(strand for strand in touched if strand is not largest))
    nodes = [node for node in rail.nodes if node in others or node in largest]
    nodes += [node for strand in touched for node in strand if node not in rail]
    return *still, mended(largest, partial(_edges_among, rail, frozenset(nodes)), others, edges_at(others), nodes)


def strands_anew(
    before: tuple[nx.MultiGraph, ...], nodes: Iterable[Node], at: frozenset[Node],
    edges_at: Callable[[frozenset[Node]], Sequence[Keyed]],
) -> tuple[nx.MultiGraph, ...]:  # fmt: skip
    """Those that are touched are made anew; `nodes` are all that the rail has now."""
    touched = [strand for strand in before if any(node in strand for node in at)]
    joined = at.union(*touched)
    here = [node for node in nodes if node in joined]
    return *(strand for strand in before if strand not in touched), *strands_of(here, edges_at(frozenset(here)))


def _edges_among(rail: nx.MultiGraph, nodes: Container[Node]) -> list[Keyed]:
    return [keyed for keyed in keyed_edges_of(rail) if keyed[0] in nodes]

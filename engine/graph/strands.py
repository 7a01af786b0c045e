"""The strands of a rail: what of it hangs together, so that an edit touches one or two and leaves the others the same objects."""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Hashable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import TypeVar

import msgspec
import networkx as nx

from engine.graph.listed import graph_of, graph_over, keyed_edges_of, mended
from engine.graph.poles import Keyed, Node

Name = TypeVar("Name", bound=Hashable)


def strands_of(nodes: Iterable[Node], edges: Sequence[Keyed]) -> Iterator[nx.MultiGraph]:
    """What hangs together, each for itself."""
    joined = _joined((a, b) for a, b, _, _ in edges)
    along: dict[int, list[Keyed]] = {}
    for keyed in edges:
        along.setdefault(id(joined[keyed[0]]), []).append(keyed)
    within: dict[int, list[Node]] = {}
    for node in nodes:
        if node in joined:
            within.setdefault(id(joined[node]), []).append(node)
    for which, those in within.items():
        yield graph_over(those, along[which])


def _joined(pairs: Iterable[tuple[Name, Name]]) -> Mapping[Name, list[Name]]:
    """Of each name all with which it hangs together by pairs, in a list that is the same for all of them."""
    found: dict[Name, list[Name]] = {}
    for a, b in pairs:
        one, other = found.get(a) or found.setdefault(a, [a]), found.get(b) or found.setdefault(b, [b])
        if one is not other:
            larger, smaller = (one, other) if len(one) >= len(other) else (other, one)
            larger += smaller
            for node in smaller:
                found[node] = larger
    return found


class _Touched(msgspec.Struct, frozen=True):
    """Strands that edges join, the nodes at which something is wired otherwise there, and the edges that stand at these."""

    strands: Sequence[nx.MultiGraph]
    at: frozenset[Node]
    here: Sequence[Keyed]


def strands_mended(
    before: tuple[nx.MultiGraph, ...], rail: nx.MultiGraph, at: frozenset[Node], here: Sequence[Keyed],
    edges_at: Callable[[frozenset[Node]], Sequence[Keyed]], came: Collection[Node] = (),
) -> tuple[nx.MultiGraph, ...]:  # fmt: skip
    """Each that is touched is mended, and those that edges join now become one. One may fall apart, and nodes that the rail no
    longer has may stay in it without an edge, which changes nothing that is worked out over it. `came`: the nodes that the rail did
    not have."""
    touched = [strand for strand in before if any(node in strand for node in at)]
    still = (strand for strand in before if strand not in touched)
    return *still, *(_mended(each, rail, edges_at, came) for each in _grouped(touched, at, here))


def _grouped(touched: Sequence[nx.MultiGraph], at: frozenset[Node], here: Sequence[Keyed]) -> Iterator[_Touched]:
    """By what hangs together now; a node on no strand at which no edge stands is left out."""
    ends = at.union(*(keyed[:2] for keyed in here))
    place: Mapping[Node, object] = {
        node: next((number for number, strand in enumerate(touched) if node in strand), node) for node in ends
    }
    joined = _joined(
        [*((number, number) for number in range(len(touched))), *((place[a], place[b]) for a, b, _, _ in here)]
    )
    for group in {id(group): group for group in joined.values()}.values():
        yield _Touched(
            [strand for number, strand in enumerate(touched) if number in group],
            frozenset(node for node in at if place[node] in group),
            [keyed for keyed in here if place[keyed[0]] in group],
        )


def _mended(
    touched: _Touched,
    rail: nx.MultiGraph,
    edges_at: Callable[[frozenset[Node]], Sequence[Keyed]],
    came: Collection[Node],
) -> nx.MultiGraph:
    """One strand, made of the largest of those that are touched."""
    strands, at, here = touched.strands, touched.at, touched.here
    largest = max(strands, key=len, default=None)
    if largest is None:
        return graph_of((node for node in rail if node in at), here)
    if len(strands) == 1 and all(node in largest and node not in came for node in at):
        return mended(largest, partial(_edges_among, rail, largest.nodes), at, here)
    others = at.union(*(strand for strand in strands if strand is not largest))
    nodes = [node for node in rail.nodes if node in others or node in largest]
    nodes += [node for strand in strands for node in strand if node not in rail]
    return mended(largest, partial(_edges_among, rail, frozenset(nodes)), others, edges_at(others), nodes)


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

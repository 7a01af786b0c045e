"""A spanning tree that was made of the one before is the one from nothing, but for the order of what hangs on different nodes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from random import Random

import networkx as nx
import pytest

from engine.graph.listed import graph_of, joints_of, mended
from engine.graph.poles import Edge, Keyed, Node, RunRef
from engine.graph.spans import Span, span_of
from engine.model.network import End

NODES: list[Node] = [(f"p{number}", "a", "+") for number in range(30)]


def edge(a: Node, b: Node) -> Keyed:
    key, (one, other) = f"{a[0]}-{b[0]}", (End(part=node[0], port=node[1]) for node in (a, b))
    return a, b, key, Edge("core", RunRef(key, one, other, ("+",)), "+")


@pytest.mark.parametrize("seed", range(20))
def test_a_tree_that_is_rehung_is_the_one_that_grows(seed: int) -> None:
    rehung = 0
    for before, now in grown_and_cut(Random(seed)):
        old, made = span_of(before), span_of(now)
        compare(now, made)
        if made.moved is not None:
            rehung += 1
            others = [
                node
                for node in now
                if (old.parent.get(node), old.root.get(node)) != (made.parent.get(node), made.root[node])
            ]
            assert set(others) <= set(made.moved)
    assert rehung > 20


def grown_and_cut(random: Random) -> Iterator[tuple[nx.MultiGraph, nx.MultiGraph]]:
    """Graphs of a few trees, now and then with a ring, each made of the one before; some nodes come with their first edge."""
    random.shuffle(nodes := NODES.copy())
    edges: list[Keyed] = [
        edge(node, random.choice(nodes[:number])) for number, node in enumerate(nodes[:20]) if number % 7
    ]
    graph = graph_of([node for node in NODES if node in nodes[:20]], edges)
    for _ in range(60):
        gone = random.sample(edges, min(len(edges), random.randrange(3)))
        stays = [each for each in edges if each not in gone]
        whole = {each: set(joined) for joined in nx.connected_components(graph_of(NODES, stays)) for each in joined}
        come = [edge(*random.sample(NODES, 2)) for _ in range(random.randrange(3))]
        come = [each for each in come if each[1] not in whole[each[0]] or random.random() < 0.05]
        come = [each for each in come if each[2] not in {known[2] for known in stays}]
        before, edges = graph, [*stays, *{each[2]: each for each in come}.values()]
        at = frozenset(node for each in (*gone, *come) for node in each[:2])
        here = [each for each in edges if each[0] in at or each[1] in at]
        new = [node for node in NODES if node in before or node in at]
        graph = mended(before, partial(list, edges), at, here, new if len(new) > len(before) else None)
        yield before, graph


def compare(graph: nx.MultiGraph, made: Span) -> None:
    anew, joints = Span(graph), joints_of(graph)
    assert (made.parent, made.root, made.rings) == (anew.parent, anew.root, anew.rings)
    place = {node: number for number, node in enumerate(made.order)}
    assert sorted(place) == sorted(graph)
    assert all(place[node] > place[above] for node, (above, _) in made.parent.items())
    assert all(
        made.hanging(node, joints) == [each for each in anew.order if each in hangs(anew, node)] for node in graph
    )


def hangs(span: Span, node: Node) -> set[Node]:
    return {each for each, (above, _) in span.parent.items() if above == node}


def test_inwards_each_comes_before_the_one_on_which_it_hangs() -> None:
    random = Random("inwards")
    for _, graph in grown_and_cut(random):
        span, asked = span_of(graph), random.sample(sorted(graph), 4)
        found = list(span.inwards(asked))
        assert {*asked, *(span.root[node] for node in asked)} <= set(found)
        for number, node in enumerate(found):
            assert node not in span.parent or span.parent[node][0] in found[number + 1 :]

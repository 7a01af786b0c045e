"""The batteries and loads on either side of each negative conductor, begun with those before, are those from nothing."""

from __future__ import annotations

from random import Random

import msgspec
import networkx as nx
import pytest

from engine.graph.boat import Boat
from engine.graph.listed import graph_of, mended
from engine.graph.poles import Edge, Keyed, Node, RunRef
from engine.graph.return_sides import Side, Sides, _Below
from engine.model.network import End, Network
from tests.bench.boat import big_boat
from tests.graph.skeletons import apart
from tests.graph.test_graphs import other_wiring
from tests.samples.boats import NAMES, document, library

BENCH = "the boat of the benches"
Known = tuple[frozenset[Node], frozenset[Node]] | None


@pytest.mark.parametrize("name", [BENCH, *NAMES])
def test_where_runs_come_and_go_the_sides_are_those_from_nothing(name: str) -> None:
    first = big_boat(library()).network if name == BENCH else document(name).network
    random, network = Random(f"sides {name}"), first
    for _ in range(20):
        found = sides(network)
        with apart():
            assert found == sides(network)
        network = random.choice((first, without_some(random, first), other_wiring(random, network, first)))


def sides(network: Network) -> dict[str, Known]:
    """Of every negative conductor."""
    boat = Boat(network, library())
    ends = frozenset(node for a, b, _ in boat.inside("load", "source") for node in (a, b) if node[2] == "-")
    every = Sides(boat, ends)
    return {run.id: pair(every.of(run)) for run in network.runs if "-" in run.poles}


def pair(found: tuple[Side, Side] | None) -> Known:
    return None if found is None else (found[0].among(found[0].ends), found[1].among(found[1].ends))


def test_where_a_strand_is_mended_the_sides_are_those_from_nothing() -> None:
    """With rings and without, where edges came, went and led elsewhere."""
    random = Random("mended")
    for _ in range(60):
        count = random.randint(3, 12)
        ends = frozenset(node(number) for number in random.sample(range(count), count // 2))
        edges = [(random.randrange(number), number, f"e{number}") for number in range(1, count)]
        graph, below = graph_of(map(node, range(count)), keyed(edges)), None
        for _ in range(12):
            below = _Below(graph, ends, below)
            anew = _Below(graph, ends, None)
            for a, b, key in edges:
                assert pair(below.sides(node(a), node(b), key)) == pair(anew.sides(node(a), node(b), key))
            edges, graph = mended_at_random(random, count, edges, graph)


Edges = list[tuple[int, int, str]]


def mended_at_random(random: Random, count: int, edges: Edges, graph: nx.MultiGraph) -> tuple[Edges, nx.MultiGraph]:
    """An edge less, or one more."""
    others, a_to_b = list(edges), random.sample(range(count), 2)
    other = random.choice(edges) if edges and random.random() < 0.5 else (a_to_b[0], a_to_b[1], f"e{random.random()}")
    if other in others:
        others.remove(other)
    elif len(edges) < count + 2:
        others.append(other)
    at = {node(number) for number in other[:2]}
    here = [each for each in keyed(others) if each[0] in at or each[1] in at]
    return others, mended(graph, lambda: keyed(others), at, here)


def node(number: int) -> Node:
    return f"p{number}", "s", "-"


def keyed(edges: Edges) -> list[Keyed]:
    return [(node(a), node(b), key, Edge("core", RunRef(key, END, END, ("-",)), "-")) for a, b, key in edges]


END = End(part="p", port="s")


def without_some(random: Random, network: Network) -> Network:
    """One or two negative runs less."""
    negative = [run for run in network.runs if "-" in run.poles]
    gone = random.sample(negative, random.randint(1, 2))
    return msgspec.structs.replace(network, runs=tuple(run for run in network.runs if run not in gone))

"""The graphs made from those made last are those made from nothing, to the order of every list."""

from __future__ import annotations

from random import Random

import msgspec
import networkx as nx
import pytest

from engine.graph.boat import Boat
from engine.graph.edges import RAILS
from engine.graph.graphs import Graphs, graphs_of
from engine.graph.listed import edges_of, joints_of, keyed_edges_of, web_of
from engine.graph.skeleton import parts_wired, runs_wired
from engine.model.network import Network
from tests.graph.skeletons import apart
from tests.graph.test_demand import boat, library
from tests.samples.boats import NAMES, document

ROUNDS = 60


@pytest.mark.parametrize("name", NAMES)
def test_where_runs_come_and_go_the_graphs_are_those_from_nothing(name: str) -> None:
    random, first = Random(name), document(name).network
    network = first
    for _ in range(ROUNDS):
        network = other_wiring(random, network, first)
        made = graphs(network)
        listed = lists(made)  # before the lists of the next are begun with them
        with apart():
            assert listed == lists(graphs(network))


@pytest.mark.parametrize("name", NAMES)
def test_an_edge_is_one_object_in_all_lists_though_the_records_are_others(name: str) -> None:
    """As a boat that was read anew has them: equal, but not the same."""
    random, first = Random(f"objects {name}"), document(name).network
    network = first
    for _ in range(10):
        network = other_wiring(random, network, first)
        made = graphs(msgspec.msgpack.decode(msgspec.msgpack.encode(network), type=Network))
        for graph in (made.whole, made.wires, *made.rails.values()):
            listed = {id(edge) for _, _, edge in edges_of(graph)}
            assert listed == {id(edge) for near in web_of(graph).values() for _, edge in near}


def graphs(network: Network) -> Graphs:
    """As a boat has them, but never carried."""
    return graphs_of(network, library(), parts_wired(network, library()), runs_wired(network))


def other_runs(random: Random, network: Network, first: Network) -> Network:
    """A run less, one of the first ones back in its place, one that lands elsewhere, or two that change places."""
    runs = list(network.runs)
    gone = [run for run in first.runs if run.id not in {each.id for each in runs}]
    what = random.choice(("less", "back", "moved", "more", "swapped"))
    at, other = random.randrange(len(runs)), random.randrange(len(runs))
    if what == "less":
        del runs[at]
    elif what == "back" and gone:
        runs.insert(at, random.choice(gone))
    elif what == "moved":
        runs[at] = msgspec.structs.replace(runs[at], a=runs[other].b)
    elif what == "more":
        runs.append(msgspec.structs.replace(runs[at], id=f"copy{random.random()}"))
    elif what == "swapped":
        runs[at], runs[other] = runs[other], runs[at]
    return msgspec.structs.replace(network, runs=tuple(runs))


def other_parts(random: Random, network: Network, first: Network) -> Network:
    """A part less, with its runs or without, one of the first ones back with the runs that land on it, a copy of one, or one that
    is what another is."""
    parts = list(network.parts)
    gone = [part for part in first.parts if part.id not in {each.id for each in parts}]
    what = random.choice(("less", "less", "back", "back", "more", "other"))
    at, other = random.randrange(len(parts)), random.randrange(len(parts))
    runs = network.runs
    if what == "less":
        alone, name = random.random() < 0.3, parts.pop(at).id
        runs = tuple(run for run in runs if alone or name not in (run.a.part, run.b.part))
    elif what == "back" and gone:
        parts.insert(at, back := random.choice(gone))
        there, known = {part.id for part in parts}, {run.id for run in runs}
        more = [
            run
            for run in first.runs
            if run.id not in known and back.id in (run.a.part, run.b.part) and {run.a.part, run.b.part} <= there
        ]
        runs = (*runs, *more)
    elif what == "more":
        parts.insert(at, msgspec.structs.replace(parts[other], id=f"copy{random.random()}"))
    elif what == "other":
        like = parts[other]
        parts[at] = msgspec.structs.replace(parts[at], kind=like.kind, values=like.values, positions=like.positions)
    return msgspec.structs.replace(network, parts=tuple(parts), runs=runs)


def other_wiring(random: Random, network: Network, first: Network) -> Network:
    """Other runs, now and then other parts."""
    return (other_parts if random.random() < 0.4 else other_runs)(random, network, first)


def lists(graphs: Graphs) -> list[object]:
    """All that is listed of the graphs."""
    every: list[nx.MultiGraph] = [graphs.whole, graphs.wires, *(graphs.rails[name] for name in RAILS)]
    return [list(graphs.beside)] + [
        (list(graph), keyed_edges_of(graph), edges_of(graph), list(web_of(graph).items()), list(joints_of(graph).items()),
         nx.to_dict_of_dicts(graph))
        for graph in every
    ]  # fmt: skip


LAMP = """
G1 battery nominal_v=12
E1 lamp running_a=1
W1: G1.pos - E1.supply +
W2: G1.neg - E1.supply -
"""


def test_a_rail_on_which_nothing_came_or_went_stays_the_same() -> None:
    with apart():
        before = boat(LAMP)
        rails = before.graphs.rails
        less = msgspec.structs.replace(before.network, runs=before.network.runs[:1])
        after = Boat(less, library()).graphs.rails
        assert after["+"] is rails["+"]
        assert after["-"] is not rails["-"]
        assert [edge.kind for _, _, edge in edges_of(after["-"])] == ["through"]


TWO = """
G1 battery nominal_v=12
E1 lamp running_a=1
G2 battery nominal_v=12
E2 lamp running_a=1
W1: G1.pos - E1.supply +
W2: G2.pos - E2.supply +
"""


@pytest.mark.parametrize(("ends", "strands"), [("G2.pos - E2.supply", 2), ("G1.pos - G2.pos", 1)])
def test_two_strands_that_are_touched_become_one_only_where_a_run_joins_them(ends: str, strands: int) -> None:
    with apart():
        before = boat(f"{TWO}W3: G1.pos - E1.supply +\n")
        assert len(before.graphs.strands["+"]) == 2
        now = boat(f"{TWO}W3: {ends} +\n")
        assert now.graphs.before is before.graphs.stamp
        assert len(now.graphs.strands["+"]) == strands


@pytest.mark.parametrize("name", NAMES)
def test_strands_hold_every_edge_of_their_rail_once_and_no_node_twice(name: str) -> None:
    random, network = Random(name), document(name).network
    for _ in range(ROUNDS):
        made = graphs(network)
        for rail, strands in made.strands.items():
            keys = [keyed[2] for strand in strands for keyed in keyed_edges_of(strand)]
            assert sorted(keys) == sorted(keyed[2] for keyed in keyed_edges_of(made.rails[rail]))
            nodes = [node for strand in strands for node in strand]
            assert len(nodes) == len(set(nodes))
            for strand in strands:
                assert [node for node in made.rails[rail] if node in strand] == list(strand)
        network = other_runs(random, network, document(name).network)


@pytest.mark.parametrize("name", NAMES)
def test_from_nothing_a_strand_hangs_together(name: str) -> None:
    with apart():
        made = graphs(document(name).network)
    for rail, strands in made.strands.items():
        assert all(nx.is_connected(strand) for strand in strands)
        assert sum(map(len, strands)) == sum(1 for _, degree in made.rails[rail].degree() if degree)

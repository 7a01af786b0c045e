"""What can be pushed through a return, and which cables belong to the starter."""

from __future__ import annotations

from random import Random

import msgspec
import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.graph.boat import Boat
from engine.graph.cranking import cranking_cores
from engine.graph.groups import Groups
from engine.graph.returns import returns
from engine.model.network import Network
from tests.bench.boat import big_boat
from tests.graph.skeletons import apart
from tests.graph.test_demand import boat
from tests.graph.test_flows import capacity, node, wiring
from tests.graph.test_graphs import other_wiring
from tests.samples.boats import NAMES, document, library


@st.composite
def fused(draw: st.DrawFn) -> tuple[nx.MultiGraph, list[int], list[int]]:
    count = draw(st.integers(2, 8))
    rating = st.sampled_from([5, 10, 20, 40, 80])
    tree = [(draw(st.integers(0, n - 1)), n, draw(rating)) for n in range(1, count)]
    extra = draw(st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1), rating), max_size=3))
    nodes = draw(st.permutations(range(count)))
    cut = draw(st.integers(1, count - 1))
    ends = [*tree, *(each for each in extra if each[0] != each[1])]
    return wiring(count, ends), nodes[:cut][:3], nodes[cut:][:3]


@given(fused())
@settings(max_examples=200, deadline=None, derandomize=True)
def test_the_flow_between_groups_agrees_with_plain_maximum_flow(
    case: tuple[nx.MultiGraph, list[int], list[int]],
) -> None:
    graph, sources, sinks = case
    net = nx.DiGraph()
    for a, b, edge in graph.edges(data="edge"):
        for tail, head in ((a, b), (b, a)):
            known = net.get_edge_data(tail, head, {"capacity": 0.0})["capacity"]
            net.add_edge(tail, head, capacity=known + capacity(edge))
    net.add_edges_from(("from", node(number), {"capacity": 1e9}) for number in sources)
    net.add_edges_from((node(number), "to", {"capacity": 1e9}) for number in sinks)
    found = Groups(graph, capacity).flow(map(node, sources), map(node, sinks))
    assert found == pytest.approx(nx.maximum_flow_value(net, "from", "to"))


def test_the_feeder_s_fuse_holds_a_common_return() -> None:
    of = boat("""
        G1 battery nominal_v=12
        F1 fuse_bolt 60 A
        A1 dc_panel bus_a=100
          1 breaker 50 A
          2 breaker 50 A
        E1 heater running_a=20
        E2 heater running_a=20
        W1: G1.pos - F1.a +
        W2: F1.b - A1.feed +
        W3: A1.neg - G1.neg -
        W4: A1.1 - E1.supply +-
        W5: A1.2 - E2.supply +
        W6: E2.neg - A1.neg -
        """)
    numbers = {of.runs[run].number: pushed.most_a for run, pushed in of.derive(returns).items()}
    assert numbers == {"W3": 60.0, "W6": 50.0}


def test_a_spur_off_the_starter_cable_is_none() -> None:
    of = boat("""
        G1 battery nominal_v=12
        M1 engine_starter cranking_a=200
        E1 windlass running_a=80
        W1: G1.pos - M1.pos + cranking
        W2: M1.pos - E1.supply + cranking
        W3: M1.case - G1.neg - cranking
        """)
    assert {(of.runs[run].number, pole) for run, pole in of.derive(cranking_cores)} == {("W1", "+"), ("W3", "-")}


BOATS = ("the boat of the benches", *NAMES)


@pytest.mark.parametrize("name", BOATS)
def test_where_runs_and_ratings_change_the_returns_are_those_from_nothing(name: str) -> None:
    first = document(name).network if name in NAMES else big_boat(library()).network
    random, network = Random(f"returns {name}"), first
    for _ in range(30):
        found = returns(Boat(network, library()))
        with apart():
            assert list(found.items()) == list(returns(Boat(network, library())).items())
        near = random.choice((network, without_one(random, network), other_wiring(random, first, first)))
        network = random.choice((near, other_rating(random, near)))


def without_one(random: Random, network: Network) -> Network:
    """A run less, at times a return."""
    alone = [run for run in network.runs if run.poles == ("-",)]
    gone = random.choice(random.choice((alone, network.runs)))
    return msgspec.structs.replace(network, runs=tuple(run for run in network.runs if run is not gone))


def other_rating(random: Random, network: Network) -> Network:
    """A fuse or breaker of another size, or of one that nobody knows."""
    rated = [part for part in network.parts if "rating_a" in part.values]
    other = random.choice(rated)
    values = {**other.values, "rating_a": random.choice((None, 7.0, (5.0, 10.0), 300.0))}
    parts = tuple(msgspec.structs.replace(part, values=values) if part is other else part for part in network.parts)
    return msgspec.structs.replace(network, parts=parts)


def test_what_hangs_nowhere_together_is_pushed_apart() -> None:
    """Two strands that became one and fell apart again give the same amounts, to the last bit, as each for itself."""
    rings = [(0, 1, 10), (1, 2, 20), (2, 0, 5)], [(3, 4, 30), (4, 5, 15), (5, 3, 40), (5, 6, 50)]
    ends = [node(0), node(3)], [node(2), node(6)]
    one, other, both = (Groups(wiring(7, each), capacity).flows(*ends) for each in (*rings, [*rings[0], *rings[1]]))
    assert sorted(filter(None, [*one, *other])) == sorted(both) == [15.0, 50.0]

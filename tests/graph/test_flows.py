"""Flows on random wiring (trees, rings, parallel conductors, several sources) against networkx's maximum flow."""

from __future__ import annotations

import math

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.graph.flows import NOTHING, UNLIMITED, Feed, Feeds, limits_of
from engine.graph.layout import Layout
from engine.graph.poles import Edge, Node, PartRef, RunRef
from engine.library.expand import Link
from engine.model.network import End

FUSE = PartRef("f", "fuse_bolt")


def node(number: int) -> Node:
    return (f"p{number}", "s", "+")


def core(name: str) -> Edge:
    return Edge("core", RunRef(name, End(part="", port=""), End(part="", port=""), ("+",)), "+")


def fuse(name: str, rating_a: float) -> Edge:
    return Edge("fuse", None, "+", PartRef(name, "fuse_bolt"), Link("fuse", ("a", "+"), ("b", "+"), (), f"{rating_a}"))


def capacity(edge: Edge) -> float:
    return float(edge.link.rated) if edge.link is not None and edge.kind == "fuse" else UNLIMITED


def wiring(count: int, ends: list[tuple[int, int, int]]) -> nx.MultiGraph:
    graph = nx.MultiGraph()
    graph.add_nodes_from(node(number) for number in range(count))
    for index, (a, b, rating) in enumerate(ends):
        edge = fuse(f"f{index}", float(rating)) if rating else core(f"w{index}")
        graph.add_edge(node(a), node(b), key=f"e{index}", edge=edge)
    return graph


def plain_flow(graph: nx.MultiGraph, inflow: dict[Node, Feed], start: Node, key: str | None) -> float:
    """Maximum flow from all sources to one node with one edge taken out, by networkx alone."""
    net = nx.DiGraph()
    net.add_nodes_from(["all", *graph])
    for source, feed in inflow.items():
        net.add_edge("all", source, capacity=min(feed.current_a, 1e9))
    for a, b, edge_key, edge in graph.edges(keys=True, data="edge"):
        if edge_key != key and a != b:
            for tail, head in ((a, b), (b, a)):
                known = net.get_edge_data(tail, head, {"capacity": 0.0})["capacity"]
                net.add_edge(tail, head, capacity=known + min(capacity(edge), 1e9))
    value = nx.maximum_flow_value(net, "all", start)
    return math.inf if value >= 1e8 else float(value)


def test_the_smallest_device_that_all_has_passed_is_kept() -> None:
    graph = wiring(4, [(0, 1, 40), (1, 2, 30), (2, 3, 0)])
    feeds = flows(graph, {node(0): Feed(25.0, (("part:charger", 25.0),))})
    arrived = feeds.into(node(2), node(3), "e2")
    assert arrived.by == (("part:charger", 25.0),)
    assert arrived.behind == ("part:f1", 30.0)


def flows(graph: nx.MultiGraph, inflow: dict[Node, Feed]) -> Feeds:
    layout = Layout(graph)
    return Feeds(layout, inflow, limits_of(layout, capacity))


@st.composite
def networks(draw: st.DrawFn) -> tuple[nx.MultiGraph, dict[Node, Feed]]:
    count = draw(st.integers(2, 9))
    rating = st.sampled_from([0, 0, 5, 10, 20, 40, 80, 200])
    tree = [(draw(st.integers(0, n - 1)), n, draw(rating)) for n in range(1, count)]
    extra = draw(st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1), rating), max_size=4))
    ends = [*tree, *((a, b, size) for a, b, size in extra if a != b)]
    at = draw(st.dictionaries(st.integers(0, count - 1), st.sampled_from([30.0, 60.0, UNLIMITED]), max_size=4))
    inflow = {node(number): Feed(amount, ((f"part:{number}", amount),)) for number, amount in at.items()}
    return wiring(count, ends), inflow


@given(networks())
@settings(max_examples=300, deadline=None, derandomize=True)
def test_both_ends_of_every_conductor_agree_with_plain_maximum_flow(
    net: tuple[nx.MultiGraph, dict[Node, Feed]],
) -> None:
    graph, inflow = net
    feeds = flows(graph, inflow)
    for a, b, key in graph.edges(keys=True):
        for start, other in ((a, b), (b, a)):
            assert feeds.into(start, other, key).current_a == pytest.approx(plain_flow(graph, inflow, start, key))


@given(networks())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_what_sets_a_flow_adds_up_to_it(net: tuple[nx.MultiGraph, dict[Node, Feed]]) -> None:
    graph, inflow = net
    feeds = flows(graph, inflow)
    for a, b, key in graph.edges(keys=True):
        feed = feeds.into(a, b, key)
        assert sum(amount for _, amount in feed.by) == pytest.approx(feed.current_a)


@given(networks(), st.data())
@settings(max_examples=250, deadline=None, derandomize=True)
def test_flows_begun_with_others_are_those_from_nothing(
    net: tuple[nx.MultiGraph, dict[Node, Feed]], data: st.DataObject
) -> None:
    """Whatever the limits, the sources and the wiring were before: the sums are in the same order, so that they are the same to
    the last bit."""
    whole, inflow = net
    feeds = None
    for _ in range(4):
        graph = whole.copy()
        gone = data.draw(st.lists(st.sampled_from(sorted(whole.edges(keys=True))), max_size=2))
        graph.remove_edges_from(gone)
        layout = Layout(graph)
        ratings = {key: data.draw(st.sampled_from([20.0, 20.0, 80.0])) for key, _ in layout.devices}
        now = {node: feed for node, feed in inflow.items() if data.draw(st.booleans())}
        feeds, again = Feeds(layout, now, ratings, feeds), Feeds(layout, now, ratings)
        assert feeds.held == again.held
        assert list(feeds.held) == list(again.held)
        assert [feeds.at(place) for place in graph] == [again.at(place) for place in graph]
        for a, b, key in graph.edges(keys=True):
            assert (feeds.into(a, b, key), feeds.into(b, a, key)) == (again.into(a, b, key), again.into(b, a, key))


@given(networks())
@settings(max_examples=100, deadline=None, derandomize=True)
def test_what_can_be_drawn_from_a_node_agrees_with_plain_maximum_flow(
    net: tuple[nx.MultiGraph, dict[Node, Feed]],
) -> None:
    graph, inflow = net
    feeds = flows(graph, inflow)
    for start in graph:
        assert feeds.at(start).current_a == pytest.approx(plain_flow(graph, inflow, start, None))


def test_on_a_tree_the_nearest_device_towards_the_source_holds() -> None:
    graph = wiring(4, [(0, 1, 80), (1, 2, 20), (2, 3, 0)])
    feeds = flows(graph, {node(0): Feed(UNLIMITED, (("part:0", UNLIMITED),))})
    assert feeds.into(node(2), node(3), "e2") == Feed(20.0, (("part:f1", 20.0),))
    assert feeds.into(node(3), node(2), "e2") == NOTHING


def test_several_sources_add_up() -> None:
    graph = wiring(4, [(0, 3, 200), (1, 3, 60), (2, 3, 0)])
    sources = {node(0): Feed(UNLIMITED, (("part:0", UNLIMITED),)), node(1): Feed(UNLIMITED, (("part:1", UNLIMITED),))}
    assert flows(graph, sources).into(node(3), node(2), "e2").current_a == 260.0


SELECTOR = PartRef("q", "ac_selector")


def contact(*states: str) -> Edge:
    return Edge("contact", None, "L", SELECTOR, Link("contact", ("in", "L"), ("out", "L"), states))


@pytest.mark.parametrize(("second", "most_a"), [(("2",), 63.0), (("2", "both"), 63.0), (("1", "2"), 95.0), ((), 95.0)])
def test_of_two_sources_at_a_selector_the_larger_alone_counts(second: tuple[str, ...], most_a: float) -> None:
    """Contacts that can be closed at the same time, or of which nothing is known, add up."""
    graph = nx.MultiGraph()
    graph.add_edge(node(1), node(0), key="q1", edge=contact("1"))
    graph.add_edge(node(2), node(0), key="q2", edge=contact(*second))
    graph.add_edge(node(0), node(3), key="w", edge=core("w"))
    feeds = flows(graph, {node(1): Feed(63.0), node(2): Feed(32.0)})
    assert feeds.into(node(0), node(3), "w").current_a == most_a
    assert feeds.into(node(3), node(0), "w").current_a == 0.0

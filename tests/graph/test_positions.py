"""The search over switch positions against trying every position, on random networks; and that it gives up openly."""

from __future__ import annotations

import random
from itertools import product

import networkx as nx
import pytest

from engine.graph.poles import Edge, PartRef
from engine.graph.positions import Positions, SearchTooLargeError, both, needs_of, position_text
from engine.library.expand import Link

STATES = ("off", "1", "2")


def contact(part: str, states: tuple[str, ...]) -> Edge:
    kind = "contact" if states else "through"
    return Edge(kind, None, "L", PartRef(part, "ac_selector"), Link(kind, ("a", "L"), ("b", "L"), states))


def network(seed: int) -> nx.MultiGraph:
    """Eight nodes joined at random by plain conductors and by contacts of four selectors."""
    dice = random.Random(seed)
    graph: nx.MultiGraph = nx.MultiGraph()
    graph.add_nodes_from((str(n), "p", "L") for n in range(8))
    for key in range(12):
        a, b = dice.sample(range(8), 2)
        states = dice.choice([(), ("1",), ("2",), ("1", "2"), ("1",), ("2",)])
        edge = contact(f"Q{dice.randrange(4)}", states)
        graph.add_edge((str(a), "p", "L"), (str(b), "p", "L"), key=str(key), edge=edge)
    return graph


def by_trying(graph: nx.MultiGraph) -> set[object]:
    """Nodes joined to node 0 in some position, by going through all of them."""
    found: set[object] = set()
    for states in product(STATES, repeat=4):
        position = dict(zip(("Q0", "Q1", "Q2", "Q3"), states, strict=True))
        closed = nx.Graph()
        closed.add_nodes_from(graph)
        for a, b, edge in graph.edges(data="edge"):
            if all(position[part] in allowed for part, allowed in needs_of(edge).items()):
                closed.add_edge(a, b)
        found |= nx.node_connected_component(closed, ("0", "p", "L"))
    return found


@pytest.mark.parametrize("seed", range(60))
def test_it_finds_what_trying_every_position_finds(seed: int) -> None:
    graph = network(seed)
    positions = Positions(graph)
    start = ("0", "p", "L")
    groups = dict(positions.reach(start, {}))
    found = {node for node in graph if positions.group(node) in groups}
    assert found == by_trying(graph)


@pytest.mark.parametrize("seed", range(20))
def test_the_way_it_shows_is_closed_in_the_position_it_names(seed: int) -> None:
    graph = network(seed)
    positions = Positions(graph, frozenset({"Q0", "Q1", "Q2", "Q3"}))
    start = ("0", "p", "L")
    for group, needs in positions.reach(start, {}):
        way = positions.way(start, group, needs)
        assert way or group == positions.group(start)
        held = needs
        for edge in way:
            joined = both(held, needs_of(edge))
            assert joined is not None
            held = joined


def test_a_state_of_its_own_rules_a_contact_out() -> None:
    graph: nx.MultiGraph = nx.MultiGraph()
    graph.add_edge(("a", "p", "L"), ("b", "p", "L"), key="k", edge=contact("T1", ("passing",)))
    positions = Positions(graph, frozenset({"T1"}))
    inverting = {"T1": frozenset({"inverting"})}
    assert {group for group, _ in positions.reach(("a", "p", "L"), inverting)} == {positions.group(("a", "p", "L"))}
    assert len(list(positions.reach(("a", "p", "L"), {}))) == 2


def test_it_gives_up_openly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("engine.graph.positions.MOST_STEPS", 3)
    positions = Positions(network(1), frozenset({"Q0", "Q1", "Q2", "Q3"}))
    with pytest.raises(SearchTooLargeError):
        list(positions.reach(("0", "p", "L"), {}))


def test_positions_in_words() -> None:
    needs = {"p1": frozenset({"1", "2"}), "p2": frozenset({"inverting"})}
    assert position_text(needs, {"p1": "Q1", "p2": "T2"}) == "Q1 in position 1 or 2, T2 in position inverting"
    assert position_text({}, {}) == "the switches in any position"

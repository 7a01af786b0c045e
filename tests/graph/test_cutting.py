"""The search for a cut against trying every position, on random networks; how much it looks at; that it gives up openly."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from itertools import product

import networkx as nx
import pytest

from engine.graph.cutting import Cuts
from engine.graph.poles import Edge, Node, PartRef
from engine.graph.positions import SearchTooLargeError
from engine.library.expand import Link

SELECTORS = ("Q0", "Q1", "Q2", "Q3")
STATES = {part: ("off", "1", "2", "both") if part in ("Q0", "Q1") else ("1", "2") for part in SELECTORS}
"""Two switches with an off position, two without."""


def node(name: object) -> Node:
    return str(name), "p", "+"


def through() -> Edge:
    return Edge("through", None, "+", PartRef("x", "bus_positive"), Link("through", ("a", "+"), ("b", "+")))


def contact(part: str, *states: str) -> Edge:
    return Edge("contact", None, "+", PartRef(part, "selector"), Link("contact", ("a", "+"), ("b", "+"), states))


def diode(a: Node, b: Node) -> Edge:
    """It passes from a to b; both are terminals of one part."""
    return Edge("blocking", None, "+", PartRef(a[0], "diode"), Link("blocking", a[1:], b[1:]))


def graph_with(*edges: tuple[Node, Node, Edge]) -> nx.MultiGraph:
    graph: nx.MultiGraph = nx.MultiGraph()
    for key, (a, b, edge) in enumerate(edges):
        graph.add_edge(a, b, key=str(key), edge=edge)
    return graph


def network(seed: int) -> nx.MultiGraph:
    """Seven nodes and the two ends of a diode, joined at random by plain conductors and by contacts of four switches."""
    dice = random.Random(seed)
    ends = [*(node(n) for n in range(7)), ("R", "in", "+"), ("R", "out", "+")]
    edges = [(("R", "in", "+"), ("R", "out", "+"), diode(("R", "in", "+"), ("R", "out", "+")))]
    for _ in range(13):
        a, b = dice.sample(ends, 2)
        states = dice.choice([("1", "both"), ("2", "both"), ("both",), ("1", "2", "both"), ()])
        part = dice.choice(SELECTORS)
        closing = tuple(state for state in states if state in STATES[part])
        edges.append((a, b, contact(part, *closing) if closing else through()))
    graph = graph_with(*edges)
    graph.add_nodes_from(ends)
    return graph


def every_position(held: Mapping[str, str]) -> Iterator[dict[str, str]]:
    """Every position of the four switches in which those that are held stand as they are held."""
    for chosen in product(*(STATES[part] for part in SELECTORS)):
        position = dict(zip(SELECTORS, chosen, strict=True))
        if all(position[part] == state for part, state in held.items()):
            yield position


def is_joined(graph: nx.MultiGraph, position: Mapping[str, str], start: Node, goals: set[Node], gives: bool) -> bool:
    """By networkx, with the current's direction at the diode; a switch without a position has all its contacts closed."""
    closed = nx.DiGraph()
    closed.add_nodes_from(graph)
    for a, b, edge in graph.edges(data="edge"):
        if edge.kind == "blocking":
            closed.add_edge(("R", "in", "+"), ("R", "out", "+"))
        elif edge.kind == "through" or position.get(edge.part.id, edge.link.states[0]) in edge.link.states:
            closed.add_edges_from([(a, b), (b, a)])
    met = nx.descendants(closed, start) if gives else nx.ancestors(closed, start)
    return not ({start, *met}).isdisjoint(goals)


@pytest.mark.parametrize("gives", [True, False])
@pytest.mark.parametrize("seed", range(120))
def test_it_finds_a_cut_where_trying_every_position_finds_one(seed: int, gives: bool) -> None:
    graph, start, goals = network(seed), node(0), {node(5), node(6)}
    cuts = Cuts(graph, STATES)
    found = cuts.cut(start, goals, gives=gives)
    can_be_cut = any(not is_joined(graph, position, start, goals, gives) for position in every_position({}))
    assert (found is not None) == can_be_cut
    if found is not None:
        held = {part: next(iter(states)) for part, states in found.items()}
        assert not any(is_joined(graph, position, start, goals, gives) for position in every_position(held))


def test_the_random_networks_are_of_both_sorts() -> None:
    answers = [Cuts(network(seed), STATES).cut(node(0), {node(5), node(6)}) for seed in range(120)]
    assert sum(answer is None for answer in answers) > 10
    assert sum(bool(answer) for answer in answers) > 10


@pytest.mark.parametrize("seed", range(60))
def test_every_switch_that_is_named_has_a_part_in_it(seed: int) -> None:
    """With all contacts of one of them closed, and of all that are not named, the way is there again."""
    graph, start, goals = network(seed), node(0), {node(5), node(6)}
    found = Cuts(graph, STATES).cut(start, goals) or {}
    for part in found:
        held = {each: next(iter(states)) for each, states in found.items() if each != part}
        assert is_joined(graph, held, start, goals, gives=False) or not is_joined(graph, {}, start, goals, gives=False)


def test_the_contacts_of_one_switch_move_together() -> None:
    """Fed by way of either post of a switch that is always on one of them: it cannot be cut; two such switches can."""
    one = graph_with(
        (node("load"), node("G1"), contact("Q", "1")), (node("load"), node("G2"), contact("Q", "2"))
    )  # fmt: skip
    goals = {node("G1"), node("G2")}
    assert Cuts(one, {"Q": ("1", "2")}).cut(node("load"), goals) is None
    assert Cuts(one, {"Q": ("off", "1", "2")}).cut(node("load"), goals) == {"Q": frozenset({"off"})}
    two = graph_with((node("load"), node("G1"), contact("Q", "1")), (node("load"), node("G2"), contact("P", "2")))
    found = Cuts(two, {"Q": ("1", "2"), "P": ("1", "2")}).cut(node("load"), goals)
    assert found == {"Q": frozenset({"2"}), "P": frozenset({"1"})}


def test_a_diode_passes_one_way() -> None:
    a, b = ("R", "in", "+"), ("R", "out", "+")
    cuts = Cuts(graph_with((a, b, diode(a, b))), {})
    assert cuts.joined(a, {b}, gives=True)
    assert not cuts.joined(b, {a}, gives=True)
    assert cuts.joined(b, {a})
    assert not cuts.joined(a, {b})


def test_a_contact_that_names_no_position_stays_closed() -> None:
    graph = graph_with((node("a"), node("b"), contact("A1")))
    assert Cuts(graph, {"A1": ("off", "on")}).cut(node("a"), {node("b")}) is None


def _counted(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How often a search walks over the graph."""
    walks: list[int] = []
    plain = Cuts._reached
    monkeypatch.setattr(Cuts, "_reached", lambda *given, **named: walks.append(1) or plain(*given, **named))
    return walks


def ladder(number: int) -> list[tuple[Node, Node, Edge]]:
    """Each switch leads to the goal in one position and to the next switch in the other; the last leads nowhere."""
    at = [node("start"), *(node(n) for n in range(1, number)), node("end")]
    rungs = [(at[n], node("goal"), contact(f"Q{n}", "1")) for n in range(number)]
    return rungs + [(at[n], at[n + 1], contact(f"Q{n}", "2")) for n in range(number)]


def test_thirty_switches_that_must_all_be_off_take_few_walks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Not by the clock: where trying every position would take 2 to the 30th walks, forty must do."""
    edges = [(node("start"), node("goal"), contact(f"Q{n}", "on")) for n in range(30)]
    walks = _counted(monkeypatch)
    found = Cuts(graph_with(*edges), {f"Q{n}": ("off", "on") for n in range(30)}).cut(node("start"), {node("goal")})
    assert found == {f"Q{n}": frozenset({"off"}) for n in range(30)}
    assert len(walks) <= 40


def test_thirty_switches_without_an_off_position_take_few_walks(monkeypatch: pytest.MonkeyPatch) -> None:
    walks = _counted(monkeypatch)
    found = Cuts(graph_with(*ladder(30)), {f"Q{n}": ("1", "2") for n in range(30)}).cut(node("start"), {node("goal")})
    assert found == {f"Q{n}": frozenset({"2"}) for n in range(30)}
    assert len(walks) <= 100


def test_of_thirty_switches_in_a_row_the_first_is_named() -> None:
    at = [node("start"), *(node(n) for n in range(29)), node("goal")]
    edges = [(at[n], at[n + 1], contact(f"Q{n}", "on")) for n in range(30)]
    found = Cuts(graph_with(*edges), {f"Q{n}": ("off", "on") for n in range(30)}).cut(node("start"), {node("goal")})
    assert found == {"Q0": frozenset({"off"})}


def test_it_gives_up_openly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("engine.graph.cutting.MOST_STEPS", 3)
    cuts = Cuts(graph_with(*ladder(9)), {f"Q{n}": ("1", "2") for n in range(9)})
    with pytest.raises(SearchTooLargeError):
        cuts.cut(node("start"), {node("goal")})

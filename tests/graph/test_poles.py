"""The pole graph: cores, links, what passes straight through, and switches."""

from __future__ import annotations

from pathlib import Path

import networkx as nx

from engine.graph.graphs import pole_graph
from engine.graph.listed import keyed_edges_of
from engine.graph.paths import reach, tree_from, way_to, way_up
from engine.papers.supply import voltages
from engine.sketch import read_sketch
from tests.graph.test_demand import boat, library

QUILL = Path(__file__).parents[1] / "samples" / "quill_34.txt"

SKETCH = """
G1 battery nominal_v=12
F1 fuse_blade 10 A
Q1 battery_switch
E1 lamp running_a=1
W1: G1.pos - Q1.in +
W2: Q1.out - F1.a +
W3: F1.b - E1.supply +-
W4: G1.neg - F1.a -
"""


def test_a_fuse_lets_the_pole_it_does_not_take_straight_through() -> None:
    of = boat(SKETCH)
    fuse = next(part.id for part in of.network.parts if part.designation == "F1")
    kinds = {edge.kind for _, _, edge in of.wires.edges((fuse, "a", "-"), data="edge") if edge.part is not None}
    assert kinds == {"through"}
    assert of.wires.has_edge((fuse, "a", "+"), (fuse, "b", "+"))


def test_current_can_reach_the_lamp_and_return() -> None:
    of = boat(SKETCH)
    battery, lamp = (part.id for part in of.network.parts if part.designation in ("G1", "E1"))
    assert (lamp, "supply", "+") in reach(of.wires, [(battery, "pos", "+")])
    way = way_to(of.wires, (lamp, "supply", "-"), lambda node: node == (battery, "neg", "-"))
    assert way is not None
    assert [of.run_of(step.edge).number for step in way if step.edge.run] == ["W3", "W4"]


def test_the_way_up_a_tree_is_the_way_to_its_root() -> None:
    of = boat(SKETCH)
    battery, lamp = (part.id for part in of.network.parts if part.designation in ("G1", "E1"))
    tree = tree_from(of.wires, [(battery, "pos", "+")])
    steps = way_up(tree, (lamp, "supply", "+"))
    assert steps is not None
    assert [of.run_of(step.edge).number for step in steps if step.edge.run] == ["W3", "W2", "W1"]
    assert way_up(tree, (lamp, "supply", "-")) is None


def test_an_open_switch_parts_the_graph() -> None:
    network = read_sketch(SKETCH, library()).network
    ids = {part.designation: part.id for part in network.parts}
    lamp, start = (ids["E1"], "supply", "+"), (ids["G1"], "pos", "+")
    for state, reached in (("off", False), ("on", True)):
        graph = pole_graph(network, library(), {ids["Q1"]: state})
        assert (lamp in reach(graph, [start], lambda edge: not edge.conducts)) is reached


def test_no_conductor_runs_through_a_load_or_a_battery() -> None:
    of = boat(SKETCH)
    battery = next(part.id for part in of.network.parts if part.designation == "G1")
    assert not of.wires.has_edge((battery, "pos", "+"), (battery, "neg", "-"))
    assert of.graph.has_edge((battery, "pos", "+"), (battery, "neg", "-"))


SPLIT = """
X1 shore_inlet_split nominal_v=240 service_a=50
A1 ac_panel_split
  1 breaker 15 A "Outlets"
F1 breaker_ac 10 A
E1 load_ac running_a=5 nominal_v=120
1: X1.boat - A1.feed L1,L2,N,PE 6 AWG 3 m
2: A1.1 - F1.a {poles} 12 AWG 1 m
3: F1.b - E1.supply {poles} 12 AWG 1 m
"""


def test_one_line_of_a_split_supply_feeds_a_single_line() -> None:
    of = boat(SPLIT.format(poles="L2,N,PE"))
    inlet, fuse, load = (part.id for part in of.network.parts if part.designation in ("X1", "F1", "E1"))
    assert (load, "supply", "L") in reach(of.wires, [(inlet, "boat", "L2")])
    assert (load, "supply", "L") not in reach(of.wires, [(inlet, "boat", "L1")])
    opened = of.switched({fuse: "off"})
    assert (load, "supply", "L") not in reach(opened, [(inlet, "boat", "L2")]), (
        "the line goes through the breaker, not by it"
    )
    assert voltages(of)[load, "supply", "L"] == 120
    assert voltages(of)[inlet, "boat", "L2"] == 240


def test_two_lines_are_not_joined_on_a_single_one() -> None:
    of = boat(SPLIT.format(poles="L1,L2,N,PE"))
    inlet, load = (part.id for part in of.network.parts if part.designation in ("X1", "E1"))
    seen = reach(of.wires, [(inlet, "boat", "L1")])
    assert (inlet, "boat", "L2") not in seen
    assert (load, "supply", "L") not in seen


def test_a_graph_filled_in_one_go_is_the_graph_that_networkx_makes() -> None:
    graph = boat(QUILL.read_text(encoding="utf-8")).graph
    edges = keyed_edges_of(graph)
    plain: nx.MultiGraph = nx.MultiGraph()
    plain.add_nodes_from(graph)
    for a, b, key, edge in edges:
        plain.add_edge(a, b, key, edge=edge)
    assert (graph.nodes, graph.adj) == (plain.nodes, plain.adj)
    assert list(graph.edges(keys=True)) == list(plain.edges(keys=True))
    assert nx.number_of_edges(graph) == len(edges)

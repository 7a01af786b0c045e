"""Islands are what a walk from a terminal finds, on the samples and where runs come and go."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import pytest

from engine.graph.boat import Boat
from engine.graph.islands import Together
from engine.graph.paths import reach
from engine.graph.spans import Span
from tests.graph.forests import edits
from tests.graph.skeletons import apart
from tests.graph.test_demand import boat, library
from tests.graph.test_graphs import other_wiring
from tests.samples.boats import NAMES, document


def boats(name: str, count: int = 10) -> Iterator[Boat]:
    """The sample, and boats with other runs and parts."""
    random, network = Random(name), document(name).network
    for _ in range(count):
        yield Boat(network, library())
        network = other_wiring(random, network, document(name).network)


@pytest.mark.parametrize("name", NAMES)
def test_an_island_is_what_a_walk_finds(name: str) -> None:
    random = Random(name)
    for of in boats(name):
        islands = Together(of.graphs).islands
        assert set(islands) == set(of.wires)
        for node in random.sample(sorted(of.wires), 20):
            assert {each for each in islands if islands[each] == islands[node]} == reach(of.wires, [node])


@pytest.mark.parametrize("name", NAMES)
def test_without_bonds_an_island_is_what_a_walk_finds_that_passes_none(name: str) -> None:
    random = Random(name)
    for of in boats(name):
        unbonded = Together(of.graphs).unbonded
        for node in random.sample(sorted(of.wires), 20):
            found = reach(of.wires, [node], lambda edge: edge.kind == "bond")
            assert {each for each in unbonded if unbonded[each] == unbonded[node]} == found


@pytest.mark.parametrize("name", NAMES)
def test_the_rings_are_those_of_one_tree_over_all_conductors(name: str) -> None:
    for of in boats(name):
        assert Together(of.graphs).rings == Span(of.wires).rings


@pytest.mark.parametrize("name", NAMES)
def test_islands_begun_with_those_before_are_those_from_nothing(name: str) -> None:
    for of in boats(name, 60):
        begun = of.islands, of.unbonded, of.rings
        with apart():
            anew = Boat(of.network, library())
            assert begun == (anew.islands, anew.unbonded, anew.rings)


@pytest.mark.parametrize("seed", range(3))
def test_where_there_is_no_ring_they_are_too(seed: int) -> None:
    for network in edits(Random(seed), 40):
        of = Boat(network, library())
        anew = Together(of.graphs)
        assert (of.islands, of.unbonded, of.rings) == (anew.islands, anew.unbonded, anew.rings)


def test_a_node_that_the_boat_does_not_have_is_on_no_island() -> None:
    assert not boat("G1 battery nominal_v=12").islands_at([("nowhere", "pos", "+")])

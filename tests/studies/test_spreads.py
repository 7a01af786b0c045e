"""What a node reaches, and the ohms up to there, begun with the boat before, are what they are from nothing."""

from __future__ import annotations

from random import Random

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.graph.poles import Node
from engine.model.network import Network
from engine.studies.fault_bounds import alone_sources
from engine.studies.fault_returns import returns_from
from engine.studies.spreads import spread
from engine.studies.trails import trail
from tests.graph.skeletons import apart
from tests.graph.test_graphs import other_wiring
from tests.samples.boats import NAMES, document, library

ROUNDS = 30


@pytest.mark.parametrize("name", NAMES)
def test_where_runs_come_and_go_the_returns_are_those_from_nothing(name: str) -> None:
    random, first = Random(f"spreads {name}"), document(name).network
    network, begun = first, 0
    for _ in range(ROUNDS):
        near = random.choice((network, without_one(random, first), other_wiring(random, first, first)))
        network = random.choice((near, other_lengths(random, near), other_shunts(random, near)))
        boat = Boat(network, library())
        roots = [alone.source.supply.a for alone in alone_sources(boat)]
        begun += sum(1 for root in roots if spread(boat, root).came or spread(boat, root).gone)
        found = dict(returns_from(boat, roots).to)
        with apart():
            assert found == returns_from(Boat(network, library()), roots).to
    assert begun


@pytest.mark.parametrize("name", NAMES)
def test_a_spread_leads_by_the_ways_of_a_trail(name: str) -> None:
    random, network = Random(f"ways {name}"), document(name).network
    for _ in range(ROUNDS):
        boat = Boat(network, library())
        for start in (node for alone in alone_sources(boat) for node in (alone.source.supply.a, alone.source.supply.b)):
            stops = trail(boat, start).stops
            assert {stop.node: (stops[stop.before].node, stop.edge) for stop in stops} == spread(boat, start).over
            assert leads_outwards(list(spread(boat, start).over.items()))
        network = other_wiring(random, random.choice((network, document(name).network)), document(name).network)


def leads_outwards(steps: list[tuple[Node, tuple[Node, object]]]) -> bool:
    """Whether what leads to a node stands before it."""
    place = {node: number for number, (node, _) in enumerate(steps)}
    return all(place[before] < number for number, (_, (before, _)) in enumerate(steps) if number)


def without_one(random: Random, network: Network) -> Network:
    """A run less."""
    gone = random.choice(network.runs)
    return msgspec.structs.replace(network, runs=tuple(run for run in network.runs if run is not gone))


def other_lengths(random: Random, network: Network) -> Network:
    """A few runs that are as long as none was, or of which nobody says how long."""
    at = random.sample(range(len(network.runs)), 3)
    length_m = random.choice((None, random.random(), (1.0, 2.0)))
    runs = tuple(
        msgspec.structs.replace(run, length_m=length_m) if n in at else run for n, run in enumerate(network.runs)
    )
    return msgspec.structs.replace(network, runs=runs)


def other_shunts(random: Random, network: Network) -> Network:
    """Shunts that resist otherwise."""
    parts = tuple(
        msgspec.structs.replace(part, values={**part.values, "full_scale_mv": random.uniform(10, 90)})
        if "full_scale_mv" in part.values
        else part
        for part in network.parts
    )
    return msgspec.structs.replace(network, parts=parts)

"""Every table of a boat's currents, begun with those of the boat before, is the one from nothing."""

from __future__ import annotations

from random import Random

import pytest

from engine.graph.boat import Boat
from engine.graph.currents import Currents
from engine.graph.returns import returns
from engine.model.network import Network
from tests.graph.forests import edits
from tests.graph.skeletons import apart
from tests.graph.test_graphs import other_wiring
from tests.graph.test_skeleton import TABLES
from tests.samples.boats import NAMES, document, library

ROUNDS = 12


@pytest.mark.parametrize("name", NAMES)
def test_where_runs_come_and_go_the_currents_are_those_from_nothing(name: str) -> None:
    random, network = Random(name), document(name).network
    for _ in range(ROUNDS):
        begun = tables(network)
        with apart():
            assert begun == tables(network)
        network = other_wiring(random, network, document(name).network)


@pytest.mark.parametrize("seed", range(5))
def test_where_there_is_no_ring_the_currents_are_those_from_nothing(seed: int) -> None:
    for network in edits(Random(seed), 25):
        begun = tables(network)
        with apart():
            assert begun == tables(network)


def tables(network: Network) -> dict[str, object]:
    """All tables, of the most and of the least; in tables of their own, as a check has them."""
    boat = Boat(network, library())
    found: dict[str, object] = {"returns": boat.carry(returns)}
    for who, currents in (("most", boat.currents), ("least", boat.currents.at_least)):
        found |= {f"{who} {table}": getattr(currents, table) for table in TABLES}
    return found


def test_all_tables_are_asked() -> None:
    assert {"demand", "held_fitted", "held_largest", "drawn"} <= set(TABLES) <= set(vars(Currents))

"""What is worked out of the wiring for the rules, begun with the boat before, is what is worked out from nothing."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import pytest

from engine.graph.boat import Boat
from engine.rules.ac.system import ac_of
from engine.rules.devices import devices
from engine.rules.faults.shorts import nearest
from engine.rules.live_cores import live_cores, panel_feeders
from engine.rules.permitted import allowed_of
from engine.rules.protection import by_run
from engine.rules.routes import routes
from engine.rules.ways import ways
from engine.studies.fault_bounds import least_faults
from tests.graph.skeletons import apart
from tests.graph.test_graphs import other_wiring
from tests.samples.boats import NAMES, document, library

TABLES: tuple[Callable[[Boat], object], ...] = (
    routes,
    ways,
    lambda boat: list(live_cores(boat).items()),
    panel_feeders,
    lambda boat: allowed_of(boat, "iso13297"),
    lambda boat: list(by_run(boat, "e11").items()),
    lambda boat: list(by_run(boat, "33cfr183").items()),
    least_faults,
    lambda boat: by_run(boat, "iso13297", True),
    devices,
    nearest,
    lambda boat: ac_of(boat).bonds,
    lambda boat: ac_of(boat).reachable_from,
)
ROUNDS = 15


@pytest.mark.parametrize("name", NAMES)
def test_where_runs_come_and_go_every_table_is_the_one_from_nothing(name: str) -> None:
    random, network = Random(f"begun {name}"), document(name).network
    for _ in range(ROUNDS):
        begun = Boat(network, library())
        found = [make(begun) for make in TABLES]
        with apart():
            anew = Boat(network, library())
            for make, table in zip(TABLES, found, strict=True):
                assert table == make(anew)
        network = other_wiring(random, network, document(name).network)

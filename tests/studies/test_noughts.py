"""A file may hold a nought that the editor refuses: what cannot be nothing is then not known, and all is still worked out."""

from __future__ import annotations

import pytest

from engine.graph.boat import Boat
from engine.studies.faults import fault_levels
from engine.studies.network import bounds
from tests.samples.boats import document, library, with_noughts


@pytest.mark.parametrize("name", ["quill_34", "quill_26_launch", "marguerite_as_built"])
def test_the_network_is_solved_with_any_value_at_nothing(name: str) -> None:
    for what, network in with_noughts(document(name).network):
        boat = Boat(network, library())
        assert all(bounds(boat, condition) for condition in (None, *network.conditions[:1])), what
        assert fault_levels(boat), what

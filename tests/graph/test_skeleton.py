"""The skeleton of a network: what it leaves out changes no current, and what it holds does."""

from __future__ import annotations

import msgspec
import pytest

from engine.graph.cranking import cranking_cores
from engine.graph.currents import Currents
from engine.graph.returns import returns
from engine.graph.skeleton import carried, skeleton_of, tables_of
from engine.model.network import Network, Part, Run
from tests.graph.skeletons import fresh, left_out, variants
from tests.samples.boats import NAMES, document, library

TABLES = tuple(name for name, table in vars(Currents).items() if isinstance(table, carried) and name != "_draws")


def test_every_field_is_held_or_left_out() -> None:
    assert {"id", "poles", "a", "b", "cranking"} == set(Run.__struct_fields__) - left_out(Run)
    assert {"id", "kind", "values", "positions"} == set(Part.__struct_fields__) - left_out(Part)


CARRIED = (cranking_cores, returns)


def tables(network: Network) -> dict[str, object]:
    boat = fresh(network)
    currents = boat.currents
    return {make.__name__: make(boat) for make in CARRIED} | {f"{who} {name}": getattr(each, name) for who, each in
            (("most", currents), ("least", currents.at_least)) for name in TABLES}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_what_the_skeleton_leaves_out_changes_no_table(name: str) -> None:
    network = document(name).network
    for other in variants(network):
        assert skeleton_of(other) == skeleton_of(network)
        assert tables(other) == tables(network)


def test_another_skeleton_starts_with_no_tables() -> None:
    network = document("quill_34").network
    kept = tables_of(network, library())
    run = network.runs[3]
    thicker = msgspec.structs.replace(
        network, runs=(*network.runs[:3], msgspec.structs.replace(run, size="1 AWG"), *network.runs[4:])
    )
    assert tables_of(thicker, library()) is kept
    fewer = msgspec.structs.replace(network, runs=(*network.runs[:3], *network.runs[4:]))
    assert tables_of(fewer, library()) is not kept
    fuse = next(part for part in network.parts if "rating_a" in part.values)
    larger = msgspec.structs.replace(fuse, values={**fuse.values, "rating_a": 99.0})
    at = network.parts.index(fuse)
    refused = msgspec.structs.replace(network, parts=(*network.parts[:at], larger, *network.parts[at + 1 :]))
    again = tables_of(network, library())
    assert tables_of(refused, library()) is not again
    assert tables_of(network, library()) is not again

"""The skeleton of a network: what it leaves out changes no current, and what it holds does."""

from __future__ import annotations

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.graph.currents import Currents
from engine.graph.skeleton import carried, skeleton_of, tables_of
from engine.model.network import Network, Part, Run
from tests.samples.boats import NAMES, document, library

LEFT_OUT = {
    "run": {
        "number": "Z9", "colours": (), "size": "1 AWG", "pe_size": "1 AWG", "insulation_c": 60.0, "stranded": False,
        "tinned": False, "cover": "open", "length_m": 99.0, "length_basis": None, "route": (), "bundled": 30.0,
        "cranking": True, "label": "Other", "option": "", "evidence": {}, "note": "Other",
    },
    "part": {
        "designation": "Z9", "label": "Other", "compartment": "", "enclosure": "", "option": "", "evidence": {},
        "note": "Other",
    },
}  # fmt: skip
TABLES = tuple(name for name, table in vars(Currents).items() if isinstance(table, carried) and name != "_draws")


def test_every_field_is_held_or_left_out() -> None:
    assert {"id", "poles", "a", "b"} == set(Run.__struct_fields__) - set(LEFT_OUT["run"])
    assert {"id", "kind", "values", "positions"} == set(Part.__struct_fields__) - set(LEFT_OUT["part"])


def tables(network: Network) -> dict[str, object]:
    currents = Currents(Boat(network, library()), {})
    return {f"{who} {name}": getattr(each, name) for who, each in
            (("most", currents), ("least", currents.at_least)) for name in TABLES}  # fmt: skip


def without(network: Network) -> Network:
    """The network with another value in everything that the skeleton leaves out."""
    parts = tuple(
        msgspec.structs.replace(part, **LEFT_OUT["part"],
                                positions=tuple(msgspec.structs.replace(way, label="Z") for way in part.positions))
        for part in network.parts
    )  # fmt: skip
    runs = tuple(msgspec.structs.replace(run, **LEFT_OUT["run"]) for run in network.runs)
    bare = Network(parts=parts, runs=runs, particulars=network.particulars)
    return msgspec.structs.replace(
        bare, particulars=msgspec.structs.replace(network.particulars, name="Other", rulebooks=("iso",))
    )


@pytest.mark.parametrize("name", NAMES)
def test_what_the_skeleton_leaves_out_changes_no_table(name: str) -> None:
    network = document(name).network
    other = without(network)
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

"""Networks with the skeleton of another and everything else different."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import msgspec

from engine.graph.boat import Boat
from engine.model import kept
from engine.model.network import Network, Part, Particulars, Run
from tests.samples.boats import library

OTHER_RUN: dict[str, object] = {
    "number": "Z9", "colours": (), "size": "1 AWG", "pe_size": "1 AWG", "insulation_c": 60.0, "stranded": False,
    "tinned": False, "cover": "open", "length_m": 99.0, "length_basis": "round-trip", "route": (), "bundled": 30.0,
    "label": "Other", "option": "", "evidence": {}, "note": "Other",
}  # fmt: skip
UNKNOWN_RUN: dict[str, object] = {
    **OTHER_RUN, "number": "", "size": "", "pe_size": "", "insulation_c": None, "stranded": None, "tinned": None,
    "cover": None, "length_m": None, "length_basis": None, "bundled": None, "label": "", "note": "",
}  # fmt: skip
OTHER_PART: dict[str, object] = {
    "designation": "Z9", "label": "Other", "compartment": "", "enclosure": "", "option": "", "evidence": {}, "note": "Other",
}  # fmt: skip
OTHER = Particulars(
    name="Other", fuel="petrol", engine="inboard", rulebooks=("iso",), shore_region="eu", units="metric"
)


def variants(network: Network) -> tuple[Network, ...]:
    """One with other values in everything that the skeleton leaves out, one with none; both without places and conditions."""
    parts = tuple(_other(part) for part in network.parts)
    return tuple(
        Network(
            parts=parts, runs=tuple(msgspec.structs.replace(run, **values) for run in network.runs), particulars=who
        )
        for values, who in ((OTHER_RUN, OTHER), (UNKNOWN_RUN, Particulars()))
    )


def _other(part: Part) -> Part:
    ways = tuple(msgspec.structs.replace(way, label="Z") for way in part.positions)
    return msgspec.structs.replace(part, positions=ways, **OTHER_PART)


def fresh(network: Network) -> Boat:
    """The boat with nothing carried to it, so that all is worked out from its own records."""
    kept.forget()
    return Boat(network, library())


@contextmanager
def apart() -> Iterator[None]:
    """With nothing carried or kept from the boats before; what was, is there again when it ends."""
    latest, kept_before = dict(kept.latest), [(each, each._kept) for each in kept._every]
    kept.forget()
    yield
    kept.latest.clear()
    kept.latest.update(latest)
    for each, known in kept_before:
        each._kept = known


def left_out(kind: type[Run] | type[Part]) -> set[str]:
    """Names of the fields that the variants change."""
    return set(OTHER_RUN if kind is Run else OTHER_PART)

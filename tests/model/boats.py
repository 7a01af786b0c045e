"""A small boat, made by the edits themselves: W1 (bus) to F1 (fuse) to A1 (panel), whose way 1 feeds E1."""

from __future__ import annotations

from functools import cache

from engine.library.device import DeviceKind, load_library
from engine.library.expand import ports_of
from engine.model.document import Document
from engine.model.edits.placing import place_part
from engine.model.edits.wiring import connect
from engine.model.network import End, Part, Run

SHEET = "s1"


@cache
def library() -> dict[str, DeviceKind]:
    return load_library()


def kind(name: str) -> DeviceKind:
    return library()[name]


def port_names(part: Part) -> frozenset[str]:
    return frozenset(port.name for port in ports_of(part, kind(part.kind)))


def small_boat() -> Document:
    """p2 bus, p3 fuse, p4 panel, p5 load; runs w6 (W1-F1, two bends), w7 (F1-A1), w8 (A1 way 1-E1)."""
    boat = Document()
    for name, x, y in (("bus_positive", 50, 50), ("fuse_bolt", 100, 50), ("dc_panel", 150, 50), ("load_dc", 300, 100)):
        boat = place_part(boat, kind(name), SHEET, x, y)
    bends = ((70.0, 50.0), (70.0, 60.0))
    boat = connect(boat, End(part="p2", port="s1"), End(part="p3", port="a"), ("+",), SHEET, bends)
    boat = connect(boat, End(part="p3", port="b"), End(part="p4", port="feed"), ("+",), SHEET)
    return connect(boat, End(part="p4", port="p1"), End(part="p5", port="supply"), ("+", "-"), SHEET)


def part(boat: Document, part_id: str) -> Part:
    return next(part for part in boat.network.parts if part.id == part_id)


def run(boat: Document, run_id: str) -> Run:
    return next(run for run in boat.network.runs if run.id == run_id)

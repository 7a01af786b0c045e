"""The load analysis as lists: every load with its circuit, every panel, bus and source, every feeder with its worst condition.

Facts for the command line, the papers and the window. Knows no layout and no words.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from engine.electrics.sources import Source
from engine.graph.boat import DEVICES, LIVE_POLES, Boat
from engine.graph.paths import way_to
from engine.graph.poles import Edge, Node
from engine.model.network import AC_LINES, Part, Run
from engine.studies.banks import shore_limit
from engine.studies.estimate import Estimate, estimated
from engine.studies.load_figures import Load, stated
from engine.studies.load_sums import Drawn, Sum
from engine.studies.loading import Allowed, allowed
from engine.studies.loads import CaseLoads, LoadAnalysis, Worst, in_order, load_analysis, natural_key, worst_of

PLACES = ("battery", "generator_dc", "ac_source", "converter", "transformer", "bus", "dc_panel", "ac_panel")
SHORE = Source(
    "a boat owner's account of living on 30 A", "80 % of the inlet's rating for what is drawn for hours", "published"
)
SOURCES = frozenset({"battery", "generator_dc", "ac_source", "converter", "transformer"})


class LoadRow(msgspec.Struct, frozen=True):
    """One load: the circuit it is on, where it is, and what it draws in each case."""

    load: Load
    circuit: str
    """The way of a panel ("A1.7") or the device ("F4") next before it; "" where there is none."""
    place: str
    drawn: tuple[Drawn, ...]


class PlaceRow(msgspec.Struct, frozen=True):
    """A source, bus or panel, one live pole of it: what is taken there in each case, and the worst of these."""

    parts: tuple[Part, ...]
    """One part, or the batteries of a bank."""
    pole: str
    sums: tuple[Sum, ...]
    worst: Worst
    rated: Estimate | None
    """What it may carry or give for hours, A; None where nothing says so (a battery)."""


class FeederRow(msgspec.Struct, frozen=True):
    """A conductor that feeds more than one load: what is taken over it in each case, the worst, and what it may carry."""

    run: Run
    pole: str
    sums: tuple[Sum, ...]
    worst: Worst
    allowed: Allowed


def is_alike(row: PlaceRow | FeederRow) -> bool:
    """Whether every case takes the same there, so that none is the worst."""
    found = [each.estimate for each in row.sums]
    return all((each.least, each.most) == (found[0].least, found[0].most) for each in found)


def load_rows(boat: Boat) -> tuple[LoadRow, ...]:
    """Every load, and every converter as what it takes; DC before AC, in the order of the circuits."""
    found = load_analysis(boat)
    converting = [(found.full.converter(boat.parts[name]), node) for name, node in found.full.converters.items()]
    rows = [
        *(_row(boat, load, load_pole(boat, load.part), tuple(c.drawn(load.part) for c in found.each))
          for load in found.loads.values()),
        *(_row(boat, load, node, tuple(c.taken_by(load.part) for c in found.each)) for load, node in converting),
    ]  # fmt: skip
    return tuple(
        sorted(rows, key=lambda row: (row.load.ac, natural_key(row.circuit), natural_key(row.load.part.designation)))
    )


def _row(boat: Boat, load: Load, node: Node | None, drawn: tuple[Drawn, ...]) -> LoadRow:
    return LoadRow(load, circuit_of(boat, node) if node else "", _place(boat, load.part), drawn)


def load_pole(boat: Boat, part: Part) -> Node | None:
    """The live pole at which a load takes its current."""
    taken = ((part.id, *end) for link in boat.links(part) if link.kind == "load" for end in (link.a, link.b))
    return next((node for node in taken if node[2] in LIVE_POLES), None)


def _place(boat: Boat, part: Part) -> str:
    space = boat.compartments.get(part.compartment)
    return space.name if space else ""


def circuit_of(boat: Boat, node: Node) -> str:
    """The way of a panel, or the fuse or breaker, that comes first on the way from a load's pole back to a source."""
    goals = {source.live for source in boat.sources if source.part.id != node[0]}
    for step in way_to(boat.wires, node, lambda at: at in goals) or ():
        if step.edge.kind in DEVICES:
            return _device_name(boat, step.edge)
    return ""


def _device_name(boat: Boat, edge: Edge) -> str:
    assert edge.link is not None
    name, way = boat.part_of(edge).designation, edge.link.position
    return f"{name}.{way}" if way and way != "main" else name


def place_rows(boat: Boat) -> tuple[PlaceRow, ...]:
    """Every bank, source, bus and panel at which something is taken in some case: sources, then buses, then panels."""
    found = load_analysis(boat)
    rows = [_place_row(found, parts, pole) for parts in _places(boat) for pole in _live_poles(boat, parts[0])]
    return tuple(row for row in rows if any(each.items or each.perhaps for each in (*row.sums, _full(found, row))))


def _places(boat: Boat) -> Iterator[tuple[Part, ...]]:
    yield from banks_of(boat)
    for roles in (SOURCES - {"battery"}, {"bus"}, {"dc_panel", "ac_panel"}):
        yield from ((part,) for part in in_order(boat.with_role(*roles)))


def banks_of(boat: Boat) -> tuple[tuple[Part, ...], ...]:
    """The batteries of each bank: those with the same battery number; one without a number stands alone."""
    found: dict[object, list[Part]] = {}
    for part in in_order(boat.with_role("battery")):
        number = part.values.get("battery_number")
        found.setdefault(part.id if number in (None, "") else (number,), []).append(part)
    return tuple(tuple(parts) for parts in found.values())


def _live_poles(boat: Boat, part: Part) -> tuple[str, ...]:
    """Of a source those it feeds; of a panel those of its feed; of a bus all."""
    if boat.role(part) in SOURCES:
        return tuple(dict.fromkeys(source.live[2] for source in boat.sources if source.part.id == part.id))
    return tuple(dict.fromkeys(pole for port in boat.ports(part) for pole in port.poles if pole in LIVE_POLES))


def _place_row(found: LoadAnalysis, parts: tuple[Part, ...], pole: str) -> PlaceRow:
    sums = tuple(case.out_of(parts, pole) for case in found.each)
    return PlaceRow(parts, pole, sums, worst_of(found.each, sums), rated_of(found.boat, parts[0]))


def rated_of(boat: Boat, part: Part) -> Estimate | None:
    """The rating of a bus, panel or converter; of a shore inlet 80 % of it, as is practice for what is drawn for hours."""
    role = boat.role(part)
    field = {
        "bus": "rating_a",
        "dc_panel": "bus_a",
        "ac_panel": "bus_a",
        "converter": "output_a",
        "transformer": "output_a",
    }
    if role == "ac_source":
        inlet = part.kind.startswith("shore_inlet")
        name = "service_a" if inlet else "rated_a"
        rated = estimated_field(boat, part, name)
        return shore_limit(msgspec.structs.replace(rated, sources=(*rated.sources, SHORE))) if inlet else rated
    return estimated_field(boat, part, field[role]) if role in field else None


def estimated_field(boat: Boat, part: Part, name: str) -> Estimate:
    """A field of a part in A; unknown where it is not stated."""
    return stated(boat, part, name, "A") or estimated(None, "A", f"part:{part.id} {name}")


def _full(found: LoadAnalysis, row: PlaceRow) -> Sum:
    return found.full.out_of(row.parts, row.pole)


def place_name(boat: Boat, row: PlaceRow) -> str:
    """What it is called: one part by its name, a bank by its batteries."""
    if len(row.parts) == 1:
        return boat.name(row.parts[0])
    labels = {part.label for part in row.parts}
    label = labels.pop() if len(labels) == 1 else ""
    return f"{', '.join(part.designation for part in row.parts)} {label}".strip()


def feeder_rows(boat: Boat) -> tuple[FeederRow, ...]:
    """Every live core over which more than one load can be fed, in the order of the wire numbers."""
    found = load_analysis(boat)
    cores = [(run, pole) for run in boat.network.runs for pole in run.poles if pole in LIVE_POLES]
    feeders = [(run, pole) for run, pole in cores if _loads_over(found.full, run, pole) > 1]
    rows = [_feeder(found, run, pole) for run, pole in feeders]
    return tuple(sorted(rows, key=lambda row: (row.pole in AC_LINES, natural_key(row.run.number), row.pole)))


def _loads_over(case: CaseLoads, run: Run, pole: str) -> int:
    over = case.over(run.id, pole)
    return len({item.part.id for item in (*over.items, *over.perhaps)})


def _feeder(found: LoadAnalysis, run: Run, pole: str) -> FeederRow:
    sums = tuple(case.over(run.id, pole) for case in found.each)
    return FeederRow(run, pole, sums, worst_of(found.each, sums), allowed(found.boat, run))


def end_names(boat: Boat, run: Run) -> str:
    """From where to where a run goes: "W3 – A1"."""
    ends = [boat.parts[end.part].designation if end.part in boat.parts else "?" for end in (run.a, run.b)]
    return " – ".join(ends)

"""Add a circuit: name, current, distance -> way, fuse, wire, number, load and its place on the sheet, in one edit.

Each step is an edit that a person could do; the whole is tried on the boat and given only if no check breaks that did
not break before. What nobody has decided (bundle, way of the cable) stays unknown, and the wire holds whatever it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from engine.drawing.beside_board import Spot, spot_for
from engine.electrics.sources import number_text
from engine.graph.boat import Boat
from engine.library.device import DeviceKind, Library
from engine.library.symbol import Symbol
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.fields import set_part_fields, set_position
from engine.model.edits.placing import new_part_id, place_part
from engine.model.edits.records import EditRefused
from engine.model.edits.wiring import connect, new_run_id, shared_poles
from engine.model.network import End, Part
from engine.model.numbering import next_wire_number
from engine.model.quantity import Value
from engine.pipeline import Analysis, analyse
from engine.remedies.choosing import INSULATION_C, Ask, Fit, NoFit, fit, sizes_in_stock
from engine.remedies.growth import Room, rooms, stays_live
from engine.remedies.limit_words import binds_text, lacking
from engine.remedies.stock import Stock, stock_of
from engine.rules.api import Finding
from engine.rules.bounds import rulebook
from engine.rules.runner import books_of
from engine.rules.wording import key_text, sentence

THICKER_TRIED = 6


class Wanted(msgspec.Struct, frozen=True):
    """A circuit that somebody wants. `current_a` or `power_w` is given; `position` is "position:p4/12", "" for any;
    `compartment` the id of the space where the load is. `engine_space`: its cable passes the engine space."""

    label: str
    distance_m: float
    current_a: float | None = None
    power_w: float | None = None
    critical: bool = False
    kind: str = "load_dc"
    position: str = ""
    compartment: str = ""
    engine_space: bool = False


class Plan(msgspec.Struct, frozen=True):
    """The boat with the circuit, what was chosen, and what is still to be found out about it."""

    document: Document
    room: Room
    fit: Fit
    current_a: float
    part_id: str
    run_id: str
    sheet_id: str
    open: tuple[Finding, ...]
    """Findings that cannot tell and were not there before."""


def add_circuit(
    document: Document,
    wanted: Wanted,
    library: Library,
    symbols: Mapping[str, Symbol],
    stock: Stock | None = None,
    analysis: Analysis | None = None,
) -> Document:
    """The document with the circuit. Raises EditRefused("no-addition") with the reason in its values."""
    return planned(document, wanted, library, symbols, stock, analysis).document


def planned(
    document: Document,
    wanted: Wanted,
    library: Library,
    symbols: Mapping[str, Symbol],
    stock: Stock | None = None,
    analysis: Analysis | None = None,
) -> Plan:
    """The circuit on the first way that takes it. Raises EditRefused("no-addition") with the reason in its values.

    `analysis`: what the check says of this document, where it is at hand.
    """
    before = analysis if analysis and analysis.boat.network is document.network else analyse(document.network, library)
    return _Planner(document, before, library, symbols, stock or stock_of(document.network.house)).plan(wanted)


class _Planner:
    """One document, looked at once; each way is tried on it."""

    def __init__(
        self, document: Document, before: Analysis, library: Library, symbols: Mapping[str, Symbol], stock: Stock
    ) -> None:
        self._document, self._library, self._symbols, self._stock = document, library, symbols, stock
        self._before, self._boat = before, before.boat

    def plan(self, wanted: Wanted) -> Plan:
        kind = self._kind(wanted)
        reasons: list[str] = []
        for room in self._rooms(wanted):
            try:
                return self._on(room, wanted, kind)
            except NoFit as refused:
                where = key_text(room.key, self._boat)
                reasons.append(tr("{where}: {why}.").format(where=where, why=refused))
        raise _refused(" ".join(dict.fromkeys(reasons)) or tr("There is no spare way for direct current."))

    def _kind(self, wanted: Wanted) -> DeviceKind:
        kind = self._library.get(wanted.kind)
        if kind is None or not any(port.name == "supply" for port in kind.port):
            raise _refused(tr("{kind} is nothing that a circuit can end in.").format(kind=wanted.kind))
        if not wanted.label.strip():
            raise _refused(tr("Give the circuit a name."))
        if not 0 < wanted.distance_m <= 1000:
            raise _refused(tr("Give the distance along the cable, more than nothing."))
        if not max(wanted.current_a or 0.0, wanted.power_w or 0.0) > 0:
            raise _refused(tr("Give the current or the power, more than nothing."))
        return kind

    def _rooms(self, wanted: Wanted) -> Iterator[Room]:
        """The way that was asked for; else one spare way of each sort in each panel, those behind a switch first."""
        found = [room for room in rooms(self._boat, books_of(self._boat.network.particulars)) if room.is_dc]
        if wanted.position:
            chosen = [room for room in found if room.key == wanted.position]
            if not chosen:
                raise _refused(tr("{where} is no spare way for direct current.").format(
                    where=key_text(wanted.position, self._boat)))  # fmt: skip
            yield from chosen
            return
        yield from self._one_of_each(sorted(found, key=lambda room: stays_live(self._boat, room.part)))

    def _one_of_each(self, found: Sequence[Room]) -> Iterator[Room]:
        """Of the spare ways alike in a panel the first whose load stands level with it on the sheet, else the first."""
        alike: dict[tuple[object, ...], list[Room]] = {}
        for room in found:
            way = room.position
            if way is not None and way.state == "spare" and room.end.part == room.part.id:
                alike.setdefault((room.part.id, way.device, way.holder_largest_a, way.rating_a), []).append(room)
        for several in alike.values():
            yield next((room for room in several if self._stands_level(room)), several[0])

    def _stands_level(self, room: Room) -> bool:
        spot = self._spot(room, self._library["load_dc"], "")
        return spot is not None and spot.level

    def _spot(self, room: Room, kind: DeviceKind, label: str) -> Spot | None:
        stub = Part(id=new_part_id(self._document), kind=kind.id, label=label)
        return spot_for(self._document, stub, kind, room.end, self._library, self._symbols)

    def _on(self, room: Room, wanted: Wanted, kind: DeviceKind) -> Plan:
        """The circuit on one way, its wire thicker step by step until the check has nothing new. Raises NoFit."""
        current_a = _current(room, wanted)
        self._has_room(room, current_a)
        ask = Ask(current_a, wanted.distance_m, wanted.critical, self._is_hot(room, wanted))
        books = tuple(rulebook(book) for book in self._before.report.books)
        chosen = fit(room, ask, books, self._boat.network.particulars, self._stock)
        sizes = [size for size in sizes_in_stock(self._boat.network.particulars, self._stock)
                 if size.area_mm2 >= chosen.size.area_mm2 - 1e-9]  # fmt: skip
        why = ""
        for size in sizes[:THICKER_TRIED]:
            plan = self._made(room, wanted, kind, msgspec.structs.replace(chosen, size=size), current_a)
            after = analyse(plan.document.network, self._library, self._before.report.books)
            new = new_findings(self._before, after)
            broken = [each for each in new if each.outcome.verdict == "breaks"]
            if not broken:
                return msgspec.structs.replace(plan, open=tuple(new))
            why = why or sentence(broken[0], after.boat)
        raise NoFit(tr("it would break a rule: {why}").format(why=why.rstrip(".")))

    def _has_room(self, room: Room, current_a: float) -> None:
        if current_a <= room.amps.least + 1e-9:
            return
        if current_a <= room.amps.most and room.amps.lacks:
            raise NoFit(tr("cannot be told, not known is {fields}").format(fields=lacking(self._boat, room.amps.lacks)))
        raise NoFit(tr("takes {room} A more, {current} A are wanted; {binds}").format(
            room=number_text(round(room.amps.least, 2)), current=number_text(round(current_a, 2)),
            binds=binds_text(self._boat, room.binding)))  # fmt: skip

    def _made(self, room: Room, wanted: Wanted, kind: DeviceKind, chosen: Fit, current_a: float) -> Plan:
        document = self._document
        part_id = new_part_id(document)
        spot = self._spot(room, kind, wanted.label.strip()) or _anywhere(document, room.end)
        if spot is None:
            raise NoFit(tr("the panel is on no sheet"))
        made = place_part(document, kind, spot.sheet_id, spot.x_mm, spot.y_mm, label=wanted.label.strip(),
                          values=_values(kind, wanted, current_a, room))  # fmt: skip
        if wanted.compartment:
            made = set_part_fields(made, part_id, compartment=wanted.compartment)
        made = _way_used(made, room, wanted, chosen)
        number = number_beside(self._boat, room)
        run_id = new_run_id(made)
        supply = next(port.poles for port in kind.port if port.name == "supply")
        made = connect(made, room.end, End(part=part_id, port="supply"), shared_poles(room.poles, supply),
                       size=chosen.size.name, insulation_c=INSULATION_C, stranded=True, tinned=True, cover="sheath",
                       length_m=wanted.distance_m, length_basis="one-way", number=number,
                       route=self._route(room, wanted))  # fmt: skip
        return Plan(made, room, chosen, current_a, part_id, run_id, spot.sheet_id, ())

    def _route(self, room: Room, wanted: Wanted) -> tuple[str, ...]:
        """The spaces known to be passed: the panel's, the load's, and an engine space where it was said."""
        spaces = self._boat.network.compartments
        engine = [space.id for space in spaces if space.kind == "engine"] if wanted.engine_space else []
        ends = (self._boat.parts[room.end.part].compartment, wanted.compartment)
        return tuple(dict.fromkeys(space for space in (ends[0], *engine, ends[1]) if space))

    def _is_hot(self, room: Room, wanted: Wanted) -> bool:
        """Whether the cable passes an engine space, or may: nothing is known of its way, and the boat has one."""
        if self._boat.network.particulars.engine in ("none", "outboard") and not wanted.engine_space:
            return False
        route = self._route(room, wanted)
        kinds = {space.id: space.kind for space in self._boat.network.compartments}
        return wanted.engine_space or not route or any(kinds.get(space) == "engine" for space in route)


def number_beside(boat: Boat, room: Room) -> str:
    """The wire number after the highest of the panel's own circuits; where that is taken, after the highest of all."""
    taken = {run.number for run in boat.network.runs}
    ports = {f"p{position.key}" for position in room.part.positions}
    own = [
        int(run.number)
        for run in boat.network.runs
        for end in (run.a, run.b)
        if end.part == room.part.id and end.port in ports and run.number.isdecimal()
    ]
    wanted = str(max(own) + 1) if own else ""
    return wanted if wanted and wanted not in taken else next_wire_number(boat.network)


def _refused(why: str) -> EditRefused:
    return EditRefused("no-addition", {"why": why})


def _current(room: Room, wanted: Wanted) -> float:
    """The amperes as given, or the watts over the least voltage there. Raises NoFit where that is not known."""
    if wanted.current_a is not None:
        return wanted.current_a
    if room.volts.least <= 0:
        raise NoFit(tr("its voltage is not known; give amperes"))
    return (wanted.power_w or 0.0) / room.volts.least


def _values(kind: DeviceKind, wanted: Wanted, current_a: float, room: Room) -> dict[str, Value]:
    told: dict[str, Value] = {
        "running_a": current_a,
        "nominal_v": room.volts.least,
        "drop_class": "critical" if wanted.critical else "ordinary",
    }
    if wanted.power_w is not None:
        told["power_w"] = wanted.power_w
    names = {value.name for value in kind.value}
    return {name: value for name, value in told.items() if name in names}


def _way_used(document: Document, room: Room, wanted: Wanted, chosen: Fit) -> Document:
    assert room.position is not None
    return set_position(
        document, room.part.id, room.position.key, state="used", rating_a=chosen.fuse_a, label=wanted.label.strip()
    )


def _anywhere(document: Document, end: End) -> Spot | None:
    """On the sheet of the panel, where the sheet is full: beside the panel all the same, to be moved by hand."""
    for sheet in document.sheets:
        for place in sheet.places:
            if place.part == end.part:
                return Spot(sheet.id, place.x_mm, place.y_mm, level=False)
    return None


def new_findings(before: Analysis, after: Analysis) -> list[Finding]:
    """The findings that were not there before: another rule, code, or thing it is about."""
    known = {finding_name(each) for each in before.findings}
    return [each for each in after.findings if finding_name(each) not in known]


def finding_name(finding: Finding) -> tuple[str, ...]:
    """What tells a finding from another."""
    about = finding.outcome.subjects[:1]
    return finding.rule.id, finding.book, finding.outcome.code, finding.outcome.verdict, *about


__all__ = ["Plan", "Wanted", "add_circuit", "finding_name", "new_findings", "planned"]

"""What may be added, in the owner's words: each spare way with what it may still draw and its wire, then panels, studs, banks.

Sets what engine.remedies has found out; knows no rule.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.electrics.sources import Rulebook
from engine.messages import counted, tr
from engine.model.network import Part, Run, UnitSystem
from engine.papers import figures
from engine.papers.circuits import position_family, smallest_wire
from engine.papers.panel_schedule import circuit_name
from engine.papers.panels import Panel, Way, largest_device, panels_of
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, Style, table
from engine.papers.text_flow import Block, gap, heading, paragraph
from engine.remedies.bank_growth import BankRoom, bank_rooms
from engine.remedies.choosing import reach_m
from engine.remedies.growth import Room, free_studs, rooms, stays_live, studs
from engine.remedies.limit_words import amps_text, lacking, thing_text
from engine.remedies.limits import Limit, shown
from engine.rules.bounds import rulebook
from engine.rules.drops import CRITICAL_PERCENT, ORDINARY_PERCENT

TABLE_MM = 2.3
LONGEST_M = 30.0
"""Longer than a circuit on most boats: beyond it a wire is not said to be too long."""


def additions(subject: Subject, width: float) -> list[Block]:
    """The table of spare and prepared ways, and below it what panels, buses and banks have left together."""
    found = {room.key: room for room in rooms(subject.boat, subject.books)}
    panels = panels_of(subject.boat, subject.books)
    rows = [row for panel in panels for row in _rows(panel, found, subject)]
    columns = (
        Column(tr("Way"), 36), Column(tr("Kept for"), 36), Column(tr("May still draw"), 26),
        Column(tr("Largest fuse or breaker"), 28), Column(tr("Wire"), 62),
    )  # fmt: skip
    intro = tr("Have additions made by a qualified electrician, and this drawing brought up to date. “May still draw” holds for "
               "one new circuit, with every circuit of the boat on at once; ways of one panel share it. The wire must stand "
               "the largest fuse that fits the way.")  # fmt: skip
    none = paragraph(tr("The drawing shows no spare and no prepared way."), width)
    return [
        heading(tr("What may be added, and where"), width, anchor="section/additions"),
        paragraph(intro, width, keeps=True),
        *(table(columns, rows, Style(width, TABLE_MM, pad_mm=1.1)) or [none]),
        gap(2.0),
        *(paragraph(text, width) for text in _sentences(subject, panels, found)),
        gap(3.0),
    ]


def _sentences(subject: Subject, panels: Sequence[Panel], found: dict[str, Room]) -> Iterator[str]:
    for panel in panels:
        listed = [found[key] for way in panel.room if (key := _key(panel.part, way)) in found]
        if listed:
            yield _panel_sentence(subject, max(listed, key=lambda room: room.amps.least)) + _live_words(subject, panel)
    yield from _stud_sentences(subject)
    yield from (_bank_sentence(subject, each) for each in bank_rooms(subject.boat))


def _live_words(subject: Subject, panel: Panel) -> str:
    if not stays_live(subject.boat, panel.part):
        return ""
    return tr(" It stays live with every battery switch off: only for what has to.")


def _key(part: Part, way: Way) -> str:
    return f"position:{part.id}/{way.position.key}"


def _rows(panel: Panel, found: dict[str, Room], subject: Subject) -> list[Row]:
    """A row for each spare or prepared way; ways alike stand together in one."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for way in panel.room:
        room = found.get(_key(panel.part, way))
        alike.setdefault(_texts(panel, way, room, subject), []).append(way.position.key)
    return [Row((Cell(_ways_text(panel, keys), "bold"), *texts)) for texts, keys in alike.items()]


def _texts(panel: Panel, way: Way, room: Room | None, subject: Subject) -> tuple[str, ...]:
    device = figures.position_device(way.position).lower()
    takes = f"{device} {figures.amps(largest_device(way.position))} A"
    return (circuit_name(way), draw_text(room), takes, _wire(panel, way, room, subject))


def draw_text(room: Room | None) -> str:
    """ "1.1 A (13 W)"; what is not sure is not promised."""
    if room is None or (room.amps.least <= 0 < room.amps.most):
        return tr("not known")
    if room.amps.most <= 0:
        return tr("nothing")
    least = tr("at least ") if room.amps.lacks else ""
    return tr("{least}{amps} A ({watts} W)").format(
        least=least, amps=figures.tenths(int(room.amps.least * 10 + 1e-6) / 10), watts=int(room.watts.least + 1e-6)
    )


def _ways_text(panel: Panel, keys: Sequence[str]) -> str:
    name = panel.part.designation or panel.part.label
    if len(keys) == 1:
        return tr("{panel} way {key}").format(panel=name, key=keys[0])
    return tr("{panel} ways {keys}").format(panel=name, keys=", ".join(keys))


def _wire(panel: Panel, way: Way, room: Room | None, subject: Subject) -> str:
    if way.runs:
        return _wire_there(way.runs[0], way)
    largest = largest_device(way.position)
    if not isinstance(largest, (int, float)):
        return tr("none yet; which size depends on the fuse or breaker")
    units = subject.particulars.units
    size = smallest_wire(largest, subject.books, position_family(way.position.device), units, panel.is_ac)
    if size is None:
        return tr("none yet; no size can be named")
    text = tr("none yet; {size} or larger (105 °C insulation, in any bundle, not in the engine space)").format(
        size=size.name
    )
    if panel.is_ac or room is None or room.amps.least <= 0 or room.volts.least <= 0:
        return text
    books: tuple[Rulebook, ...] = tuple(rulebook(book) for book in subject.books if book != "any")
    reaches = [reach_m(size, room.amps.least, room.volts.least, percent, books) for percent in (CRITICAL_PERCENT,
               ORDINARY_PERCENT)]  # fmt: skip
    return text + _reach_text(reaches[0], reaches[1], subject)


def _reach_text(critical_m: float, ordinary_m: float, subject: Subject) -> str:
    """How long the smallest wire may be before the voltage it loses asks for a larger one."""
    if critical_m >= LONGEST_M:
        return ""
    near, far = (_far_text(metres, subject.particulars.units) for metres in (critical_m, ordinary_m))
    if ordinary_m >= LONGEST_M:
        return tr("; larger beyond {near} for lights and electronics").format(near=near)
    return tr("; larger beyond {near} for lights and electronics, {far} for the rest").format(near=near, far=far)


def _far_text(distance_m: float, units: UnitSystem) -> str:
    """A distance that is not too long: rounded down."""
    metres = f"{int(distance_m * 10) / 10:g} m"
    return metres if units == "metric" else f"{int(distance_m * figures.FEET)} ft ({metres})"


def _wire_there(run: Run, way: Way) -> str:
    return tr("wire {number} is there, {size}; it allows {amps} A").format(
        number=run.number or figures.UNKNOWN, size=figures.size(run), amps=figures.amps(way.limit.rating_a)
    )


def _panel_sentence(subject: Subject, room: Room) -> str:
    """What its ways have together, and what runs out first."""
    boat, limit = subject.boat, room.binding
    name = boat.name(room.part)
    if room.amps.least <= 0 < room.amps.most:
        fields = lacking(boat, room.amps.lacks)
        return tr("{panel}: what may be added is not known before this is: {fields}.").format(panel=name, fields=fields)
    if limit.sort in ("holder", "no-device"):
        return tr(
            "{panel}: {amps} A on one way; more than that no fuse or breaker there should carry for hours."
        ).format(panel=name, amps=amps_text(room.amps))
    told = {"panel": name, "amps": amps_text(room.amps), "why": _why(subject, limit)}
    if room.amps.most <= 0:
        return tr("{panel}: nothing may be added; with everything on, {why}.").format(**told)
    return tr("{panel}: {amps} A for all its ways together; with everything on, {why}.").format(**told)


def _why(subject: Subject, limit: Limit) -> str:
    """What runs out first, and how far it has."""
    thing, load, most = thing_text(subject.boat, limit), shown(limit.load), shown(limit.limit)
    if limit.sort == "drop":
        return tr("{thing} is {load} % already, and may be {most} %").format(thing=thing, load=load, most=most)
    return tr("{thing} carries {load} A already, and may carry {most} A").format(thing=thing, load=load, most=most)


def _stud_sentences(subject: Subject) -> Iterator[str]:
    """Buses with a free stud; those that are full in one sentence."""
    boat, full = subject.boat, []
    for room in studs(boat, subject.books):
        free = len(free_studs(boat, room.part))
        if not free:
            full.append(boat.name(room.part))
            continue
        draw = draw_text(room)
        yield counted(
            "{bus}: 1 stud is free; a new feed there, with a fuse of its own, may draw: {draw}.",
            "{bus}: {count} studs are free; a new feed there, with a fuse of its own, may draw: {draw}.",
            free,
        ).format(bus=boat.name(room.part), draw=draw)
    if full:
        yield tr("No stud is free on {buses}.").format(buses=figures.joined(full))


def _bank_sentence(subject: Subject, room: BankRoom) -> str:
    boat, day = subject.boat, room.day
    name = day.name or figures.joined(boat.name(part) for part in day.batteries)
    told = {"bank": name, "condition": day.condition}
    if room.kept_for_starting:
        return tr("{bank} starts the engine: nothing is added to it.").format(**told)
    if room.room.lacks or room.room.least <= 0 < room.room.most:
        return tr("{bank} ({condition}): what it may give besides cannot be told.").format(**told)
    if room.room.least <= 0:
        return tr("{bank} ({condition}): nothing more in a day, if it is to last a day between charges.").format(**told)
    return tr("{bank} ({condition}): {ah} Ah more in a day, and it still lasts a day between charges.").format(
        ah=amps_text(room.room), **told
    )

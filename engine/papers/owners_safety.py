"""The sections of the owner's drawing that say what is live, what a switch does, and what to do when things go wrong.

What depends on the boat is computed in isolation.py; the locked wording is in safety_words.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from engine.graph.boat import Boat, quantity
from engine.graph.poles import Edge
from engine.messages import counted, tr
from engine.model.network import Part
from engine.papers import figures, safety_words
from engine.papers.circuits import PANELS
from engine.papers.devices import device_name, rated, short_name
from engine.papers.isolation import (
    TERMINALS,
    Live,
    Setting,
    ac_sources,
    battery_switches,
    first_devices,
    main_breakers,
    settings,
    stays_live,
    unfused,
)
from engine.papers.owners_lists import style
from engine.papers.places import Places
from engine.papers.safety_words import Words, said
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, table
from engine.papers.text_flow import Block, gap, heading, listed, paragraph, subheading, warning

DOT = "•"


def what_stays_live(subject: Subject, places: Places, width: float) -> list[Block]:
    """Everything a battery feeds with all battery switches off."""
    boat = subject.boat
    head = heading(tr("What stays live with the battery switches off"), width, anchor="section/live")
    if not battery_switches(boat):
        return [
            head,
            warning(tr("WARNING"), tr("The drawing shows no battery switch. Everything stays live."), width),
            gap(2),
        ]
    lives = stays_live(boat)
    uses = [live for live in lives if not _is_terminal(live, boat) and not live.panel]
    terminals = [live for live in lives if _is_terminal(live, boat)]
    intro = tr("With every battery switch off these are still fed. Relays and automatic switches are counted as closed. To make "
               "one dead, take out the first fuse, or switch off the first breaker, of each line behind it.")  # fmt: skip
    blocks = [head, paragraph(intro, width, keeps=True), *_live_table(uses, boat, places, width)]
    if not uses:
        blocks.append(paragraph(tr("No load stays on."), width))
    if terminals:
        blocks += [
            gap(2.0),
            subheading(tr("Terminals that stay live too"), width),
            *_live_table(terminals, boat, places, width),
        ]
    return [*blocks, *_unfused_warning(unfused(lives), boat, width), *_ac_remark(boat, width), gap(4.0)]


def _is_terminal(live: Live, boat: Boat) -> bool:
    return boat.role(live.part) in TERMINALS


def _live_table(lives: Sequence[Live], boat: Boat, places: Places, width: float) -> list[Block]:
    columns = (
        Column(tr("What"), 62), Column(tr("Where it is"), 36), Column(tr("From"), 30), Column(tr("Through"), 54),
        Column(tr("Sheet"), 15),
    )  # fmt: skip
    return table(columns, [row for live in lives for row in _live_rows(live, boat, places)], style(width))


def _live_rows(live: Live, boat: Boat, places: Places) -> Iterator[Row]:
    """A line for each way on which it is fed."""
    name = boat.name(live.part)
    if boat.role(live.part) in PANELS:
        circuits = [position.label or position.key for position in live.part.positions if position.state == "used"]
        name = tr("{panel} with all its circuits: {names}").format(panel=name, names=figures.joined(circuits))
    where = places.aboard(live.part) or figures.UNKNOWN
    zone = Cell(places.zone(live.part) or figures.UNKNOWN, link=places.anchor(live.part))
    for number, way in enumerate(live.ways):
        through = " → ".join(f"{short_name(edge, boat)} {rated(edge, boat)}" for edge in way.devices)
        fed = (boat.name(way.battery), through or Cell(tr("no fuse and no breaker"), "bold", "danger"))
        yield Row(("", "", *fed, "") if number else (Cell(name, "bold"), where, *fed, zone), goes_on=number > 0)


def _unfused_warning(lives: Sequence[Live], boat: Boat, width: float) -> list[Block]:
    if not lives:
        return []
    names = figures.joined(boat.name(live.part) for live in lives)
    text = tr("No fuse and no breaker stands between a battery and {names}. Have it looked at.").format(names=names)
    return [gap(2.0), warning(tr("WARNING"), text, width)]


def _ac_remark(boat: Boat, width: float) -> list[Block]:
    sources = ac_sources(boat)
    if not sources:
        return []
    names = figures.joined(boat.name(part) for part in sources)
    text = tr("The battery switches do not cut alternating current: it is there as long as {names} gives it.").format(
        names=names
    )
    return [gap(1.5), paragraph(text, width)]


def switch_positions(subject: Subject, places: Places, width: float) -> list[Block]:
    """What each position of each battery switch feeds."""
    boat = subject.boat
    found = settings(boat)
    columns = (
        Column(tr("Switch"), 50), Column(tr("Position"), 20), Column(tr("Feeds"), 88), Column(tr("Sheet"), 15),
    )  # fmt: skip
    rows = [_setting_row(setting, boat, places) for setting in found]
    intro = tr("Each position by itself, the other battery switches off; what stays live anyway is left out.")
    none = paragraph(tr("The drawing shows no battery switch."), width)
    return [
        heading(tr("Battery switches: what each position feeds"), width, anchor="section/switches"),
        paragraph(intro, width, keeps=True),
        *(table(columns, rows, style(width)) or [none]),
        gap(4.0),
    ]


def _setting_row(setting: Setting, boat: Boat, places: Places) -> Row:
    where = places.aboard(setting.switch)
    name = f"{boat.name(setting.switch)}{f' ({where})' if where else ''}"
    return Row((
        Cell(name, "bold"), setting.state, fed_text(setting, boat),
        Cell(places.zone(setting.switch) or figures.UNKNOWN, link=places.anchor(setting.switch)),
    ))  # fmt: skip


def fed_text(setting: Setting, boat: Boat) -> str:
    """The loads a position feeds; those on a panel are counted with the panel."""
    named = list(_fed_names(setting, boat))
    text = figures.joined(named) if named else tr("nothing more")
    text = text[:1].upper() + text[1:]
    if setting.joins:
        text += tr(". Joins {batteries}").format(batteries=figures.joined(boat.name(part) for part in setting.joins))
    return text


def _fed_names(setting: Setting, boat: Boat) -> Iterator[str]:
    for live in setting.feeds:
        role = boat.role(live.part)
        if role in PANELS:
            count = sum(position.state == "used" for position in live.part.positions)
            yield counted("{panel} with 1 circuit", "{panel} with {count} circuits", count).format(
                panel=boat.name(live.part)
            )
        elif role not in TERMINALS and not live.panel:
            yield boat.name(live.part)


def emergency(subject: Subject, places: Places, width: float) -> list[Block]:
    """How to cut everything off, in the order that makes sense on this boat."""
    boat = subject.boat
    steps = list(_isolation_steps(boat, places))
    return [
        heading(tr("In an emergency: cut everything off"), width, anchor="section/emergency", new_page=True),
        *[listed(f"{number}", text, width) for number, text in enumerate(steps, 1)],
        gap(3.0),
        *_words_section(tr("Fire"), safety_words.FIRE, width),
        *_words_section(tr("Flooding"), safety_words.FLOODING, width),
    ]


def _isolation_steps(boat: Boat, places: Places) -> Iterator[str]:
    switches = [_where(part, boat, places) for part in battery_switches(boat)]
    if switches:
        yield tr("Stop the engine, then turn off: {switches}.").format(switches=figures.joined(switches))
    else:
        yield tr("Stop the engine. The drawing shows no battery switch.")
    sources = ac_sources(boat)
    mains = [_device_where(edge, boat, places) for edge in main_breakers(boat)]
    if mains:
        yield tr("Shore power: switch off {mains}, then disconnect the cable, SHORE end first.").format(
            mains=figures.joined(mains)
        )
    elif any(part.kind.startswith("shore_inlet") for part in sources):
        yield tr("Shore power: disconnect the cable, SHORE end first. The drawing shows no breaker behind the inlet.")
    others = [_where(part, boat, places) for part in sources if not part.kind.startswith("shore_inlet")]
    if others:
        yield tr("Stop {sources}.").format(sources=figures.joined(others))
    lives = stays_live(boat)
    fuses = [f"{short_name(edge, boat)} ({rated(edge, boat)})" for edge in first_devices(lives)]
    if fuses:
        yield tr("What stays live is cut only at the batteries: take out or switch off {fuses}. Do this only when nothing "
                 "sparks, smokes or smells of gas.").format(fuses=figures.joined(fuses))  # fmt: skip
    if bare := unfused(lives):
        yield tr(
            "Nothing of this cuts off {names}: on a way from a battery to there stands no fuse and no breaker."
        ).format(names=figures.joined(boat.name(live.part) for live in bare))


def _device_where(edge: Edge, boat: Boat, places: Places) -> str:
    return f"{device_name(edge, boat)} ({places.aboard(boat.part_of(edge)) or tr('place not known')})"


def _where(part: Part, boat: Boat, places: Places) -> str:
    place = places.aboard(part) or tr("place not known")
    return f"{boat.name(part)} ({place})"


def shore_power(subject: Subject, width: float) -> list[Block]:
    """The order of the shore cord: boat end first when connecting, shore end first when disconnecting."""
    inlets = [part for part in ac_sources(subject.boat) if part.kind.startswith("shore_inlet")]
    if not inlets:
        return []
    return [
        heading(tr("Shore power"), width, anchor="section/shore"),
        *[paragraph(_inlet_text(part, subject.boat), width, keeps=True) for part in inlets],
        *_numbered(tr("Connecting: boat end first"), safety_words.SHORE_CONNECT, width),
        *_numbered(tr("Disconnecting: shore end first"), safety_words.SHORE_DISCONNECT, width),
        *_words_section(tr("With the shore cable, always"), safety_words.SHORE_CARE, width),
    ]


def _inlet_text(part: Part, boat: Boat) -> str:
    volts, hertz, amps = (figures.amps(quantity(part, name)) for name in ("nominal_v", "frequency_hz", "service_a"))
    return f"{boat.name(part)}: {volts} V, {hertz} Hz, {amps} A."


def cautions(width: float) -> list[Block]:
    """What to keep to with any boat."""
    return [
        heading(tr("Cautions"), width, anchor="section/cautions"),
        *[replace(listed(DOT, said(words), width), keeps=True) for words in safety_words.CAUTIONS],
        warning(tr("CAUTION"), said(safety_words.DEFERRAL), width),
    ]


def _numbered(title: str, all_words: Iterable[Words], width: float) -> list[Block]:
    """Steps that must be read together: they are not parted over two pages."""
    steps = [listed(f"{number}", said(words), width) for number, words in enumerate(all_words, 1)]
    return [subheading(title, width), *(replace(step, keeps=True) for step in steps), gap(3.0)]


def _words_section(title: str, all_words: Iterable[Words], width: float) -> list[Block]:
    return [subheading(title, width), *[listed(DOT, said(words), width) for words in all_words], gap(3.0)]

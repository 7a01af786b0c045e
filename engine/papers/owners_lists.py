"""The tables of the owner's drawing: index by load, fuses and breakers, batteries, colours.

Plain words, large letters. Sets what devices.py and panels.py have found out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from engine.drawing.legend import COLOUR_NAMES
from engine.graph.boat import Boat, quantity
from engine.messages import tr
from engine.model.network import Part
from engine.papers import figures
from engine.papers.circuits import Limit, is_consumer
from engine.papers.devices import Device, device_name, devices_of, fed_by, is_fed, rated, short_name
from engine.papers.footnotes import Footnotes
from engine.papers.places import Places
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, Style, table
from engine.papers.text_flow import Block, gap, heading, paragraph

TABLE_MM = 2.3


def style(width: float) -> Style:
    """How tables of the owner's drawing are set."""
    return Style(width, TABLE_MM, pad_mm=1.1)


def index_of_loads(subject: Subject, places: Places, width: float) -> list[Block]:
    """Every consumer by its name: which fuse or breaker, where that is, where both are drawn."""
    boat = subject.boat
    loads = sorted(_indexed(boat), key=lambda part: (load_title(part, boat).casefold(), part.designation))
    rows = [_index_row(part, boat, places) for part in loads]
    columns = (
        Column(tr("What"), 48), Column(tr("Fuse or breaker"), 38), Column(tr("Where it is"), 42),
        Column(tr("Where the load is"), 34), Column(tr("Sheet"), 17),
    )  # fmt: skip
    intro = tr("Find what has failed in the first column. “Sheet” gives the sheet and the zone on it: 1.B4 is sheet 1, "
               "row B, column 4.")  # fmt: skip
    return [
        heading(tr("Index: which fuse or breaker is it?"), width, anchor="section/index"),
        paragraph(intro, width, keeps=True),
        *(table(columns, rows, style(width)) or [paragraph(tr("The drawing shows no loads."), width)]),
        gap(4.0),
    ]


def _indexed(boat: Boat) -> list[Part]:
    return [part for part in boat.network.parts if is_consumer(boat, part) and boat.role(part) != "transformer"]


def load_title(part: Part, boat: Boat) -> str:
    """The load's label, or what it is."""
    kind = boat.kind(part)
    return part.label or (kind.title if kind else part.kind)


def _index_row(part: Part, boat: Boat, places: Places) -> Row:
    title = f"{load_title(part, boat)} ({part.designation})" if part.designation else load_title(part, boat)
    device = fed_by(boat, part)
    zone = Cell(places.zone(part) or tr("not drawn"), link=places.anchor(part))
    anchor = f"index/{part.id}"
    if device is None or device.part is None:
        none = tr("none: starting circuit") if boat.role(part) == "starter" else tr("none on the drawing")
        none = none if is_fed(boat, part) else tr("nothing on the drawing feeds it")
        return Row((Cell(title, "bold"), none, "", places.aboard(part) or figures.UNKNOWN, zone), anchor=anchor)
    name = Cell(f"{short_name(device, boat)}, {rated(device, boat)}", link=_device_anchor(device.key))
    cells = (
        Cell(title, "bold"),
        name,
        place_of(boat.part_of(device), boat, places),
        places.aboard(part) or figures.UNKNOWN,
        zone,
    )
    return Row(cells, anchor=anchor)


def place_of(part: Part, boat: Boat, places: Places) -> str:
    """The label and the compartment; "?" where the drawing has neither."""
    return " · ".join(each for each in (part.label, places.space(part)) if each) or figures.UNKNOWN


def _device_anchor(key: str) -> str:
    return f"device/{key}"


def fuse_table(subject: Subject, places: Places, width: float) -> list[Block]:
    """Every fuse and breaker in use: fit this, never larger than."""
    boat, notes = subject.boat, Footnotes()
    devices = devices_of(boat, subject.books)
    rows = list(_device_rows(devices, boat, places, notes))
    columns = (
        Column(tr("Device"), 40), Column(tr("Where it is"), 46), Column(tr("It protects"), 46),
        Column(tr("Fit this"), 24), Column(tr("Never larger than"), 21), Column(tr("Sheet"), 13),
    )  # fmt: skip
    intro = tr("Replace a fuse with one of the same kind and rating: “Fit this”. “Never larger than” is what its wire can "
               "stand, for a qualified electrician who changes a circuit; the maker of what it feeds may ask for less. If a "
               "new fuse blows or a breaker trips again, find the fault first.")  # fmt: skip
    return [
        heading(tr("Fuses and breakers"), width, anchor="section/fuses"),
        paragraph(intro, width, keeps=True),
        *(table(columns, rows, style(width)) or [paragraph(tr("The drawing shows no fuse and no breaker."), width)]),
        *note_blocks(notes, width),
        gap(4.0),
    ]


def note_blocks(notes: Footnotes, width: float) -> list[Block]:
    """The footnotes of a table."""
    items = notes.items(width)
    return [Block(notes.height_mm, tuple(items))] if items else []


def _device_rows(devices: Iterable[Device], boat: Boat, places: Places, notes: Footnotes) -> Iterator[Row]:
    """A row each; the name of a panel stands once, over its ways."""
    panel = ""
    for device in devices:
        if device.in_panel and device.part.id != panel:
            panel = device.part.id
            yield Row((Cell(boat.name(device.part), "bold"), "", "", "", "", ""))
        yield _device_row(device, boat, places, notes)


def _device_row(device: Device, boat: Boat, places: Places, notes: Footnotes) -> Row:
    fit_this = f"{rated(device.edge, boat)}"
    largest, colour = _never_larger(device, notes)
    cells = (
        Cell(short_name(device.edge, boat) if device.in_panel else device_name(device.edge, boat), "bold"),
        (places.space(device.part) if device.in_panel else places.aboard(device.part)) or figures.UNKNOWN,
        protects(device, boat),
        fit_this,
        Cell(largest, "bold", colour),
        Cell(places.zone(device.part) or figures.UNKNOWN, link=places.anchor(device.part)),
    )
    return Row(cells, anchor=_device_anchor(device.edge.key))


def protects(device: Device, boat: Boat) -> str:
    """The circuit, or what is fed through the device."""
    if device.in_panel and device.position is None:
        return tr("the whole panel")
    if device.position is not None and device.position.label:
        return device.position.label
    reached = [*device.reach.panels, *device.reach.consumers]
    fed = [part for part in reached if part.id in device.reach.direct]
    if fed:
        return figures.joined(boat.name(part) for part in fed[:4]) + (" …" if len(fed) > 4 else "")
    return _wire_protected(device, boat)


def _wire_protected(device: Device, boat: Boat) -> str:
    """The first wire behind the device and where it goes, where no load is reached before another device."""
    if not device.reach.runs:
        return figures.UNKNOWN
    run, _ = device.reach.runs[0]
    ends = [end.part for end in (run.a, run.b) if end.part != device.part.id]
    number = run.number or figures.UNKNOWN
    if ends and ends[0] in boat.parts:
        return tr("wire {number} to {part}").format(number=number, part=boat.name(boat.parts[ends[0]]))
    return tr("wire {number}").format(number=number)


def _never_larger(device: Device, notes: Footnotes) -> tuple[str, str]:
    """The limit with its colour. What cannot be told is said to be not known, never taken at its best."""
    limit: Limit = device.limit
    if device.too_large:
        return notes.marked(_amps(limit), _too_large_note(limit)), "danger"
    if limit.limit_a is None or (limit.lacks and not _covers(device)):
        return notes.marked(tr("not known"), _not_known_note(limit)), "ink"
    return _amps(limit), "ink"


def _too_large_note(limit: Limit) -> str:
    if limit.beside_a > 0:
        return tr("With what else feeds this wire ({amps} A) the one fitted is larger than it allows. Have it looked at by a "
                  "qualified electrician.").format(amps=figures.number(limit.beside_a))  # fmt: skip
    return tr("The one fitted is larger than this wire allows. Have it looked at by a qualified electrician.")


def _not_known_note(limit: Limit) -> str:
    if limit.beside_a > 0:
        return tr("Fit no larger than “Fit this”: this wire is fed from another side too, with no fuse or breaker.")
    return tr("Fit no larger than “Fit this”: the drawing does not say enough of the wire.")


def _amps(limit: Limit) -> str:
    value = limit.rating_a if limit.rating_a is not None else limit.limit_a
    return f"{figures.number(value)} A" if value is not None else figures.UNKNOWN


def _covers(device: Device) -> bool:
    """Whether even at its worst the wire allows the device that is fitted."""
    fitted = device.rating_a
    if fitted is None or device.limit.rating_a is None:
        return False
    return (fitted[1] if isinstance(fitted, tuple) else fitted) <= device.limit.rating_a


def batteries(subject: Subject, places: Places, width: float) -> list[Block]:
    """Each battery with what the drawing says of it."""
    boat = subject.boat
    rows = [_battery_row(part, boat, places) for part in boat.with_role("battery")]
    columns = (
        Column(tr("Battery"), 48), Column(tr("Where it is"), 40), Column(tr("Type"), 22), Column(tr("Voltage"), 18, "end"),
        Column(tr("Capacity at 20 h"), 30, "end"), Column(tr("Cold cranking"), 24, "end"),
    )  # fmt: skip
    body = table(columns, rows, style(width)) or [paragraph(tr("The drawing shows no battery."), width)]
    return [heading(tr("Batteries"), width, anchor="section/batteries"), *body, gap(4.0)]


def _battery_row(part: Part, boat: Boat, places: Places) -> Row:
    chemistry = part.values.get("chemistry")
    return Row((
        Cell(boat.name(part), "bold"),
        places.aboard(part) or figures.UNKNOWN,
        str(chemistry) if chemistry else figures.UNKNOWN,
        f"{figures.amps(quantity(part, 'nominal_v'))} V",
        f"{figures.amps(quantity(part, 'capacity_ah'))} Ah",
        f"{figures.amps(quantity(part, 'cca_a'))} A",
    ))  # fmt: skip


def colours_used(subject: Subject, width: float) -> list[Block]:
    """Which insulation colours this boat uses for which conductor."""
    uses: dict[str, dict[str, None]] = {}
    for run in subject.document.network.runs:
        for pole, code in zip(run.poles, figures.colour_codes(run), strict=True):
            if code != figures.UNKNOWN:
                uses.setdefault(pole, {}).setdefault(code)
    rows = [_colour_row(pole, list(uses[pole])) for pole in POLE_WORDS if pole in uses]
    columns = (Column(tr("Conductor"), 60), Column(tr("Colour on this boat"), 117))
    return [heading(tr("Wire colours"), width, anchor="section/colours"), *table(columns, rows, style(width)), gap(4.0)]


POLE_WORDS = {
    "+": "DC positive", "-": "DC negative", "L": "AC line (live)", "L1": "AC line 1 (live)", "L2": "AC line 2 (live)",
    "N": "AC neutral", "PE": "Protective earth", "BOND": "Bonding",
}  # fmt: skip


def _colour_row(pole: str, codes: Sequence[str]) -> Row:
    words = ", ".join(f"{_colour_words(code)} ({code})" for code in codes)
    return Row((Cell(tr(POLE_WORDS[pole]), "bold"), Cell(words, swatches=tuple(codes[:6]))))


def _colour_words(code: str) -> str:
    parts: Iterable[str] = code.split("/")
    return tr(" with ").join(tr(COLOUR_NAMES.get(part, part)) for part in parts)

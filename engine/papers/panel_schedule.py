"""The panel schedule: for each panel a page (or more) to frame beside it: feed, ways in order, sums, footnotes.

Sets what panels.py has found out; computes nothing electrical itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from msgspec.structs import replace

from engine.drawing.display import Item, Page, Path, Pen, Text
from engine.drawing.metrics import LINE_PITCH, fit, wrap
from engine.drawing.outline import line, rectangle
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import Part, Run, UnitSystem
from engine.model.quantity import as_quantity
from engine.papers import figures
from engine.papers.circuits import Draw
from engine.papers.footnotes import Footnotes
from engine.papers.page import Layout, Numbering, head_of, is_large, page_count, set_pages, table_layout
from engine.papers.panels import Panel, Way, largest_device, panels_of
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, Style, height_of, table
from engine.papers.text_flow import BODY_MM, Block, flow, paragraph

TITLE_MM = 5.0
LABEL_MM = 1.8
SUMS_SHARE = 0.42
ROOMY_MM = 8.0
FIELD_SHARES = (0.44, 0.32, 0.24)
SUM_ROW_MM = 4.3
ALL_AT_ONCE = (
    "“?”: not known; an empty field: nothing there. Every load at its full current at once; nothing is taken off for loads "
    "that do not run together."
)


def panel_schedule(subject: Subject) -> tuple[Page, ...]:
    """The pages of every panel. A boat without panels gets one page that says so."""
    layout = table_layout(subject.paper)
    head = head_of(subject.particulars, tr("Panel schedule"))
    panels = panels_of(subject.boat, subject.books)
    if not panels:
        columns = flow([paragraph(tr("This drawing has no panel."), layout.column_mm)], layout.body_mm)
        return set_pages(columns, layout, head)
    sets = [flow(_blocks(panel, subject, layout), layout.body_mm) for panel in panels]
    count = sum(page_count(columns, layout) for columns in sets)
    pages: list[Page] = []
    for columns in sets:
        pages += set_pages(columns, layout, head, Numbering(len(pages), count))
    return tuple(pages)


def _blocks(panel: Panel, subject: Subject, layout: Layout) -> list[Block]:
    """Heading with the feed, the ways (as roomy as the page allows), sums and notes, the deferral."""
    width = layout.column_mm
    notes = Footnotes()
    top = _top(panel, subject, width)
    rows = [_row(panel, way, subject.boat, subject.particulars.units, notes) for way in panel.ways]
    foot = [_foot(panel, notes, width)]
    columns = _columns(panel)
    room_mm = layout.body_mm - sum(block.height_mm for block in (top, *foot))
    return [top, *_fitted(columns, rows, width, room_mm, subject.paper), *foot]


def _fitted(columns: Sequence[Column], rows: Sequence[Row], width: float, room_mm: float, paper: str) -> list[Block]:
    """The table at the first style that fits the room, its rows then as roomy as they can be; else it goes on overleaf."""
    large = Style(width, BODY_MM, pad_mm=1.2, rules=True)
    styles = [large] if is_large(paper) else []
    styles += [Style(width, 2.1, pad_mm=1.2, rules=True), Style(width, 1.9, pad_mm=0.75, rules=True)]
    for style in styles:
        blocks = table(columns, rows, style)
        left_mm = room_mm - height_of(blocks)
        if left_mm >= 0:
            lowest = min(block.height_mm for block in blocks)
            return table(columns, rows, replace(style, row_mm=min(ROOMY_MM, lowest + left_mm / len(rows))))
    return table(columns, rows, styles[-2])


def _columns(panel: Panel) -> tuple[Column, ...]:
    leg = (Column(tr("Leg"), 16, "middle"),) if len(panel.poles) > 1 else ()
    holder = (Column(tr("Largest its holder takes, A"), 22, "end"),) if _has_fuses(panel) else ()
    cores = max((len(run.poles) for way in panel.ways for run in way.runs), default=2)
    return (
        Column(tr("No."), 10, "middle"),
        Column(tr("Circuit"), 49),
        Column(tr("Device"), 23),
        Column(tr("Rating A"), 13, "end"),
        Column(tr("Poles"), 11, "middle"),
        *holder,
        Column(tr("Largest its wire allows, A"), 22, "end"),
        Column(tr("Loads"), 38),
        Column(tr("Load A"), 13, "end"),
        *leg,
        Column(tr("Wire"), 14),
        Column(tr("Size"), 18),
        Column(tr("Colour"), colours_share(cores)),
        Column(tr("Length one way"), 31, "end"),
    )


def colours_share(cores: int) -> float:
    """The share of a column of colours: a sample and a code for each core."""
    return 11.0 + 7.5 * max(2, cores)


def _has_fuses(panel: Panel) -> bool:
    return any(way.position.device == "fuse" for way in panel.ways)


def _row(panel: Panel, way: Way, boat: Boat, units: UnitSystem, notes: Footnotes) -> Row:
    position = way.position
    if position.state == "blank":
        blanks = len(_columns(panel)) - 2
        return Row((position.key, tr("Blank"), *("",) * blanks), "faint")
    kind = "plain" if way.in_use else "faint"
    leg = (_leg(panel, way),) if len(panel.poles) > 1 else ()
    takes = figures.amps(largest_device(position)) if position.device == "fuse" else ""
    holder = (takes,) if _has_fuses(panel) else ()
    cells = (
        Cell(position.key, "bold"),
        Cell(circuit_name(way), "bold" if way.in_use else "regular"),
        figures.position_device(position),
        figures.amps(position.rating_a) if position.device != "none" else "",
        str(position.poles),
        *holder,
        _limit_text(way, boat, notes),
        loads_text(way, boat),
        figures.drawn(way.draw()) if way.in_use else "",
        *leg,
        *_wire_cells(way, units),
    )
    return Row(cells, kind, f"way/{panel.part.id}/{position.key}")


def circuit_name(way: Way) -> str:
    """The name of the circuit, or what the position is kept for."""
    position = way.position
    states = {"spare": tr("Spare"), "prepared": tr("Prepared")}
    if position.state == "used":
        stays = tr(" (may stay on)") if position.may_stay_on else ""
        return (position.label or tr("Not labelled")) + stays
    word = states.get(position.state, "")
    return f"{word}: {position.label}" if position.label and position.label != word else word


def loads_text(way: Way, boat: Boat) -> str:
    """Designations of what is behind the way, with their labels where these say more than the circuit's name."""
    listed = [*way.reach.panels, *way.reach.consumers, *way.reach.batteries]
    if not listed:
        return figures.UNKNOWN if way.in_use else ""
    return ", ".join(_load_name(part, way, boat) for part in listed)


def _load_name(part: Part, way: Way, boat: Boat) -> str:
    """Its label, or what it is where the label is the circuit's own name."""
    kind = boat.kind(part)
    label = figures.mid_sentence(kind.title) if part.label in ("", way.position.label) and kind else part.label
    return f"{part.designation} {label}".strip()


def _limit_text(way: Way, boat: Boat, notes: Footnotes) -> str:
    """The largest device the wire allows; a footnote where something was taken at its worst or cannot be told."""
    if not way.runs:
        return figures.UNKNOWN if way.in_use else ""
    if way.limit.rating_a is None:
        if way.limit.limit_a is not None:
            return notes.marked(f"< {figures.number(way.limit.limit_a)}", tr("Less than the smallest device made."))
        return figures.UNKNOWN
    text = figures.number(way.limit.rating_a)
    return notes.marked(text, notes.worst_case(way.limit)) if way.limit.worst else text


def _leg(panel: Panel, way: Way) -> str:
    poles = [pole for run in way.runs for pole in run.poles if pole in panel.poles]
    return "+".join(dict.fromkeys(poles)) or ("" if not way.in_use else figures.UNKNOWN)


def _wire_cells(way: Way, units: UnitSystem) -> tuple[Cell | str, ...]:
    """Wire, size, colour, length: of the first run on the way; further runs are named with their numbers."""
    if not way.runs:
        unknown = figures.UNKNOWN if way.in_use else ""
        return (unknown, unknown, unknown, unknown)
    first = way.runs[0]
    numbers = ", ".join(run.number or figures.UNKNOWN for run in way.runs)
    codes = figures.colour_codes(first)
    return (
        numbers,
        figures.size(first),
        Cell("/".join(codes), swatches=codes),
        figures.length(first, units),
    )


def _top(panel: Panel, subject: Subject, width: float) -> Block:
    """The panel's name, and its feed in three columns of small fields."""
    boat = subject.boat
    fields = list(_fields(panel, subject))
    items: list[Item] = [
        Text(0, TITLE_MM + 0.5, fit(figures.name(panel.part), width * 0.6, TITLE_MM, "bold"), TITLE_MM, weight="bold")
    ]
    place = _place(panel, boat)
    items.append(Text(width, TITLE_MM + 0.5, place, BODY_MM, "end", colour="faint"))
    deepest = top = TITLE_MM + 4.0
    edges = [0.0]
    for column, share in enumerate(FIELD_SHARES):
        made, foot_mm = _field_column(fields[column::3], edges[-1] + 2.0, top, share * width - 4.0)
        items += made
        deepest = max(deepest, foot_mm)
        edges.append(edges[-1] + share * width)
    box = Path(rectangle(0, top - 1.2, width, deepest - top + 1.6, 0.8), Pen("panel.edge", 0.25), "panel.fill")
    uprights = [Path(line(x_mm, top - 1.2, x_mm, deepest + 0.4), Pen("rule", 0.13)) for x_mm in edges[1:-1]]
    system = tr("AC") if panel.is_ac else tr("DC")
    return Block(deepest + 2.0, (box, *uprights, *items), section=f"{figures.name(panel.part)} ({system})")


def _field_column(
    fields: Sequence[tuple[str, str]], x_mm: float, top_mm: float, room_mm: float
) -> tuple[list[Item], float]:
    """Small captions with their texts under them, and the y of their foot."""
    items: list[Item] = []
    y_mm = top_mm
    for caption, text in fields:
        items.append(Text(x_mm, y_mm + 2.4, caption, LABEL_MM, colour="faint"))
        for number, string in enumerate(wrap(text, room_mm, 2.2)):
            y_mm += 2.2 * LINE_PITCH if number else 0.0
            items.append(Text(x_mm, y_mm + 5.8, string, 2.2))
        y_mm += 7.4
    return items, y_mm


def _place(panel: Panel, boat: Boat) -> str:
    space = boat.compartments.get(panel.part.compartment)
    box = boat.enclosures.get(panel.part.enclosure)
    return " · ".join(each.name for each in (space, box) if each is not None)


def _fields(panel: Panel, subject: Subject) -> Iterator[tuple[str, str]]:
    boat, units = subject.boat, subject.particulars.units
    supply = panel.supply
    chain = [figures.name(boat.parts[part]) for part in supply.parts if part in boat.parts]
    yield tr("Fed from"), " → ".join(chain) or tr("not known: nothing on the drawing feeds it")
    yield tr("Device of the feed"), feed_device(panel, boat)
    yield tr("Bus rating"), figures.amps_unit(panel.bus_a)
    run = supply.conductor
    yield tr("Conductor of the feed"), run_text(run, units) if run else figures.UNKNOWN
    yield tr("Main device of the panel"), main_device(panel)
    yield tr("Voltage"), system_text(panel)


def feed_device(panel: Panel, boat: Boat) -> str:
    """The device that protects the feed."""
    edge = panel.supply.device
    if edge is None or edge.part is None:
        return tr("none on the drawing") if panel.supply.source else figures.UNKNOWN
    kind = boat.kind(edge.part)
    rating = figures.amps_unit(boat.rating_of(edge))
    return ", ".join(
        each
        for each in (figures.name(boat.part_of(edge)), figures.mid_sentence(kind.title) if kind else "", rating)
        if each
    )


def run_text(run: Run, units: UnitSystem) -> str:
    """Wire number, size, colour, length."""
    number = tr("wire {number}").format(number=run.number or figures.UNKNOWN)
    return " · ".join((number, figures.size(run), figures.colours(run), figures.length(run, units)))


def main_device(panel: Panel) -> str:
    """Kind, rating, poles and residual trip current of the panel's own main device."""
    values = panel.part.values
    kind = values.get("main_device")
    if kind in (None, "none"):
        return tr("none in the panel") if kind == "none" else figures.UNKNOWN
    words = {"breaker": tr("breaker"), "fuse": tr("fuse"), "switch": tr("switch")}
    text = f"{words.get(str(kind), str(kind))} {figures.amps_unit(as_quantity(values.get('main_rating_a')))}"
    poles, residual = values.get("main_poles"), as_quantity(values.get("main_residual_ma"))
    text += f", {figures.amps(as_quantity(poles))} {tr('poles')}" if poles is not None else ""
    return text + (f", {figures.amps(residual)} mA" if residual is not None else "")


def system_text(panel: Panel) -> str:
    """ "12 V DC", "120 V AC 60 Hz"."""
    volts = figures.amps(panel.volts)
    if not panel.is_ac:
        return f"{volts} V DC"
    frequency = f" {figures.amps(panel.frequency_hz)} Hz" if panel.frequency_hz is not None else ""
    return f"{volts} V AC{frequency}, {' '.join(panel.poles)} N PE"


def _foot(panel: Panel, notes: Footnotes, width: float) -> Block:
    """Notes at the left, sums at the right."""
    sums_mm = width * SUMS_SHARE
    notes_mm = width - sums_mm - 6.0
    left = notes.items(notes_mm, [tr(ALL_AT_ONCE), said(DEFERRAL)])
    right, right_mm = _sums(panel, width - sums_mm, sums_mm)
    return Block(max(notes.height_mm, right_mm) + 0.5, (*left, *right))


def _sums(panel: Panel, x_mm: float, width: float) -> tuple[list[Item], float]:
    items: list[Item] = []
    y_mm = 2.0
    for label, value, bold in sum_lines(panel):
        weight = "bold" if bold else "regular"
        base = y_mm + 3.0
        items.append(Text(x_mm + 1.2, base, label, 2.2, weight=weight))  # type: ignore[arg-type]
        items.append(Text(x_mm + width - 1.2, base, value, 2.2, "end", weight))  # type: ignore[arg-type]
        items.append(Path(line(x_mm, y_mm + SUM_ROW_MM, x_mm + width, y_mm + SUM_ROW_MM), Pen("rule", 0.13)))
        y_mm += SUM_ROW_MM
    return [Path(line(x_mm, 2.0, x_mm + width, 2.0), Pen("ink", 0.35)), *items], y_mm


def sum_lines(panel: Panel) -> Iterator[tuple[str, str, bool]]:
    """(label, value, in bold) of each total; per leg where the panel has two."""
    yield tr("Circuits in use"), _per_leg(panel, Panel.used), True
    if panel.room:
        yield (
            tr("With spare and prepared ways ({count}) at 80 % of their largest device").format(count=len(panel.room)),
            _per_leg(panel, Panel.with_spares),
            False,
        )
    yield tr("Bus rating"), figures.amps_unit(panel.bus_a), False
    yield left_label(panel), left_text(panel), True


def left_label(panel: Panel) -> str:
    """What the room that is left is measured against."""
    against = {"bus": tr("the bus"), "main": tr("the main device"), "feed": tr("the feed's device")}
    which = against[panel.ceiling_a[1]] if panel.ceiling_a else tr("the bus")
    return tr("Left for additions under {limit}").format(limit=which)


def left_text(panel: Panel) -> str:
    """The amperes left; "none" where the sum is above the limit already."""
    left = panel.left_a
    if left is None:
        return tr("not known")
    return f"{figures.number(left)} A" if left > 0 else tr("none")


def _per_leg(panel: Panel, total: Callable[[Panel, str], Draw]) -> str:
    if len(panel.poles) == 1:
        return _sum_text(total(panel, panel.poles[0]))
    return "   ".join(f"{pole} {_sum_text(total(panel, pole))}" for pole in panel.poles)


def _sum_text(total: Draw) -> str:
    """ "82.9 A", "80–85 A", "≥ 60 A" where some circuits are not known."""
    text = figures.drawn(total)
    return text if text == figures.UNKNOWN else f"{text} A"

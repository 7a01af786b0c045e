"""The load list on paper: every load by panel, what sources, buses, panels and feeders carry in each condition, the method.

Sets what engine.studies has found out; computes nothing electrical itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.drawing.display import Page
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import Part
from engine.model.quantity import as_quantity
from engine.papers import figures
from engine.papers.load_tables import NONE, amps, by_panel, condition_names, worst_name
from engine.papers.page import head_of, is_large, set_pages, table_layout
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, Style, table
from engine.papers.text_flow import SMALL_MM, Block, flow, gap, heading, listed, paragraph, warning
from engine.studies.estimate import Estimate, estimated
from engine.studies.load_list import (
    FeederRow,
    LoadRow,
    PlaceRow,
    end_names,
    feeder_rows,
    load_rows,
    place_name,
    place_rows,
)
from engine.studies.load_method import Method, feed_poles, methods_of
from engine.studies.load_sums import Drawn, Sum
from engine.studies.loads import CaseLoads, load_analysis

MUCH = 1.0
"""A share of the allowed current above which it is shown as too much."""
HOW = (
    "Amperes in a condition are diversified: the load's full current times its duty, the share of its full use over the time "
    "that the condition lasts, which stands behind it in per cent where it is less than 100. “s”: stands by. “–”: draws "
    "nothing. “?”: not known; “≥”: at least, since something is not known. “not fed”: it should work, and no source reaches it."
)
SUMS = (
    "Diversified amperes. In the worst condition: “all at once”, everything that works then at its full current; “largest "
    "starts”, the diversified sum while the motor that adds most by starting does so. Batteries carry the loads on their "
    "wiring; what charges them is not taken off, and a combining relay counts as open. Two figures where another way or "
    "source may carry the rest. “May carry”: of a wire by the strictest rulebook, of a bus, panel, converter or generator its "
    "rating, of a shore inlet 80 % of it (published practice for what is drawn for hours); “used”: the worst sum of it."
)
METHOD = (
    "The method of the rulebook, which does not ask for conditions. DC: column A in full; of column B the larger of 10 % of "
    "its sum and its largest load. AC, each line: outlets as stated, a galley circuit with 1500 W at least; motors with 25 % "
    "of the largest added; of four or more fixed appliances 60 %. UNCONFIRMED: the method and its lists are from memory "
    "(ABYC E-11). What they do not name counts in full. Spare ways: each at 80 % of the largest device it takes (assumed, "
    "no source)."
)
CASE_SHARE = 22.0
USED = (Column(tr("May carry A"), 16, "end"), Column(tr("Used %"), 13, "end"))


def load_list(subject: Subject) -> tuple[Page, ...]:
    """All pages of the list, lying on their side."""
    layout = table_layout(subject.paper)
    width, boat = layout.column_mm, subject.boat
    style = Style(width, 2.2 if is_large(subject.paper) else 1.9, pad_mm=0.8, rules=True)
    blocks = [
        *_loads(boat, style), *_places(boat, style), *_feeders(boat, style), *_methods(boat, style),
        gap(3.0), warning(tr("CAUTION"), said(DEFERRAL), width),
    ]  # fmt: skip
    return set_pages(flow(blocks, layout.body_mm), layout, head_of(subject.particulars, tr("Load list")))


def _loads(boat: Boat, style: Style) -> Iterator[Block]:
    yield heading(tr("Loads"), style.width_mm, anchor="section/loads")
    yield paragraph(tr(HOW), style.width_mm, SMALL_MM, colour="faint", keeps=True)
    names = condition_names(boat)
    columns = (
        Column(tr("Circuit"), 14), Column(tr("Load"), 44), Column(tr("Place"), 26), Column(tr("V"), 11, "end"),
        Column(tr("W"), 15, "end"), Column(tr("Running A"), 15, "end"), Column(tr("Starting A"), 15, "end"),
        Column(tr("Stand-by A"), 16.5, "end"), *(Column(name, CASE_SHARE, "end") for name in names),
    )  # fmt: skip
    rows = [row for panel, loads in by_panel(boat) for row in _group(boat, panel, loads)]
    if rows:
        yield from table(columns, rows, style)
    else:
        yield paragraph(tr("This drawing has no loads."), style.width_mm)


def _group(boat: Boat, panel: Part | None, loads: Sequence[LoadRow]) -> Iterator[Row]:
    yield from (_load(row) for row in loads)
    if panel is not None:
        for pole in feed_poles(boat, panel):
            yield _panel_sum(boat, panel, pole)


def _load(row: LoadRow) -> Row:
    load = row.load
    start = NONE if load.starting_a is None else amps(load.starting_a)
    used = any(each.amount.most > 0 for each in row.drawn)
    cells: tuple[Cell | str, ...] = (
        Cell(row.circuit or NONE, "bold"), figures.name(load.part), row.place or figures.UNKNOWN, amps(load.volts_v),
        amps(load.watts_w), amps(load.running_a), start, amps(load.standby_a), *(_drawn(each) for each in row.drawn),
    )  # fmt: skip
    return Row(cells, "plain" if used else "faint", f"load/{load.part.id}")


def _drawn(drawn: Drawn) -> Cell:
    """The amperes, and behind them the duty where it is not 100 %."""
    if drawn.state == "not fed" and drawn.duty > 0:
        return Cell(tr("not fed"), colour="danger")
    text = amps(drawn.amount)
    if drawn.state == "stands by":
        return Cell(f"{text} s")
    return Cell(f"{text} ({figures.number(100 * drawn.duty)} %)" if 0 < drawn.duty < 1 else text)


def _panel_sum(boat: Boat, panel: Part, pole: str) -> Row:
    """What goes through the panel, its sub-panels included."""
    found = load_analysis(boat)
    sums = [case.through(panel, pole) for case in found.each]
    standby = max((each.standby for each in sums), key=lambda value: value.most)
    full = found.full.through(panel, pole)
    name = _sum_name(boat, panel, (*sums, full)) + ("" if pole in "+L" else f", {pole}")
    return Row(
        ("", name, "", "", "", amps(full.running), "", amps(standby), *(amps(each.estimate) for each in sums)), "sum"
    )


def _sum_name(boat: Boat, panel: Part, sums: Sequence[Sum]) -> str:
    """ "A8 in all, with A9 and A10"."""
    on_panel = {row.load.part.id: row.circuit.partition(".")[0] for row in load_rows(boat)}
    names = dict.fromkeys(on_panel.get(item.part.id, "") for each in sums for item in (*each.items, *each.perhaps))
    others = [name for name in names if name and name != panel.designation]
    text = tr("{panel} in all").format(panel=panel.designation)
    return tr("{sum}, with {others}").format(sum=text, others=figures.joined(others)) if others else text


def _places(boat: Boat, style: Style) -> Iterator[Block]:
    rows = [_place(boat, row) for row in place_rows(boat)]
    if rows:
        columns = (
            Column(tr("Bank, source, bus, panel"), 47),
            Column(tr("Pole"), 10, "middle"),
            *_sum_columns(boat),
            *USED,
        )
        yield gap(3.0)
        yield heading(tr("Banks, sources, buses and panels"), style.width_mm, anchor="section/places")
        yield paragraph(tr(SUMS), style.width_mm, SMALL_MM, colour="faint", keeps=True)
        yield from table(columns, rows, style)


def _sum_columns(boat: Boat) -> tuple[Column, ...]:
    return (
        *(Column(name, CASE_SHARE - 3, "end") for name in condition_names(boat)), Column(tr("Worst condition"), 30),
        Column(tr("Then all at once A"), 19, "end"), Column(tr("Then largest starts A"), 19, "end"),
    )  # fmt: skip


def _sum_cells(row: PlaceRow | FeederRow) -> tuple[Cell | str, ...]:
    worst = row.worst.sum
    return (
        *(amps(each.estimate) for each in row.sums), Cell(worst_name(row), "bold"), amps(worst.running), amps(worst.starting)
    )  # fmt: skip


def _place(boat: Boat, row: PlaceRow) -> Row:
    anchor = f"place/{row.parts[0].id}/{row.pole}"
    limit = _limit_cells(row.rated, row) if row.rated is not None else (NONE, NONE)
    return Row((Cell(place_name(boat, row), "bold"), row.pole, *_sum_cells(row), *limit), anchor=anchor)


def _feeders(boat: Boat, style: Style) -> Iterator[Block]:
    rows = [_feeder(boat, row) for row in feeder_rows(boat)]
    if rows:
        columns = (
            Column(tr("Feeder"), 13), Column(tr("From – to"), 25), Column(tr("Pole"), 10, "middle"), Column(tr("Size"), 18),
            *_sum_columns(boat), *USED,
        )  # fmt: skip
        yield gap(3.0)
        yield heading(tr("Feeders: the wires that carry more than one load"), style.width_mm, anchor="section/feeders")
        yield from table(columns, rows, style)


def _feeder(boat: Boat, row: FeederRow) -> Row:
    may = row.allowed.allowed_a
    limit = estimated(may, "A", "")
    cells = (
        Cell(row.run.number or figures.UNKNOWN, "bold"), end_names(boat, row.run), row.pole, figures.size(row.run),
        *_sum_cells(row), *_limit_cells(limit, row),
    )  # fmt: skip
    return Row(cells, anchor=f"feeder/{row.run.id}/{row.pole}")


def _limit_cells(limit: Estimate, row: PlaceRow | FeederRow) -> tuple[str, Cell]:
    """What may be carried, and how much of it the worst sum is: at least, where one of the two is not known."""
    worst = row.worst.sum.estimate
    if limit.least <= 0:
        return amps(limit) if limit.most else figures.UNKNOWN, Cell(figures.UNKNOWN)
    is_open = worst.most == float("inf")
    share = worst.least / limit.least if is_open else worst.most / limit.least
    text = f"{100 * share:.0f}"
    if is_open:
        text = f"≥ {text}" if worst.least > 0 else figures.UNKNOWN
    return amps(limit), Cell(text, "bold", "danger") if share > MUCH else Cell(text)


def _methods(boat: Boat, style: Style) -> Iterator[Block]:
    found = methods_of(boat)
    if not found:
        return
    columns = (
        Column(tr("Panel"), 42), Column(tr("Pole"), 10, "middle"), Column(tr("Counted"), 70),
        Column(tr("Feeder A"), 20, "end"), Column(tr("Spare ways"), 14, "end"), Column(tr("With these A"), 20, "end"),
        Column(tr("Bus A"), 15, "end"), Column(tr("Worst condition A"), 22, "end"),
    )  # fmt: skip
    yield gap(3.0)
    yield heading(tr("Panel feeders by the rulebook's method"), style.width_mm, anchor="section/method")
    yield paragraph(tr(METHOD), style.width_mm, SMALL_MM, colour="faint", keeps=True)
    yield from table(columns, [_method(boat, each) for each in found], style)
    unnamed = dict.fromkeys(
        line.part.designation for each in found for line in each.lines if "not in the list" in line.why
    )
    if unnamed:
        text = tr("Not in the lists as recalled, so counted in full: {names}.").format(names=", ".join(unnamed))
        yield gap(1.0)
        yield listed("–", text, style.width_mm, SMALL_MM)


def _method(boat: Boat, each: Method) -> Row:
    def taken(case: CaseLoads) -> float:
        return case.through(each.part, each.pole).estimate.most

    worst = max(load_analysis(boat).each, key=taken).through(each.part, each.pole).estimate
    counted = " + ".join(f"{_group_name(name)} {amps(value)}" for name, value in each.groups if value.most > 0)
    spare = str(each.spare_ways) if each.spare_ways else NONE
    cells = (
        Cell(figures.name(each.part), "bold"), each.pole, counted or NONE, Cell(amps(each.total), "bold"), spare,
        amps(each.with_spares) if each.spare_ways else NONE, figures.amps(as_quantity(each.part.values.get("bus_a"))),
        amps(worst),
    )  # fmt: skip
    return Row(cells)


def _group_name(name: str) -> str:
    words = {"outlet": tr("outlets"), "motor": tr("motors"), "fixed": tr("fixed appliances")}
    return words.get(name, name)

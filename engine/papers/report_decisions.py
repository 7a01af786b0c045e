"""What people have decided, on paper: the yard's house rules with their reasons, and every deviation with reason, name, date."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.house import Deviation, House
from engine.papers.table import Column, Row, Style, table
from engine.papers.text_flow import Block, gap, heading, paragraph
from engine.rules.runner import Report
from engine.rules.wording import key_text

SMALL_MM = 2.0


def decisions(report: Report, boat: Boat, width: float) -> list[Block]:
    """Both sections; nothing where nothing was decided."""
    return [*_house(boat.network.house, width), *_deviations(report, boat, width)]


def _house(house: House, width: float) -> list[Block]:
    rows = [Row(cells) for cells in _house_lines(house)]
    if not rows:
        return []
    columns = (Column(tr("House rule"), 80), Column(tr("Is"), 47), Column(tr("Reason"), 50))
    named = tr("House rules of {yard}").format(yard=house.name) if house.name else tr("House rules")
    note = tr(
        "Asked besides the rulebooks; none of them makes a rulebook\u2019s clause milder than it is, and a danger stays a danger."
    )
    return [
        heading(named, width, anchor="section/house"),
        paragraph(note, width, SMALL_MM, keeps=True),
        *table(columns, rows, Style(width, 2.0, pad_mm=0.9)),
        gap(3.0),
    ]


def _house_lines(house: House) -> Iterator[tuple[str, str, str]]:
    words = {
        "critical-drop-percent": tr("Voltage drop of critical circuits, at most"),
        "ordinary-drop-percent": tr("Voltage drop of ordinary circuits, at most"),
        "battery-drop-percent": tr("Voltage drop counted from the battery, at most"),
        "allowed-current-share": tr("Share of the allowed current in service, at most"),
        "spare-ways-share": tr("Share of free ways in a panel, at least"),
    }
    for limit in house.limits:
        unit = " %" if limit.limit.endswith("percent") else ""
        yield words[limit.limit], f"{limit.value:g}{unit}", limit.reason
    for grade in house.severities:
        yield f"{grade.rule}: {grade.code}", tr(grade.severity), grade.reason
    for colour in house.colours:
        yield tr("Colour of {pole} conductors").format(pole=colour.pole), colour.colour, colour.reason
    if house.sizes:
        yield tr("Sizes in stock"), ", ".join(house.sizes), house.sizes_reason
    if house.wire_number:
        yield tr("Form of wire numbers"), house.wire_number, house.wire_number_reason


def _deviations(report: Report, boat: Boat, width: float) -> list[Block]:
    stated = boat.network.deviations
    if not stated:
        return []
    rows = [Row((each.rule, key_text(each.subject, boat), each.reason, f"{each.by}, {each.date}", _state(each, report)))
            for each in stated]  # fmt: skip
    columns = (
        Column(tr("Rule"), 38), Column(tr("Of"), 34), Column(tr("Reason"), 52), Column(tr("By, date"), 30),
        Column(tr("What it does"), 23),
    )  # fmt: skip
    return [
        heading(tr("Deviations"), width, anchor="section/deviations"),
        *table(columns, rows, Style(width, 2.0, pad_mm=0.9)),
        gap(3.0),
    ]


def _state(deviation: Deviation, report: Report) -> str:
    """What became of it in this check."""
    found = [finding for finding in report.findings if finding.deviation == deviation]
    if any(not finding.settled for finding in found):
        return tr("a danger: it stays open")
    if found:
        return tr("leaves it as it is")
    return tr("nothing found: withdraw it") if deviation in report.idle else tr("not asked")

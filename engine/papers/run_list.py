"""The run list: every run with its ends, make, protection, current and drop; as a table on paper, CSV and XLSX."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec

from engine.drawing.display import Anchor, Page
from engine.export.table_data import Field, Table, Value
from engine.messages import tr
from engine.model.quantity import Quantity
from engine.papers import figures
from engine.papers.footnotes import Footnotes
from engine.papers.page import head_of, is_large, set_pages, table_layout
from engine.papers.panel_schedule import colours_share
from engine.papers.run_facts import NOT_FUSED, RunFacts, run_facts
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, Style, table
from engine.papers.text_flow import Block, flow

NOTE = (
    "“?”: not known. Length one way. Protection: the fuses and breakers (and sources that limit themselves) that hold what "
    "can be pushed into the wire, and their sum; “–” where no device holds it by design (returns, earths, starting "
    "circuits) and where nothing is carried. Design: what it carries in service, every load on. Allowed: the least of the "
    "rulebooks that apply. Drop: in this wire alone, both its conductors where it has both."
)


class ListColumn(msgspec.Struct, frozen=True):
    """A column of the list: title and value for files; share of the width and text for paper (share 0: files only)."""

    title: str
    value: Callable[[RunFacts], Value]
    share: float = 0.0
    text: Callable[[RunFacts], Cell | str] | None = None
    anchor: Anchor = "start"
    decimals: int | None = None
    width: float = 10.0


def list_columns(subject: Subject) -> tuple[ListColumn, ...]:
    """All columns, in order."""
    cores = max((len(run.poles) for run in subject.document.network.runs), default=2)
    return (
        ListColumn(
            tr("Wire"), lambda f: f.run.number or figures.UNKNOWN, 13, lambda f: Cell(_number(f), "bold"), width=8
        ),
        ListColumn(tr("From"), lambda f: f.start, 20, width=14),
        ListColumn(tr("To"), lambda f: f.end, 20, width=14),
        ListColumn(tr("Poles"), _poles, 17, width=13),
        ListColumn(tr("Size"), lambda f: figures.size(f.run), 17, width=10),
        ListColumn(tr("Area mm²"), lambda f: f.area_mm2, decimals=2, width=10),
        ListColumn(tr("Colours"), lambda f: figures.colours(f.run), colours_share(cores), _colours, width=13),
        ListColumn(tr("Length m"), lambda f: _value(f.length_m), decimals=2, width=10),
        ListColumn(tr("Length ft"), lambda f: _value(_feet(f.length_m)), decimals=1, width=10),
        ListColumn(tr("Length"), lambda f: None, 26, lambda f: figures.length(f.run, subject.particulars.units), "end"),
        ListColumn(tr("Insulation °C"), lambda f: _value(f.run.insulation_c), 16, anchor="end", decimals=0, width=13),
        ListColumn(tr("Cover"), lambda f: f.run.cover or figures.UNKNOWN, 17, width=11),
        ListColumn(tr("Bundled"), lambda f: _value(f.run.bundled), 14, anchor="end", decimals=0, width=9),
        ListColumn(tr("Protection"), lambda f: f.protection, 36, width=22),
        ListColumn(tr("Rating A"), _held, 13, anchor="end", decimals=1, width=9),
        ListColumn(tr("Design A"), lambda f: _carried(f, f.design_a), 14, anchor="end", decimals=1, width=9),
        ListColumn(tr("Allowed A"), lambda f: _carried(f, f.allowed_a), 17, anchor="end", decimals=1, width=10),
        ListColumn(tr("Drop %"), lambda f: _carried(f, f.drop_percent), 14, anchor="end", decimals=2, width=9),
        ListColumn(tr("Label at “from”"), lambda f: f.labels[0], width=30),
        ListColumn(tr("Label at “to”"), lambda f: f.labels[1], width=30),
    )


def _number(facts: RunFacts) -> str:
    return facts.run.number or figures.UNKNOWN


def _poles(facts: RunFacts) -> str:
    """With the system before them: a text that begins with a sign would be a formula in a spreadsheet."""
    dc = any(pole in ("+", "-") for pole in facts.run.poles)
    ac = any(pole in ("L", "L1", "L2", "N") for pole in facts.run.poles)
    return " ".join([*(["DC"] if dc else []), *(["AC"] if ac else []), figures.poles(facts.run)])


def _colours(facts: RunFacts) -> Cell:
    return Cell(figures.colours(facts.run), swatches=figures.colour_codes(facts.run))


def _feet(length_m: Quantity) -> Quantity:
    if isinstance(length_m, tuple):
        return (length_m[0] * figures.FEET, length_m[1] * figures.FEET)
    return None if length_m is None else length_m * figures.FEET


def _held(facts: RunFacts) -> Value:
    return _value(facts.rating_a) if facts.is_limited else NOT_FUSED


def _carried(facts: RunFacts, quantity: Quantity) -> Value:
    return _value(quantity) if facts.carries else NOT_FUSED


def _value(quantity: Quantity) -> Value:
    """A number as a number, a range as text, unknown as "?"."""
    if isinstance(quantity, tuple):
        return f"{figures.number(quantity[0])}–{figures.number(quantity[1])}"
    return figures.UNKNOWN if quantity is None else float(quantity)


def run_list_table(subject: Subject) -> Table:
    """The list as data for CSV and XLSX."""
    columns = [column for column in list_columns(subject) if column.title != tr("Length")]
    facts = run_facts(subject.boat, subject.books)
    fields = tuple(Field(column.title, column.decimals, column.width) for column in columns)
    rows = tuple(tuple(_stored(column.value(one)) for column in columns) for one in facts)
    return Table(tr("Run list"), fields, rows)


def _stored(value: Value) -> Value:
    """Numbers in files carry no noise of the floating point: ten figures."""
    return float(f"{value:.10g}") if isinstance(value, float) else figures.UNKNOWN if value is None else value


def run_list(subject: Subject) -> tuple[Page, ...]:
    """The list on paper, lying on its side."""
    layout = table_layout(subject.paper)
    head = head_of(subject.particulars, tr("Run list"))
    shown = [column for column in list_columns(subject) if column.share]
    facts = run_facts(subject.boat, subject.books)
    style = Style(layout.column_mm, 2.3 if is_large(subject.paper) else 1.9, pad_mm=0.9, rules=True)
    columns = [Column(column.title, column.share, column.anchor) for column in shown]
    rows = [Row(tuple(_paper(column, one) for column in shown), anchor=f"wire/{one.run.id}") for one in facts]
    blocks = [*table(columns, rows, style), *_notes(layout.column_mm)]
    return set_pages(flow(blocks, layout.body_mm), layout, head)


def _notes(width: float) -> Sequence[Block]:
    notes = Footnotes()
    items = notes.items(width * 0.75, [tr(NOTE), said(DEFERRAL)])
    return (Block(notes.height_mm, tuple(items)),)


def _paper(column: ListColumn, facts: RunFacts) -> Cell | str:
    if column.text is not None:
        return column.text(facts)
    value = column.value(facts)
    if isinstance(value, float):
        return f"{value:.2f}" if column.decimals == 2 else figures.number(value)
    return figures.UNKNOWN if value is None else str(value)

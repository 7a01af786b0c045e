"""The inspection list on paper: what to look at aboard, place by place, with boxes to tick and room for what was measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from engine.drawing.display import Item, Page, Path, Pen, Text
from engine.drawing.outline import line, rectangle
from engine.messages import tr
from engine.model.network import Answer
from engine.papers.page import head_of, set_pages, text_layout
from engine.papers.places import Places, places_of
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, Style, table
from engine.papers.text_flow import SMALL_MM, Block, flow, gap, heading, paragraph, warning
from engine.rules.coverage import rows_of
from engine.rules.inspection.questions import Question, inspection_list
from engine.rules.wording import key_text

BOX_MM = 3.2
BLANK_MM = 9.0
BOX = Pen("ink", 0.25)
TICK = Pen("ink", 0.5)
FIELD = Pen("rule", 0.18)
INTRO = (
    "A drawing cannot show whether a battery is strapped down. Look at each of these aboard, tick yes or no, enter what you "
    "measured, and sign. Enter the answers in the boat's record: a “no” becomes a finding of the check, and what is not "
    "answered is listed as needing inspection; it never counts as in order."
)


def inspection_paper(subject: Subject) -> tuple[Page, ...]:
    """All pages of the list."""
    layout = text_layout(subject.paper)
    width = layout.column_mm
    blocks = [paragraph(tr(INTRO), width), gap(2.0)]
    for place, questions in by_place(subject).items():
        blocks += _place(place, questions, subject, width)
    blocks += [*_signature(width), gap(3.0), warning(tr("CAUTION"), said(DEFERRAL), width)]
    return set_pages(flow(blocks, layout.body_mm), layout, head_of(subject.particulars, tr("Inspection list")))


def by_place(subject: Subject) -> Mapping[str, Sequence[Question]]:
    """The questions by where on the boat they are looked at; those of the whole boat first."""
    places = places_of(subject.document, subject.boat)
    found: dict[str, list[Question]] = {tr("The whole boat"): []}
    for question in inspection_list(subject.boat, subject.books):
        found.setdefault(_place_of(question.subject, subject, places), []).append(question)
    return {place: questions for place, questions in found.items() if questions}


def _place_of(key: str, subject: Subject, places: Places) -> str:
    sort, _, rest = key.partition(":")
    part = subject.boat.parts.get(rest) if sort == "part" else None
    if part is None:
        return tr("The whole boat")
    return places.space(part) or tr("Place not stated on the drawing")


def _place(place: str, questions: Sequence[Question], subject: Subject, width: float) -> list[Block]:
    columns = (
        Column(tr("Of"), 27), Column(tr("Question"), 47), Column(tr("How to look"), 51), Column(tr("Yes"), 9),
        Column(tr("No"), 9), Column(tr("Measured"), 18), Column(tr("By, date, note"), 21),
    )  # fmt: skip
    rows = [_row(question, subject) for question in questions]
    head = heading(place, width, anchor=f"place/{place}")
    return [head, *table(columns, rows, Style(width, SMALL_MM, pad_mm=1.5, rules=True)), gap(3.0)]


def _row(question: Question, subject: Subject) -> Row:
    item, answer = question.item, question.answer
    measured = bool(item.unit)
    yes, no = (Cell("", items=() if measured else _box(_ticked(answer, value))) for value in (True, False))
    about = key_text(question.subject, subject.boat)
    how = f"{item.how}{_rests_on(question)}"
    return Row((about, Cell(item.question, "bold"), how, yes, no, _measured(answer, item.unit), _signed(answer)))


def _rests_on(question: Question) -> str:
    """The requirements it settles, by the numbers they have in the table of coverage."""
    names = ", ".join(row.id for row in rows_of(question.item.id))
    return f" [{names}]" if names else ""


def _ticked(answer: Answer | None, value: bool) -> bool:
    return answer is not None and answer.answer is value


def _box(ticked: bool) -> tuple[Item, ...]:
    half = BOX_MM / 2
    box = Path(rectangle(0.0, -half, BOX_MM, BOX_MM), BOX)
    if not ticked:
        return (box,)
    return (box, Path(line(0.6, 0.0, 1.4, 1.0), TICK), Path(line(1.4, 1.0, 2.7, -1.1), TICK))


def _blank() -> tuple[Item, ...]:
    """A line to write on."""
    return (Path(line(0.0, 1.2, BLANK_MM, 1.2), FIELD),)


def _measured(answer: Answer | None, unit: str) -> Cell:
    """What was measured, or a line to write it on before its unit."""
    if not unit:
        return Cell("")
    if answer is None:
        return Cell(unit, items=_blank(), indent_mm=BLANK_MM + 1.0)
    if isinstance(answer.answer, bool):
        return Cell(tr("yes") if answer.answer else tr("no"))
    return Cell(f"{answer.answer:g} {unit}")


def _signed(answer: Answer | None) -> str:
    return " ".join(text for text in (answer.by, answer.date, answer.note) if text) if answer else ""


def _signature(width: float) -> list[Block]:
    """Who looked, when, and how."""
    third = width / 3
    items: list[Item] = []
    for number, title in enumerate((tr("Inspected by"), tr("Date"), tr("Signature"))):
        x_mm = number * third
        items += [
            Path(line(x_mm, 9.0, x_mm + third - 6.0, 9.0), BOX),
            Text(x_mm, 12.4, title, SMALL_MM, colour="faint"),
        ]
    return [Block(14.0, tuple(items))]

"""The part of the report on what is not known: the fields to find out first, and what only an inspection tells."""

from __future__ import annotations

from collections.abc import Sequence

from engine.graph.boat import Boat
from engine.messages import enumerated, tr
from engine.papers.table import Cell, Column, Row, Style, table
from engine.papers.text_flow import SMALL_MM, Block, gap, heading, paragraph
from engine.rules.api import Severity
from engine.rules.inspection.questions import Question, inspection_list
from engine.rules.missing import Ask, what_next
from engine.rules.runner import Report
from engine.rules.wording import field_of, key_text

MOST_ASKS = 30
WORDS: dict[Severity, str] = {"danger": "Danger", "requirement": "Requirement", "advice": "Advice"}


def missing(report: Report, boat: Boat, width: float) -> list[Block]:
    """What to find out first: the fields that keep most, and the gravest, questions open."""
    asks = what_next(report)
    if not asks:
        return []
    rows = [_ask_row(ask, boat) for ask in asks[:MOST_ASKS]]
    more = len(asks) - MOST_ASKS
    rest = [paragraph(tr("… and {count} more fields.").format(count=more), width, SMALL_MM)] if more > 0 else []
    columns = (
        Column(tr("Not stated on the drawing"), 76), Column(tr("Field"), 40), Column(tr("Gravest"), 26),
        Column(tr("Open for it"), 22, "end"), Column(tr("for it alone"), 22, "end"),
    )  # fmt: skip
    head = heading(tr("What to find out first"), width, anchor="section/missing")
    return [head, *table(columns, rows, Style(width, 2.2)), *rest, gap(3.0)]


def _ask_row(ask: Ask, boat: Boat) -> Row:
    name = Cell(key_text(ask.key, boat), "bold")
    field = field_of(ask.key, ask.field, boat) if ask.field else ""
    return Row((name, field, tr(WORDS[ask.worst]), str(ask.settles), str(ask.alone)))


def unseen_text(report: Report, boat: Boat) -> str:
    """How much no drawing can tell, for the head of the report."""
    listed = inspection_list(boat, report.books)
    unseen = sum(question.answer is None for question in listed)
    told = tr("{all} questions are for eyes and meters aboard; {unseen} of them have not been answered.")
    return told.format(all=len(listed), unseen=unseen)


def inspection(report: Report, boat: Boat, width: float) -> list[Block]:
    """What no drawing can tell: what was looked at, and what still needs inspection."""
    listed = inspection_list(boat, report.books)
    unseen = [question for question in listed if question.answer is None]
    told = tr(
        "{all} questions of this boat need eyes, a hand or a meter; {done} have been answered, {unseen} have not. What has not "
        "been looked at does not count as in order. The inspection list is the paper to take aboard."
    ).format(all=len(listed), done=len(listed) - len(unseen), unseen=len(unseen))
    head = heading(tr("What needs inspection"), width, anchor="section/inspection")
    return [head, paragraph(told, width, keeps=bool(unseen)), *_questions(unseen, boat, width), gap(3.0)]


def _questions(questions: Sequence[Question], boat: Boat, width: float) -> list[Block]:
    """One row a question, with everything it is still asked of."""
    asked: dict[str, list[Question]] = {}
    for question in questions:
        asked.setdefault(question.item.id, []).append(question)
    rows = [
        Row((Cell(many[0].item.question, "bold"), enumerated(key_text(each.subject, boat) for each in many)))
        for many in asked.values()
    ]
    columns = (Column(tr("Question"), 96), Column(tr("Not yet answered for"), 84))
    return table(columns, rows, Style(width, 2.0, pad_mm=0.9)) if rows else []

"""The sizing of a boat on paper: what would be changed and why, what breaks before and after, what no size cures."""

from __future__ import annotations

from engine.drawing.display import Page
from engine.messages import tr
from engine.papers.page import head_of, set_pages, text_layout
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.subject import Subject
from engine.papers.table import Cell, Column, Row, Style, table
from engine.papers.text_flow import Block, flow, gap, heading, listed, paragraph, warning
from engine.remedies.sizing import Sizing, size_boat, sums, texts

TEXT_MM = 2.2
INTRO = (
    "A proposal. Of all conductors and devices these would be changed, and no other: a smaller fuse where one protects and "
    "still carries its load, else the smallest conductor that serves. Nothing is made thinner. The boat file is as it was."
)
NOTHING = "Nothing is to be changed: every conductor and device that can be judged serves."


def sizing_proposal(subject: Subject) -> tuple[Page, ...]:
    """All pages; most boats need one."""
    layout = text_layout(subject.paper)
    width = layout.column_mm
    sizing = size_boat(subject.document, subject.library, books=subject.books)
    blocks = [paragraph(tr(INTRO if sizing.changes else NOTHING), width), *_sums(sizing, width)]
    blocks += _changes(sizing, width) if sizing.changes else []
    blocks += _left(sizing, width) if sizing.left else []
    blocks += [gap(3.0), warning(tr("CAUTION"), said(DEFERRAL), width)]
    return set_pages(flow(blocks, layout.body_mm), layout, head_of(subject.particulars, tr("Sizing proposal")))


def _sums(sizing: Sizing, width: float) -> list[Block]:
    return [paragraph(sums(sizing), width, keeps=True)]


def _changes(sizing: Sizing, width: float) -> list[Block]:
    columns = (Column(tr("No."), 8), Column(tr("Change"), 52), Column(tr("Because"), 120))
    rows = [
        Row((str(number), Cell(_begun(what), "bold"), change.why))
        for number, (what, change) in enumerate(zip(texts(sizing), sizing.changes, strict=True), 1)
    ]
    return [
        heading(tr("What is changed"), width, anchor="section/changes"),
        *table(columns, rows, Style(width, TEXT_MM)),
    ]


def _begun(text: str) -> str:
    return text[:1].upper() + text[1:]


def _left(sizing: Sizing, width: float) -> list[Block]:
    title = heading(tr("What no size cures"), width, anchor="section/left")
    return [gap(3.0), title, *(listed("·", text, width, TEXT_MM) for text in sizing.left)]

"""The check report on paper: what was asked, every finding with sum, clause and remedy, what is not known or not seen.

A boat on which questions could not be answered is never said to be without findings.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from engine.drawing.annotate import MARK_MM, Severity, mark_items
from engine.drawing.bounds import moved
from engine.drawing.display import Group, Item, Page, Path, Text
from engine.drawing.metrics import LINE_PITCH, wrap
from engine.drawing.outline import line
from engine.graph.boat import Boat
from engine.messages import tr
from engine.papers.page import head_of, set_pages, text_layout
from engine.papers.report_decisions import decisions
from engine.papers.report_open import inspection, missing, unseen_text
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.subject import Subject
from engine.papers.table import ROW_PEN, Cell, Column, Row, Style, table
from engine.papers.text_flow import BODY_MM, Block, flow, gap, heading, paragraph, subheading, warning
from engine.rules.api import BOOK_TITLES, Finding
from engine.rules.runner import Report, Tally, failed, load_rules
from engine.rules.standing import EDITIONS, standing
from engine.rules.wording import basis_text, decided_text, formula, key_text, remedy, sentence, status_text

SMALL_MM = 2.0
INDENT_MM = 9.0
WORDS: dict[Severity, str] = {
    "danger": "Danger", "requirement": "Requirement", "advice": "Advice", "unknown": "Cannot tell"
}  # fmt: skip


def report_paper(subject: Subject) -> tuple[Page, ...]:
    """All pages of the report."""
    layout = text_layout(subject.paper)
    width = layout.column_mm
    report, boat = subject.analysis.report, subject.boat
    blocks = [
        *_summary(subject, width),
        *_findings(report, boat, width),
        *decisions(report, boat, width),
        *missing(report, boat, width),
        *inspection(report, boat, width),
        *_checked(report, width),
        *_sources(report, width),
        *_met(report, boat, width),
        gap(3.0),
        warning(tr("CAUTION"), said(DEFERRAL), width),
    ]
    return set_pages(flow(blocks, layout.body_mm), layout, head_of(subject.particulars, tr("Check report")))


def severity_of(finding: Finding) -> Severity:
    """Its mark: that of its severity, or that of a question without an answer."""
    return "unknown" if finding.outcome.verdict == "cannot-tell" else finding.severity


def _summary(subject: Subject, width: float) -> list[Block]:
    report = subject.analysis.report
    counts = Counter(severity_of(finding) for finding in report.findings if not finding.settled)
    rows = [
        Row(
            (
                Cell(tr(WORDS[each]), items=mark_items(each, MARK_MM / 2, 0.0), indent_mm=MARK_MM + 1.5),
                str(counts[each]),
            )
        )
        for each in WORDS
    ]
    rows += [Row((tr("Left by deviation"), str(len(report.settled))))] if report.settled else []
    columns = (Column(tr("Findings"), 50), Column(tr("Number"), 20, "end"))
    books = ", ".join(tr(BOOK_TITLES[book]) for book in report.books) or tr("none")
    return [
        heading(tr("Summary"), width, anchor="section/summary"),
        paragraph(verdict_text(report), width),
        paragraph(unseen_text(report, subject.boat), width),
        paragraph(tr("Rulebooks asked: {books}.").format(books=books), width),
        *table(columns, rows, Style(min(width, 80.0), 2.3, row_mm=5.6)),
        gap(3.0),
    ]


def verdict_text(report: Report) -> str:
    """How much was asked and what came of it, in words that never say more than was found out."""
    asked = tr(
        "{checks} questions were asked by {rules} rules; {silent} rules found nothing on the boat to ask about."
    ).format(checks=report.checks, rules=len(report.tallies), silent=len(report.not_applicable))
    breaks, unknown = report.count("breaks"), report.count("cannot-tell")
    if breaks:
        outcome = tr("{breaks} answers break a rule, {unknown} cannot be told, {met} meet it.")
    elif unknown:
        outcome = tr("No answer breaks a rule, but {unknown} questions could not be answered: the drawing does not say enough. "
                     "{met} answers meet their rule.")  # fmt: skip
    elif report.checks:
        outcome = tr("Every question that was asked was answered and met: {met}.")
    else:
        outcome = tr("Nothing could be asked: this says nothing about the boat.")
    crashed = [finding.rule.id for finding in report.findings if failed(finding)]
    tool = tr(" These checks failed inside the program and gave no answer: {ids}.").format(ids=", ".join(crashed))
    return f"{asked} {outcome.format(breaks=breaks, unknown=unknown, met=report.meets)}" + (tool if crashed else "")


def _findings(report: Report, boat: Boat, width: float) -> list[Block]:
    if not report.findings:
        return []
    cards = [_card(number, finding, boat, width) for number, finding in enumerate(report.findings, 1)]
    return [heading(tr("Findings"), width, anchor="section/findings"), *cards, gap(3.0)]


def _card(number: int, finding: Finding, boat: Boat, width: float) -> Block:
    """One finding: mark and number, sentence, sum, clauses with their status, remedy."""
    severity = severity_of(finding)
    room = width - INDENT_MM
    items: list[Item] = [moved(item, 2.8, 3.2) for item in mark_items(severity, 0.0, 0.0)]
    items.append(Text(2.8, 8.6, str(number), SMALL_MM, "middle", "bold", severity))
    y_mm = 1.0
    for string in wrap(sentence(finding, boat), room, BODY_MM, "bold"):
        items.append(Text(INDENT_MM, y_mm + BODY_MM * 1.2, string, BODY_MM, weight="bold"))
        y_mm += BODY_MM * LINE_PITCH
    for string, colour in _card_lines(finding, boat, severity):
        for part in wrap(string, room, SMALL_MM):
            items.append(Text(INDENT_MM, y_mm + SMALL_MM * 1.3, part, SMALL_MM, colour=colour))
            y_mm += SMALL_MM * LINE_PITCH
    y_mm += 2.6
    items.append(Path(line(0, y_mm, width, y_mm), ROW_PEN))
    return Block(y_mm + 0.8, (Group(f"finding:{number}", tuple(items)),))


def _card_lines(finding: Finding, boat: Boat, severity: Severity) -> Iterator[tuple[str, str]]:
    word = tr("Left by deviation") if finding.settled else tr(WORDS[severity])
    yield f"{word} · {finding.rule.id} · {tr(BOOK_TITLES[finding.book])}", severity
    yield standing(finding.book, boat.network.particulars), "ink"
    if formula(finding):
        yield formula(finding), "ink"
    for line_ in decided_text(finding):
        yield line_, "ink"
    for basis in finding.basis:
        yield basis_text(basis), "faint"
    for source in finding.outcome.sources:
        yield tr("Number: {source}").format(source=source), "faint"
    yield f"→ {remedy(finding, boat)}", "ink"


def _checked(report: Report, width: float) -> list[Block]:
    """Every rule that was asked, with what came of it; those with nothing to ask are listed as such."""
    titles = {rule.id: tr(rule.title) for rule in load_rules()}
    rows = [_tally_row(tally, titles) for tally in report.tallies]
    columns = (
        Column(tr("Rule"), 92), Column(tr("Rulebook"), 30), Column(tr("Met"), 24, "end"), Column(tr("Broken"), 14, "end"),
        Column(tr("Cannot tell"), 17, "end"),
    )  # fmt: skip
    note = tr("A rule that is not in this list was not checked. “not applicable”: the boat has nothing that it concerns, as far "
              "as the drawing shows.")  # fmt: skip
    head = heading(tr("What was checked"), width, anchor="section/checked")
    return [head, paragraph(note, width, keeps=True), *table(columns, rows, Style(width, 2.0, pad_mm=0.9)), gap(3.0)]


def _tally_row(tally: Tally, titles: dict[str, str]) -> Row:
    name = f"{titles.get(tally.rule_id, tally.rule_id)} ({tally.rule_id})"
    if not tally.checks:
        return Row((name, _book(tally), Cell(tr("not applicable")), "", ""), "faint")
    return Row((name, _book(tally), str(tally.meets), str(tally.breaks), str(tally.cannot_tell)))


def _book(tally: Tally) -> str:
    return tr(BOOK_TITLES[tally.book]).partition(" (")[0]


def _sources(report: Report, width: float) -> list[Block]:
    """Documents with their editions, and how well each is known."""
    rules = {rule.id: rule for rule in load_rules()}
    known: dict[str, Counter[str]] = {}
    for rule_id in dict.fromkeys(tally.rule_id for tally in report.tallies):
        for basis in rules[rule_id].basis if rule_id in rules else ():
            if basis.book in (*report.books, "any"):
                known.setdefault(basis.document, Counter())[basis.status] += 1
    rows = [Row((name, _statuses(known[name]))) for name in sorted(known)]
    columns = (Column(tr("Document and edition"), 90), Column(tr("How its clauses are known to this program"), 87))
    return [
        heading(tr("What the checks rest on"), width, anchor="section/sources"),
        warning(tr("CAUTION"), tr(FROM_MEMORY), width),
        *(paragraph(tr(EDITIONS[book]), width, SMALL_MM) for book in report.books),
        *table(columns, rows, Style(width, 2.0, pad_mm=0.9)),
        gap(3.0),
    ]


FROM_MEMORY = (
    "Not every clause and number used here was read in the standard itself. Where it says “quoted second hand” or “from memory, "
    "unconfirmed”, look it up in the edition that applies before you rely on it. Every finding says how its own are known."
)


def _statuses(counts: Counter[str]) -> str:
    return ", ".join(f"{status_text(status)} ({count})" for status, count in counts.most_common())


def _met(report: Report, boat: Boat, width: float) -> list[Block]:
    """What meets its rule, by rule: the things themselves."""
    if not report.met:
        return []
    by_rule: dict[str, dict[str, None]] = {}
    for rule_id, _, outcome in report.met:
        names = by_rule.setdefault(rule_id, {})
        if outcome.subjects:
            names.setdefault(_short(outcome.subjects[0], boat))
    blocks: list[Block] = [
        heading(tr("What meets its rule"), width, anchor="section/met"),
        paragraph(tr("Numbers alone are those of wires."), width, SMALL_MM),
    ]
    for rule_id, listed_names in by_rule.items():
        blocks += _met_rule(rule_id, list(listed_names), width)
    return blocks


def _short(key: str, boat: Boat) -> str:
    """The name of a thing; of a wire its number, since all of them are listed here again and again."""
    run = boat.runs.get(key.removeprefix("run:"))
    return (run.number if run is not None else "") or key_text(key, boat)


def _met_rule(rule_id: str, names: Sequence[str], width: float) -> Iterable[Block]:
    words = "; ".join(names) or tr("the boat")
    return (subheading(rule_id, width), *_paragraphs(words, width))


def _paragraphs(words: str, width: float) -> Iterable[Block]:
    """Long lists in pieces, so that they can go on overleaf."""
    lines = wrap(words, width, SMALL_MM)
    for start in range(0, len(lines), 8):
        yield paragraph("\n".join(lines[start : start + 8]), width, SMALL_MM)

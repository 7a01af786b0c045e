"""loomwright check: the findings of each boat, for a person or as JSON."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from engine.messages import counted, tr

if TYPE_CHECKING:
    from engine.pipeline import Analysis
    from engine.rules.api import Book, Finding

BOOKS: dict[str, tuple[Book, ...] | None] = {
    "us": ("33cfr183", "e11"),
    "iso": ("iso13297",),
    "both": ("33cfr183", "e11", "iso13297"),
}
MARKS = {"danger": "DANGER", "requirement": "REQUIRED", "advice": "ADVICE"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """check FILE… [--rules us|iso|both] [--house FILE] [--json] [--ask]"""
    parser.add_argument("file", nargs="+", type=Path, help="boat files, or sketches (.txt)")
    parser.add_argument("--rules", choices=list(BOOKS), help="rulebooks to ask; without it those the boat declares")
    parser.add_argument(
        "--house", type=Path, help="house rules to ask besides: a file of them, or a boat that has some"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")
    parser.add_argument("--ask", action="store_true", help="what to measure or look up next, and what needs inspection")


def run(asked: argparse.Namespace) -> int:
    """0 nothing breaks, 1 something breaks, 2 a file cannot be read."""
    answers = [_check(path, asked.rules, asked.house) for path in asked.file]
    if asked.json:
        print(
            json.dumps(
                {"boats": [_as_json(path, got) for path, got in zip(asked.file, answers, strict=True)]}, indent=1
            )
        )
    else:
        for path, got in zip(asked.file, answers, strict=True):
            _print_asks(path, got) if asked.ask else _print(path, got)
    return max(_status(got) for got in answers)


def _check(path: Path, rules: str | None, house: Path | None) -> Analysis | str:
    from engine.files.opening import OpenError, open_boat
    from engine.library.device import load_library
    from engine.model.edits.house import set_house
    from engine.pipeline import analyse

    library = load_library()
    try:
        document = open_boat(path, library)
        if house is not None:
            document = set_house(document, open_boat(house, library).network.house)
    except OpenError as error:
        return str(error)
    return analyse(document.network, library, BOOKS[rules] if rules else None, slow=True)


def _status(got: Analysis | str) -> int:
    if isinstance(got, str):
        return 2
    return 1 if got.report.count("breaks") or _tool_failed(got) else 0


def _tool_failed(got: Analysis) -> bool:
    from engine.rules.runner import failed

    return any(failed(finding) for finding in got.findings)


def _print(path: Path, got: Analysis | str) -> None:
    if isinstance(got, str):
        print(f"{path}: {got}", file=sys.stderr)
        return
    from engine.rules.api import BOOK_TITLES

    particulars = got.boat.network.particulars
    print(f"{particulars.name} ({path})")
    print(tr("Asked: {books}").format(books=", ".join(BOOK_TITLES[book] for book in got.report.books)))
    for finding in got.findings:
        print(_text(finding, got))
    print("\n".join(_decided(got)))
    print(summary(got))


def _decided(got: Analysis) -> Iterator[str]:
    """The house rules that were asked, and deviations that settle nothing."""
    from engine.rules.wording import key_text

    house = got.boat.network.house
    yield ""
    if house != type(house)():
        yield tr("House rules of {yard}: asked besides the rulebooks.").format(yard=house.name or tr("the yard"))
    for idle in got.report.idle:
        told = tr("The deviation from {rule} for {subject} settles nothing any more; withdraw it.")
        yield told.format(rule=idle.rule, subject=key_text(idle.subject, got.boat))


def _print_asks(path: Path, got: Analysis | str) -> None:
    """What to find out next, what settles most first; then what only an inspection tells."""
    if isinstance(got, str):
        print(f"{path}: {got}", file=sys.stderr)
        return
    from engine.rules.inspection.questions import needs_inspection
    from engine.rules.missing import what_next
    from engine.rules.wording import field_of, key_text

    print(f"{got.boat.network.particulars.name} ({path})")
    asks = what_next(got.report)
    print(counted("To measure or look up: 1 field.", "To measure or look up: {count} fields.", len(asks)))
    names = [
        f"{key_text(ask.key, got.boat)}: {field_of(ask.key, ask.field, got.boat)}" if ask.field else ask.key
        for ask in asks
    ]
    wide = max(map(len, names), default=0)
    for ask, name in zip(asks, names, strict=True):
        counts = tr("settles {settles}, {alone} of them alone").format(settles=ask.settles, alone=ask.alone)
        print(f"  {MARKS[ask.worst]:<9} {name:<{wide}}  {counts}")
    questions = needs_inspection(got.boat, got.report.books)
    print(counted("To look at aboard: 1 question.", "To look at aboard: {count} questions.", len(questions)))
    for question in questions:
        print(f"  {MARKS[question.item.severity]:<9} {key_text(question.subject, got.boat)}: {question.item.question}")


def summary(got: Analysis) -> str:
    """How much was checked, what came of it, and what only an inspection tells."""
    from engine.rules.inspection.questions import needs_inspection

    report = got.report
    unseen = len(needs_inspection(got.boat, report.books))
    lines = [
        tr(
            "{checks} checks by {rules} rules: {breaks} broken, {unknown} cannot be told, {met} met, {settled} left by deviation; "
            "{silent} rules not applicable."
        ).format(
            settled=len(report.settled),
            checks=report.checks,
            rules=len(report.tallies),
            breaks=report.count("breaks"),
            unknown=report.count("cannot-tell"),
            met=report.meets,
            silent=len(report.not_applicable),
        ),
        counted(
            "1 question needs inspection: no drawing answers it (--ask lists it).",
            "{count} questions need inspection: no drawing answers them (--ask lists them).",
            unseen,
        ),
        tr("This checks a drawing, not the boat; the standards, local codes and licensed practice have the last word."),
    ]
    return "\n".join(lines)


def _text(finding: Finding, got: Analysis) -> str:
    from engine.rules.standing import standing
    from engine.rules.wording import basis_text, decided_text, formula, remedy, sentence

    mark = tr("CANNOT TELL") if finding.outcome.verdict == "cannot-tell" else MARKS[finding.severity]
    mark = tr("DEVIATION") if finding.settled else mark
    lines = [f"\n{mark}  {sentence(finding, got.boat)}  ({finding.rule.id})"]
    lines += [f"    {formula(finding)}"] if formula(finding) else []
    lines += [f"    {standing(finding.book, got.boat.network.particulars)}"]
    lines += [f"    {basis_text(basis)}" for basis in finding.basis]
    lines += [f"    {source}" for source in finding.outcome.sources]
    return "\n".join([*lines, *(f"    {line}" for line in decided_text(finding)), f"    → {remedy(finding, got.boat)}"])


def _as_json(path: Path, got: Analysis | str) -> dict[str, Any]:
    if isinstance(got, str):
        return {"file": str(path), "error": got}
    import msgspec

    from engine.rules.inspection.questions import needs_inspection
    from engine.rules.missing import what_next
    from engine.rules.standing import EDITIONS

    report = got.report
    return {
        "file": str(path),
        "boat": got.boat.network.particulars.name,
        "books": list(report.books),
        "checks": report.checks,
        "met": report.meets,
        "not_applicable": [{"rule": tally.rule_id, "book": tally.book} for tally in report.not_applicable],
        "findings": [finding_json(finding, got) for finding in got.findings],
        "ask_next": [msgspec.to_builtins(ask) for ask in what_next(report)],
        "needs_inspection": [
            {"question": each.item.id, "subject": each.subject, "text": each.item.question}
            for each in needs_inspection(got.boat, report.books)
        ],
        "editions": {book: EDITIONS[book] for book in report.books},
        "caution": tr("This checks a drawing, not the boat."),
    }


def finding_json(finding: Finding, got: Analysis) -> dict[str, Any]:
    """One finding as plain data: rule, outcome, severity, subjects by designation, values, basis, sentence."""
    import msgspec

    from engine.rules.standing import standing
    from engine.rules.wording import basis_text, formula, key_text, remedy, sentence

    outcome = finding.outcome
    return {
        "rule": finding.rule.id,
        "code": outcome.code,
        "book": finding.book,
        "standing": standing(finding.book, got.boat.network.particulars),
        "outcome": outcome.verdict,
        "severity": finding.severity,
        "subjects": [key_text(key, got.boat) for key in outcome.subjects],
        "keys": list(outcome.subjects),
        "values": dict(outcome.values),
        "lacks": list(outcome.lacks),
        "basis": [basis_text(basis) for basis in finding.basis] + list(outcome.sources),
        "sentence": sentence(finding, got.boat),
        "formula": formula(finding),
        "remedy": remedy(finding, got.boat),
        "graded": finding.graded,
        "deviation": msgspec.to_builtins(finding.deviation),
    }

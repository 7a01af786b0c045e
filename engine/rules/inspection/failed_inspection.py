"""Rule failed-inspection."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Answer
from engine.rules.api import Basis, Book, Outcome, Severity, Shown, Wording, breaks, rule
from engine.rules.coverage import books_of_item, rows_of
from engine.rules.inspection.items import Item, item_named
from engine.rules.wording import key_text

CODES: dict[Severity, str] = {"danger": "failed-gravely", "requirement": "failed", "advice": "not-as-advised"}
WORDINGS = {
    code: Wording(
        severity,
        "{subject} did not pass the inspection. {question} No.{note}",
        "Put it right and have it looked at again: {how}",
    )
    for severity, code in CODES.items()
}


@rule(
    "failed-inspection",
    title="What was looked at aboard and found wanting",
    books=("33cfr183", "e11", "iso13297"),
    basis=(
        Basis("33cfr183", "33 CFR 183 Subpart I, 2015 edition", "What the law asks of an installation that a drawing cannot show.",
              "published"),
        Basis("e11", "ABYC E-11 and its companions, as quoted", "What they ask of an installation that a drawing cannot show.",
              "secondary"),
        Basis("iso13297", "ISO 13297:2020 and ISO 10133:2012, in part from quotations",
              "What they ask of an installation that a drawing cannot show.", "secondary"),
    ),
    wordings={
        **WORDINGS,
        "strange-question": Wording(
            "advice",
            "{subject} has an answer to “{item}”, a question that this version does not ask: it settles nothing.",
            "Correct the name of the question, or take the answer back.",
        ),
        "over-limit": Wording(
            "requirement",
            "{subject}: {measured} {unit} was measured; no more than {most} {unit} is allowed. {question}",
            "Put it right and measure again: {how}",
            "{measured} {unit} > {most} {unit}",
        ),
    },
    needs="The answers of the inspection list. A question without an answer is listed as needing inspection; it never passes.",
)  # fmt: skip
def failed_inspection(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A clean drawing of a boat whose batteries slide about proves nothing. What was looked at and found wanting counts as
    much as a wire that is too thin."""
    for answer in boat.network.answers:
        item = item_named(answer.item)
        if item is None:
            yield breaks("strange-question", answer.subject, subject=key_text(answer.subject, boat), item=answer.item)
            continue
        if books_of_item(item.id) and book not in books_of_item(item.id):
            continue
        told = _verdict(item, answer, book)
        if told is not None:
            yield _outcome(boat, item, answer, book, told)


def _verdict(item: Item, answer: Answer, book: Book) -> bool | None:
    """Whether it is as it must be; None for a value that the rulebook gives no limit for."""
    if isinstance(answer.answer, bool):
        return answer.answer
    return answer.answer <= item.most[book] if book in item.most else None


def _outcome(boat: Boat, item: Item, answer: Answer, book: Book, passed: bool) -> Outcome:
    measured = not isinstance(answer.answer, bool)
    values: dict[str, Shown] = {
        "subject": key_text(answer.subject, boat), "question": item.question, "how": item.how, "unit": item.unit,
        "measured": float(answer.answer), "most": item.most.get(book, 0.0),
        "note": f" {answer.note}" if answer.note else "",
    }  # fmt: skip
    return Outcome(
        verdict="meets" if passed else "breaks", code="over-limit" if measured else CODES[item.severity],
        subjects=(answer.subject,), values=values,
        sources=tuple(f"{row.id}: {row.requirement} [{row.status}]" for row in rows_of(item.id) if book in row.books),
    )  # fmt: skip

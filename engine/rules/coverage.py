"""How every requirement that was collected ends: in a rule, in a question of the inspection list, or out of scope with a reason.

The rows are engine/data/requirements.csv, what becomes of them engine/data/coverage.csv. COVERAGE.md is made from both
(`python -m engine.rules.coverage`); a test compares it. Knows rules and questions, no boat.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Literal

import msgspec

from engine.electrics.tables import table_rows
from engine.rules.api import Book, Status
from engine.rules.inspection.items import item_named

FILE = Path(__file__).with_name("COVERAGE.md")
End = Literal["rule", "item", "scope"]
WORDS: dict[End, str] = {"rule": "rule", "item": "inspection", "scope": "out of scope"}

HEAD = """# What becomes of every requirement

The requirements that were collected from the US law, from quotations of ABYC E-11 and its companions, from ISO 13297 and its
predecessors, and from what surveyors report, each in our own words and with how well it is known. Every one ends as exactly
one of: a rule of the program, a question of the inspection list, or out of scope with the reason.

This text is generated (`python -m engine.rules.coverage`); a test compares it.
"""


class Row(msgspec.Struct, frozen=True):
    """One requirement and what became of it."""

    id: str
    document: str
    topic: str
    requirement: str
    status: Status
    ends_as: End
    by: tuple[str, ...]
    """Ids of the rules or questions."""
    reason: str
    """Why it is out of scope."""

    @property
    def books(self) -> tuple[Book, ...]:
        """The rulebook it is of; none for what surveyors report."""
        if self.id.startswith("183."):
            return ("33cfr183",)
        return {"E11": ("e11",), "ISO": ("iso13297",)}.get(self.id.partition("-")[0], ())  # type: ignore[return-value]


@cache
def rows() -> tuple[Row, ...]:
    """Every requirement. Raises KeyError for one that coverage.csv does not know, ValueError for one it knows twice."""
    ends = {row["id"]: row for row in table_rows("coverage")}
    if len(ends) != len(table_rows("coverage")):
        raise ValueError("coverage.csv holds an id twice")
    return tuple(_row(dict(row), dict(ends[row["id"]])) for row in table_rows("requirements"))


def _row(row: dict[str, str], end: dict[str, str]) -> Row:
    plain = {**row, "ends_as": end["ends_as"], "by": tuple(end["by"].split()), "reason": end["reason"]}
    return msgspec.convert(plain, Row)


@cache
def rows_of(item_id: str) -> tuple[Row, ...]:
    """The requirements that a question settles."""
    return tuple(row for row in rows() if row.ends_as == "item" and item_id in row.by)


@cache
def books_of_item(item_id: str) -> frozenset[Book]:
    """The rulebooks that ask a question, by its requirements or its limits; empty for one that rests on surveyors' experience
    alone, which is on every list."""
    item = item_named(item_id)
    limits = frozenset(item.most if item else ())
    return limits | frozenset(book for row in rows_of(item_id) for book in row.books)


def counts() -> dict[End, int]:
    """How many requirements end in each way."""
    return {end: sum(row.ends_as == end for row in rows()) for end in WORDS}


def count_text() -> str:
    """The counts in one line."""
    told = counts()
    return (
        f"{len(rows())} requirements: {told['rule']} are checked by a rule, {told['item']} are asked by the inspection list, "
        f"{told['scope']} are out of scope."
    )


def coverage() -> str:
    """The whole table as Markdown."""
    return "\n".join([HEAD, f"{count_text()}\n", *_chapters()])


def _chapters() -> Iterator[str]:
    for document, members in groupby(rows(), key=lambda row: row.document):
        yield f"## {document}\n"
        yield "| row | requirement | known | ends as | by, or why |\n|---|---|---|---|---|"
        yield from (_line(row) for row in members)
        yield ""


def _line(row: Row) -> str:
    by = ", ".join(f"`{name}`" for name in row.by) or row.reason
    return f"| {row.id} | {row.requirement.replace('|', '/')} | {row.status} | {WORDS[row.ends_as]} | {by} |"


if __name__ == "__main__":
    FILE.write_text(coverage(), encoding="utf-8")

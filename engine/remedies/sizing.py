"""Size the boat: conductors and devices made to serve, changing as little as possible, each change with its reason.

Smaller devices first where one protects and still carries its load, since a fuse is changed in a minute; then thicker
conductors, the smallest that serves. Nothing is made thinner. What sizing cannot cure is left, and named.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library
from engine.model.document import Document
from engine.pipeline import Analysis, analyse
from engine.remedies.remedy import CURABLE, Remedy, tried
from engine.remedies.stock import Stock, stock_of
from engine.rules.api import Book, Finding
from engine.rules.wording import sentence

ROUNDS = 60
"""Changes after which the sizing is given up; each cures one finding at the least."""
NEVER_BY_SIZE = frozenset({"device-below-load"})
"""A device must not be made so small that it opens in service."""


class Change(msgspec.Struct, frozen=True):
    """One change: what is done, and the finding it cures, in words."""

    what: str
    why: str
    rule: str


class Sizing(msgspec.Struct, frozen=True):
    """The boat sized, what was changed, and what sizing left."""

    document: Document
    changes: tuple[Change, ...]
    left: tuple[str, ...]
    """Sentences of the findings about size that no size in stock cures."""


def size_boat(
    document: Document, library: Library, stock: Stock | None = None, books: tuple[Book, ...] | None = None
) -> Sizing:
    """Size every conductor and device for the boat's rulebooks, or for those given."""
    changes: list[Change] = []
    shelf = stock or stock_of(document.network.house)
    for _ in range(ROUNDS):
        analysis = analyse(document.network, library, books)
        step = _first_cure(analysis, document, library, shelf)
        if step is None:
            break
        document, change = step
        changes.append(change)
    left = [sentence(finding, analysis.boat) for finding in open_findings(analysis)]
    return Sizing(document, tuple(changes), tuple(left))


def open_findings(analysis: Analysis) -> list[Finding]:
    """What breaks and is about size."""
    return [each for each in analysis.findings if each.outcome.verdict == "breaks" and each.rule.id in CURABLE]


def _first_cure(
    analysis: Analysis, document: Document, library: Library, stock: Stock
) -> tuple[Document, Change] | None:
    for finding in open_findings(analysis):
        for remedy in tried(analysis, finding, document, library, stock, sizes_only=True):
            made = remedy.edit(document)
            if not _starves(made, document, library, analysis.report.books):
                return made, Change(remedy.title, sentence(finding, analysis.boat), finding.rule.id)
    return None


def _starves(made: Document, before: Document, library: Library, books: Sequence[Book]) -> bool:
    """Whether a smaller device now opens in service."""
    return _too_small(made, library, books) > _too_small(before, library, books)


def _too_small(document: Document, library: Library, books: Sequence[Book]) -> int:
    from engine.rules.runner import load_rules, run_rules

    rules = [rule for rule in load_rules() if rule.id in NEVER_BY_SIZE]
    report = run_rules(Boat(document.network, library), tuple(books), rules)
    return sum(finding.outcome.verdict == "breaks" for finding in report.findings)


def explanation(sizing: Sizing, boat: str) -> str:
    """What was done and why, as a page that a person reads."""
    lines = [f"{boat}: {len(sizing.changes)} changes"]
    lines += [f"  · {change.what}\n      {change.why}" for change in sizing.changes]
    lines += ["", "Left, since no size in stock cures it:"] if sizing.left else []
    return "\n".join([*lines, *_listed(sizing.left)])


def _listed(texts: Iterable[str]) -> list[str]:
    return [f"  · {text}" for text in texts]


__all__ = ["CURABLE", "Change", "Remedy", "Sizing", "explanation", "open_findings", "size_boat"]

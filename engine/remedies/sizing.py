"""Size the boat: conductors and devices made to serve, changing as little as possible, each change with its reason.

Smaller devices first where one protects and still carries its load, since a fuse is changed in a minute; then thicker
conductors, the smallest that serves. Nothing is made thinner unless that is asked for. What sizing cannot cure is left,
and named.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library
from engine.messages import counted, tr
from engine.model.document import Document
from engine.model.edits.fields import set_run_fields
from engine.pipeline import Analysis, analyse
from engine.remedies.changes import changed_keys
from engine.remedies.record import name_of
from engine.remedies.remedy import CURABLE, tried
from engine.remedies.stock import Stock, sizes_below, stock_of
from engine.rules.api import Book, Finding
from engine.rules.wording import remedy, sentence
from engine.units import sizes_shown

ROUNDS = 60
"""Changes after which the sizing is given up; each cures one finding at the least."""
NEVER_BY_SIZE = frozenset({"device-below-load"})
"""A device must not be made so small that it opens in service."""


class Change(msgspec.Struct, frozen=True):
    """One change: what is done, and the finding it cures, in words."""

    what: str
    why: str
    rule: str
    keys: tuple[str, ...] = ()
    """What it touches."""


class Sizing(msgspec.Struct, frozen=True):
    """The boat sized, what was changed, and what sizing left."""

    document: Document
    changes: tuple[Change, ...]
    left: tuple[str, ...]
    """The findings about size that no size in stock cures, each with what would."""
    before: Analysis
    after: Analysis
    given: Document
    """The boat that was asked about."""


class Wish(msgspec.Struct, frozen=True):
    """How the boat is to be sized."""

    only: frozenset[str] | None = None
    """Keys of the parts and runs that may be changed; None: any."""
    thinner: bool = False
    """Conductors that are thicker than anything asks for are made thinner, after the rest."""


Watch = Callable[[int], bool]
"""Told how many changes there are so far; False ends the sizing as far as it came."""


def size_boat(
    document: Document,
    library: Library,
    stock: Stock | None = None,
    books: tuple[Book, ...] | None = None,
    wish: Wish = Wish(),  # noqa: B008
    watch: Watch = lambda _changes: True,
) -> Sizing:
    """Size conductors and devices for the boat's rulebooks, or for those given."""
    given, changes = document, list[Change]()
    shelf = stock or stock_of(document.network.house)
    before = analysis = analyse(document.network, library, books)
    for _ in range(ROUNDS):
        step = _first_cure(analysis, document, library, shelf, wish) if watch(len(changes)) else None
        if step is None:
            break
        document, change = step
        changes.append(change)
        analysis = analyse(document.network, library, books)
    if wish.thinner:
        document, analysis = _thinned(document, analysis, library, shelf, wish, changes, watch)
    left = [_told(finding, analysis.boat) for finding in open_findings(analysis) if _within(finding, wish)]
    return Sizing(document, tuple(changes), tuple(left), before, analysis, given)


def _told(finding: Finding, boat: Boat) -> str:
    """A finding that stays, with what would cure it."""
    return f"{sentence(finding, boat)} {remedy(finding, boat)}"


def _within(finding: Finding, wish: Wish) -> bool:
    return wish.only is None or not wish.only.isdisjoint((*finding.outcome.subjects, *finding.outcome.path))


def _allowed(before: Document, after: Document, wish: Wish) -> bool:
    """Whether nothing is changed but what may be."""
    if wish.only is None:
        return True
    touched = {key.replace("position:", "part:").partition("/")[0] for key in changed_keys(before, after)}
    return touched <= wish.only


def _thinned(
    document: Document,
    analysis: Analysis,
    library: Library,
    stock: Stock,
    wish: Wish,
    changes: list[Change],
    watch: Watch,
) -> tuple[Document, Analysis]:
    """Each run in turn as thin as every rule allows that was kept before; what is then left open counts against it."""
    for run in document.network.runs:
        if wish.only is not None and f"run:{run.id}" not in wish.only:
            continue
        for size in sizes_below(run.size, stock):
            if not watch(len(changes)):
                return document, analysis
            made = set_run_fields(document, run.id, size=size)
            after = analyse(made.network, library, analysis.report.books)
            if _names(after) - _names(analysis):
                continue
            what = tr("wire {number}: {size}").format(number=run.number or run.id, size=sizes_shown(size))
            why = tr("{old} is thicker than any rule asks for here.").format(old=sizes_shown(run.size))
            changes.append(Change(what, why, "thinner", (f"run:{run.id}",)))
            document, analysis = made, after
            break
    return document, analysis


def _names(analysis: Analysis) -> set[tuple[str, str, str, str]]:
    return {name_of(each) for each in analysis.findings}


def open_findings(analysis: Analysis) -> list[Finding]:
    """What breaks and is about size."""
    return [each for each in analysis.findings if each.outcome.verdict == "breaks" and each.rule.id in CURABLE]


def _first_cure(
    analysis: Analysis, document: Document, library: Library, stock: Stock, wish: Wish
) -> tuple[Document, Change] | None:
    for finding in open_findings(analysis):
        for each in tried(analysis, finding, document, library, stock, sizes_only=True):
            made = each.edit(document)
            if _allowed(document, made, wish) and not _starves(made, document, library, analysis.report.books):
                why, keys = sentence(finding, analysis.boat), changed_keys(document, made)
                return made, Change(each.title, why, finding.rule.id, keys)
    return None


def _starves(made: Document, before: Document, library: Library, books: Sequence[Book]) -> bool:
    """Whether a smaller device now opens in service."""
    return _too_small(made, library, books) > _too_small(before, library, books)


def _too_small(document: Document, library: Library, books: Sequence[Book]) -> int:
    from engine.rules.runner import load_rules, run_rules

    rules = [rule for rule in load_rules() if rule.id in NEVER_BY_SIZE]
    report = run_rules(Boat(document.network, library), tuple(books), rules)
    return sum(finding.outcome.verdict == "breaks" for finding in report.findings)


def texts(sizing: Sizing) -> list[str]:
    """What each change does; one that a later change goes beyond says so."""
    told = []
    for number, change in enumerate(sizing.changes):
        later = [at for at, each in enumerate(sizing.changes) if at > number and set(change.keys) <= set(each.keys)]
        told.append(
            tr("{what}, then more: see {number}").format(what=change.what, number=later[-1] + 1)
            if later
            else change.what
        )
    return told


def broken(analysis: Analysis) -> int:
    """How many findings break a rule."""
    return sum(each.outcome.verdict == "breaks" for each in analysis.findings)


def sums(sizing: Sizing) -> str:
    """How many changes, and the findings before and after."""
    told = counted("1 change.", "{count} changes.", len(sizing.changes))
    return told + tr(" Findings that break a rule: {before} before, {after} after.").format(
        before=broken(sizing.before), after=broken(sizing.after)
    )


def explanation(sizing: Sizing, boat: str) -> str:
    """What was done and why, as a page that a person reads."""
    lines = [f"{boat}: {counted('1 change', '{count} changes', len(sizing.changes))}"]
    each = enumerate(zip(texts(sizing), sizing.changes, strict=True), 1)
    lines += [f"  {number:>2}  {what}\n      {change.why}" for number, (what, change) in each]
    lines += ["", "Left, since no size in stock cures it, with what would:"] if sizing.left else []
    return "\n".join([*lines, *_listed(sizing.left)])


def _listed(texts: Iterable[str]) -> list[str]:
    return [f"  · {text}" for text in texts]

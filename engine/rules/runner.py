"""Running the rules over a boat. A rule that crashes becomes a finding against the tool, never silence."""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Iterable
from functools import cache
from importlib import import_module

import msgspec

import engine.rules
from engine.graph.boat import Boat
from engine.model.house import Deviation
from engine.model.network import Particulars
from engine.rules.api import TOOL_FAILED, Basis, Book, Finding, Outcome, Rule, Severity, Wording
from engine.rules.decisions import Decisions
from engine.rules.recall import Answered, Recall, parted

SEVERITY_ORDER: tuple[Severity, ...] = ("danger", "requirement", "advice")


class Tally(msgspec.Struct, frozen=True, kw_only=True):
    """What one rule had to say under one rulebook. All zero: the boat has nothing that it concerns."""

    rule_id: str
    book: Book
    meets: int = 0
    breaks: int = 0
    cannot_tell: int = 0

    @property
    def checks(self) -> int:
        """How many questions were asked."""
        return self.meets + self.breaks + self.cannot_tell


class Report(msgspec.Struct, frozen=True, kw_only=True):
    """Every finding, most serious first, and the count of what was checked."""

    findings: tuple[Finding, ...]
    tallies: tuple[Tally, ...]
    books: tuple[Book, ...]
    met: tuple[tuple[str, Book, Outcome], ...]
    """What meets its rule, for the conformity report: (rule id, book, outcome)."""
    idle: tuple[Deviation, ...] = ()
    """Deviations from a rule that was asked and finds nothing there: they can be withdrawn."""

    @property
    def checks(self) -> int:
        """Questions asked in all."""
        return sum(tally.checks for tally in self.tallies)

    @property
    def meets(self) -> int:
        """How many answers meet their rule; counted, whether or not `met` lists them."""
        return sum(tally.meets for tally in self.tallies)

    @property
    def not_applicable(self) -> tuple[Tally, ...]:
        """Rules that found nothing on the boat to ask about."""
        return tuple(tally for tally in self.tallies if tally.checks == 0)

    def count(self, verdict: str) -> int:
        """How many findings have the verdict; those that a deviation settles are left out."""
        return sum(finding.outcome.verdict == verdict and not finding.settled for finding in self.findings)

    @property
    def settled(self) -> tuple[Finding, ...]:
        """What breaks a rule and is left as it is, by somebody's decision."""
        return tuple(finding for finding in self.findings if finding.settled)


class SupersededError(Exception):
    """Nobody waits for this check any more."""


@cache
def load_rules() -> tuple[Rule, ...]:
    """Every rule, found by its place: engine/rules/<family>/<rule_name>.py; sorted by family and id."""
    found = []
    for module in pkgutil.walk_packages(engine.rules.__path__, "engine.rules."):
        if not module.ispkg and module.name.count(".") == 3:
            members = vars(import_module(module.name)).values()
            found += [member for member in members if isinstance(member, Rule)]
    return tuple(sorted(found, key=lambda each: (each.family, each.id)))


def books_of(particulars: Particulars) -> tuple[Book, ...]:
    """The rulebooks that apply to the boat. The US law binds boats with a petrol engine that is not an outboard; where
    fuel or engine is not stated it is asked as well."""
    books: list[Book] = []
    if "us" in particulars.rulebooks:
        bound = particulars.fuel in ("petrol", None) and particulars.engine in ("inboard", None)
        books += ["33cfr183", "e11"] if bound else ["e11"]
    if "iso" in particulars.rulebooks:
        books.append("iso13297")
    return tuple(books)


def run_rules(
    boat: Boat,
    books: tuple[Book, ...] | None = None,
    rules: Iterable[Rule] | None = None,
    superseded: Callable[[], bool] = lambda: False,
    *,
    slow: bool = False,
    recall: Recall | None = None,
) -> Report:
    """Ask every rule under every rulebook that applies; the slow ones only where `slow`. What `recall` has of a rule is not
    asked again.

    `superseded` is asked between rules; true: SupersededError.
    """
    asked = books_of(boat.network.particulars) if books is None else books
    listed = tuple(each for each in load_rules() if slow or not each.slow) if rules is None else tuple(rules)
    decided = Decisions(boat.network)
    if recall is not None:
        recall.turn_to(boat)
    findings: list[Finding] = []
    tallies: list[Tally] = []
    met: list[tuple[str, Book, Outcome]] = []
    for each in listed:
        if superseded():
            raise SupersededError
        for book in books_for(each, asked):
            answered = _answered(each, boat, book, recall)
            findings += [decided.finding(each, book, outcome) for outcome in answered.told]
            met += answered.met
            tallies.append(_tally(each, book, answered))
    findings.sort(key=order)
    idle = decided.idle(findings, {each.id for each in listed})
    return Report(findings=tuple(findings), tallies=tuple(tallies), books=asked, met=tuple(met), idle=idle)


def books_for(each: Rule, asked: tuple[Book, ...]) -> tuple[Book, ...]:
    return ("any",) if each.books == ("any",) else tuple(book for book in asked if book in each.books)


def _answered(each: Rule, boat: Boat, book: Book, recall: Recall | None) -> Answered:
    if recall is None:
        return _asked(lambda: parted(each, book, tuple(each.check(boat, book))))
    return recall.of(each, book) or recall.keep(each, book, _asked(lambda: recall.ask(each, book, boat)))


def _asked(ask: Callable[[], Answered]) -> Answered:
    try:
        return ask()
    except Exception as error:  # a crash must be seen, and the other rules must still be asked
        text = f"{type(error).__name__}: {error}"
        failed = Outcome(verdict="cannot-tell", code=TOOL_FAILED, subjects=(), values={"error": text}, lacks=(text,))
        return Answered(0, (), (failed,))


def _tally(each: Rule, book: Book, answered: Answered) -> Tally:
    breaks = sum(outcome.verdict == "breaks" for outcome in answered.told)
    cannot_tell = len(answered.told) - breaks
    return Tally(rule_id=each.id, book=book, meets=answered.meets, breaks=breaks, cannot_tell=cannot_tell)


def order(finding: Finding) -> tuple[int, int, str, tuple[str, ...]]:
    """Where a finding stands in a report: what is settled last, the most serious first."""
    told = 2 if finding.settled else 1 if finding.outcome.verdict == "cannot-tell" else 0
    return told, SEVERITY_ORDER.index(finding.severity), finding.rule.id, finding.outcome.subjects


def failed(finding: Finding) -> bool:
    """Whether the finding is against the tool: the rule itself crashed."""
    return finding.outcome.code == TOOL_FAILED


__all__ = [
    "Basis",
    "Report",
    "SupersededError",
    "Tally",
    "Wording",
    "books_of",
    "failed",
    "load_rules",
    "order",
    "run_rules",
]

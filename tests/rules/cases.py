"""The cases of the rules: boats in the sketch notation with what each rule must say of them.

One file for each rule, tests/rules/cases/<rule-id>.toml:

    never_cannot_tell = "Everything it asks is always on the drawing."   # only where the rule can always tell

    [[case]]
    name = "thin for its load"
    books = ["e11"]                       # rulebooks to ask; absent: all of the rule's
    boat = \"\"\"...\"\"\"                     # a sketch
    breaks = [{ code = "over-allowed", about = "W1" }]
    cannot_tell = [{ about = "W1", lacks = ["W1 size"] }]

Lists are complete: a finding that is not listed fails the case. A case with neither list must meet the rule at least
once. `about` is the first subject as the sketch calls it: a run's number, a part's designation, a way as A1.3. `lacks` may be
left out; it names fields as "W1 size".
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library, load_library
from engine.rules.api import Book, Outcome, Rule
from engine.sketch import read_sketch

FOLDER = Path(__file__).parent / "cases"


class Expected(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One answer that must come."""

    about: str
    code: str = ""
    lacks: tuple[str, ...] | None = None


class Case(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One boat and the answers of one rule."""

    name: str
    boat: str
    books: tuple[Book, ...] = ()
    breaks: tuple[Expected, ...] = ()
    cannot_tell: tuple[Expected, ...] = ()
    strange: tuple[str, ...] = ()
    """Designations of parts whose kind no library knows; a sketch cannot say that."""


class CaseFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All cases of a rule."""

    case: tuple[Case, ...]
    never_cannot_tell: str = ""


@cache
def library() -> Library:
    """The program's own device kinds."""
    return load_library()


@cache
def cases_of(rule_id: str) -> CaseFile:
    """The case file of a rule. Raises FileNotFoundError where there is none."""
    return msgspec.convert(tomllib.loads((FOLDER / f"{rule_id}.toml").read_text(encoding="utf-8")), CaseFile)


@cache
def boat_of(sketch: str, strange: tuple[str, ...] = ()) -> Boat:
    """The boat that the sketch describes; parts named in `strange` are of a kind that no library knows."""
    network = read_sketch(sketch, library()).network
    parts = tuple(
        msgspec.structs.replace(part, kind="no_such_kind") if part.designation in strange else part
        for part in network.parts
    )
    return Boat(msgspec.structs.replace(network, parts=parts), library())


def books_of_case(case: Case, rule: Rule) -> tuple[Book, ...]:
    """The rulebooks that the case is asked under."""
    return case.books or rule.books


def answers(case: Case, rule: Rule, book: Book) -> list[Outcome]:
    """Everything the rule says of the case's boat."""
    return list(rule.check(boat_of(case.boat, case.strange), book))


def name_of(key: str, boat: Boat) -> str:
    """A subject's key as the sketch calls it."""
    sort, _, rest = key.partition(":")
    if sort in ("boat", "class", "space"):
        return key if sort != "space" else rest
    if sort == "run" and rest in boat.runs:
        return boat.runs[rest].number or rest
    part_id, _, position = rest.partition("/")
    name = boat.parts[part_id].designation if part_id in boat.parts else rest
    return f"{name}.{position}" if position else name


def lack_of(lack: str, boat: Boat) -> str:
    """A missing field as the sketch calls it."""
    key, _, field = lack.partition(" ")
    return f"{name_of(key, boat)} {field}"

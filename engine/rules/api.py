"""What a rule is: a question put to the boat, answered for each thing it concerns with meets, breaks or cannot tell.

A rule is one file, engine/rules/<family>/<rule_name>.py, holding one function decorated with `rule`. The id names the wrong
pattern and reads well after "allow". The function yields an Outcome for everything it looked at, so that what was checked can be
counted; its docstring says, for a person, why it matters. Rules yield codes and values; sentences are made in messages.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from typing import Literal

import msgspec

from engine.graph.boat import Boat
from engine.model.house import Deviation
from engine.model.house import Severity as Severity

Verdict = Literal["meets", "breaks", "cannot-tell"]
Book = Literal["33cfr183", "e11", "iso13297", "any"]
"""Which rulebook is asked: the US law, the US voluntary standard, the international one; "any": the same under all."""
Status = Literal["published", "secondary", "memory", "computed", "practice"]
Shown = float | str
TOOL_FAILED = "tool-failed"
"""The code of a rule that crashed."""

Check = Callable[[Boat, Book], Iterator["Outcome"]]

BOOK_TITLES: Mapping[str, str] = {
    "33cfr183": "33 CFR 183 Subpart I (law)",
    "e11": "ABYC E-11 (voluntary standard)",
    "iso13297": "ISO 13297 (standard)",
    "any": "every rulebook",
}


class Basis(msgspec.Struct, frozen=True):
    """A clause that a rule rests on, in our own words, and how well it is known to us."""

    book: Book
    document: str
    """Document and edition: "33 CFR 183.455(b), 2015 edition"."""
    clause: str
    """What it says, in our own words."""
    status: Status


class Wording(msgspec.Struct, frozen=True):
    """How one finding code speaks. Texts are templates over the outcome's values, e.g. "{run} carries {design_a} A"."""

    severity: Severity
    sentence: str
    remedy: str
    formula: str = ""


class Parameter(msgspec.Struct, frozen=True):
    """A number that a rule uses, with unit and source."""

    name: str
    value: float
    unit: str
    source: str
    status: Status


class Later(Mapping[str, Shown]):
    """Values that are worked out when somebody reads them: most answers meet their rule and are only counted.

    The function must not look at loop variables: it is called when the loop is long over.
    """

    def __init__(self, make: Callable[[], Mapping[str, Shown]]) -> None:
        self._make = make
        self._made: Mapping[str, Shown] | None = None

    def _values(self) -> Mapping[str, Shown]:
        if self._made is None:
            self._made = self._make()
        return self._made

    def __getitem__(self, name: str) -> Shown:
        return self._values()[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._values())

    def __len__(self) -> int:
        return len(self._values())

    def __repr__(self) -> str:
        return repr(dict(self))


class Outcome(msgspec.Struct, frozen=True, kw_only=True):
    """One answer. `subjects` are keys ("run:w3", "part:p1", "position:p4/12"), the first is the one it is about.

    For "breaks" the code is one of the rule's wordings. For "cannot-tell", `lacks` names the missing fields as
    "KEY field" ("run:w3 length_m"); the code says what could not be decided. `path` are the keys of a way worth drawing.
    `status` is the weakest source of the numbers used, where it is weaker than the basis.
    """

    verdict: Verdict
    code: str
    subjects: tuple[str, ...]
    values: Mapping[str, Shown] = {}
    lacks: tuple[str, ...] = ()
    path: tuple[str, ...] = ()
    status: Status | None = None
    sources: tuple[str, ...] = ()
    """Tables and clauses the numbers came from, one text each."""


class Rule(msgspec.Struct, frozen=True, kw_only=True):
    """A rule with everything the handbook prints about it."""

    id: str
    family: str
    title: str
    why: str
    books: tuple[Book, ...]
    basis: tuple[Basis, ...]
    wordings: Mapping[str, Wording]
    parameters: tuple[Parameter, ...]
    needs: str
    """What the drawing must hold for the check to answer, in words."""
    check: Check
    slow: bool = False
    """Takes long: left out where an answer is wanted at once, and asked a little later."""


class Finding(msgspec.Struct, frozen=True, kw_only=True):
    """An outcome that a person must see, with the rule and the rulebook it came from."""

    rule: Rule
    book: Book
    severity: Severity
    outcome: Outcome
    graded: str = ""
    """Why the yard's house rules take it as graver or milder than the rule itself does; "" where they do not."""
    deviation: Deviation | None = None
    """Who left it as it is, and why."""

    @property
    def settled(self) -> bool:
        """Whether somebody has answered for leaving it so. A danger is never settled."""
        return self.deviation is not None and self.severity != "danger"

    @property
    def basis(self) -> tuple[Basis, ...]:
        """The clauses that count for this finding."""
        return tuple(basis for basis in self.rule.basis if self.book == "any" or basis.book in (self.book, "any"))


def rule(
    id: str,
    *,
    title: str,
    books: tuple[Book, ...],
    basis: tuple[Basis, ...],
    wordings: Mapping[str, Wording],
    parameters: tuple[Parameter, ...] = (),
    needs: str = "",
    slow: bool = False,
) -> Callable[[Check], Rule]:
    """Turn a generator function into a Rule; the family is its folder, the reason its docstring."""

    def make(check: Check) -> Rule:
        family = check.__module__.split(".")[-2]
        return Rule(
            id=id, family=family, title=title, why=" ".join((check.__doc__ or "").split()), books=books, basis=basis,
            wordings=wordings, parameters=parameters, needs=needs, check=check, slow=slow,
        )  # fmt: skip

    return make


def meets(code: str, *subjects: str, **values: Shown) -> Outcome:
    """The thing is as the rule wants it."""
    return Outcome(verdict="meets", code=code, subjects=subjects, values=values) if values else _plain(code, subjects)


@lru_cache(maxsize=65536)
def _plain(code: str, subjects: tuple[str, ...]) -> Outcome:
    """That a rule is met is said of thousands of things after every edit."""
    return Outcome(verdict="meets", code=code, subjects=subjects)


def breaks(code: str, *subjects: str, **values: Shown) -> Outcome:
    """The thing breaks the rule in the way the code says."""
    return Outcome(verdict="breaks", code=code, subjects=subjects, values=values)


def cannot_tell(code: str, *subjects: str, lacks: tuple[str, ...], **values: Shown) -> Outcome:
    """The drawing does not say enough; `lacks` names the fields."""
    return Outcome(verdict="cannot-tell", code=code, subjects=subjects, lacks=lacks, values=values)

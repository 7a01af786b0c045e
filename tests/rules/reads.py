"""What each rule reads of a boat, found by watching it: which fields of parts, ways and runs.

    python -m tests.rules.reads        # writes engine/data/reads.csv anew, from the cases of the rules and the samples

Records are given to the rule that note which of their fields is asked for.
"""

from __future__ import annotations

import csv
import io
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import msgspec

from engine.graph.boat import Boat
from engine.graph.currents import Currents
from engine.model import kept
from engine.model.network import Network, Part, Position, Run
from engine.rules.api import Book, Rule
from engine.rules.recall import DEMAND, FILE, spelt_out
from engine.rules.runner import books_for, books_of, load_rules
from tests.bench.boat import big_boat
from tests.graph.skeletons import apart
from tests.rules.cases import boat_of, cases_of
from tests.samples.boats import NAMES, document, library

Reads = dict[tuple[str, bool], set[str]]
"""(rule id, whether there was a finding) -> the fields."""

noted: set[str] = set()


def _noting(kind: type[msgspec.Struct], name: str) -> type[msgspec.Struct]:
    """A kind of record that notes as "name.field" which of its fields is read."""
    fields = frozenset(kind.__struct_fields__)

    def read(self: object, field: str) -> object:
        if field in fields:
            noted.add(f"{name}.{field}")
        return object.__getattribute__(self, field)

    body = {"__getattribute__": read, "__module__": __name__}
    made: type[msgspec.Struct] = type(kind)(f"Noting{kind.__name__}", (kind,), body, frozen=True, kw_only=True)
    return made


NotingPart, NotingRun, NotingWay = _noting(Part, "part"), _noting(Run, "run"), _noting(Position, "way")


class Values(dict[str, Any]):
    """Values of a part that note which of them is read; "value.*": all are looked through."""

    def get(self, key: str, default: Any = None) -> Any:
        noted.add(f"value.{key}")
        return super().get(key, default)

    def __getitem__(self, key: str) -> Any:
        noted.add(f"value.{key}")
        return super().__getitem__(key)

    def __contains__(self, key: object) -> bool:
        noted.add(f"value.{key}")
        return super().__contains__(key)

    def __iter__(self) -> Iterator[str]:
        noted.add("value.*")
        return super().__iter__()

    def items(self) -> Any:
        noted.add("value.*")
        return super().items()

    def keys(self) -> Any:
        noted.add("value.*")
        return super().keys()

    def values(self) -> Any:
        noted.add("value.*")
        return super().values()


def noting(network: Network) -> Network:
    """The network in records that note what is read of them."""
    parts = tuple(
        _as(
            NotingPart, part, values=Values(part.values), positions=tuple(_as(NotingWay, way) for way in part.positions)
        )
        for part in network.parts
    )
    return msgspec.structs.replace(network, parts=parts, runs=tuple(_as(NotingRun, run) for run in network.runs))


def _as(kind: type[msgspec.Struct], record: msgspec.Struct, **other: object) -> Any:
    return kind(**{field: getattr(record, field) for field in record.__struct_fields__} | other)


def reads_of(rule: Rule, network: Network, book: Book) -> tuple[bool, set[str]]:
    """Whether the rule has a finding on the boat, and what it read until all was said."""
    kept.forget()  # nothing is carried from the boat before
    boat = Boat(noting(network), library())
    noted.clear()
    with demand_apart(boat, network):
        told = [outcome for outcome in rule.check(boat, book) if outcome.verdict != "meets"]
        for outcome in told:
            spelt_out(outcome)
    return bool(told), set(noted)


@contextmanager
def demand_apart(boat: Boat, network: Network) -> Iterator[None]:
    """Have the currents in service noted as one thing: they are worked out of the same boat in plain records, with nothing
    shared, so that nothing they need has been looked up when the rule looks it up itself."""
    usual = vars(Currents)["demand"]
    with apart():
        plain = Boat(network, library()).demand

    def demand(currents: Currents) -> object:
        if currents._boat is not boat:
            return usual.__get__(currents, Currents)
        noted.add(DEMAND)
        return plain

    Currents.demand = property(demand)  # type: ignore[assignment,method-assign]
    try:
        yield
    finally:
        Currents.demand = usual  # type: ignore[method-assign]


def own_boats(rule: Rule) -> Iterator[tuple[Network, tuple[Book, ...]]]:
    """The boats of the rule's cases, each with the rulebooks to ask."""
    for case in cases_of(rule.id).case:
        yield boat_of(case.boat, case.strange).network, case.books or rule.books


def samples(rule: Rule) -> Iterator[tuple[Network, tuple[Book, ...]]]:
    """The samples and the boat of the speed goals."""
    networks = [*(document(name).network for name in NAMES), big_boat(library()).network]
    yield from ((network, books_for(rule, books_of(network.particulars))) for network in networks)


def gathered(rules: Iterable[Rule], boats: Any) -> Reads:
    """What the rules read on all these boats."""
    found: Reads = defaultdict(set)
    for rule in rules:
        for network, books in boats(rule):
            for book in books:
                finds, fields = reads_of(rule, network, book)
                found[rule.id, finds] |= fields
    return found


def text_of(found: Reads) -> str:
    """The table: of each rule what it reads where all is met, and what besides where there is a finding."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(("rule", "met", "besides"))
    for rule in load_rules():
        if not rule.slow:
            met, told = found.get((rule.id, False), set()), found.get((rule.id, True), set())
            table.writerow((rule.id, " ".join(sorted(met)), " ".join(sorted(told - met))))
    return out.getvalue()


def main() -> int:
    """Write the table."""
    asked = [rule for rule in load_rules() if not rule.slow]
    found: Reads = defaultdict(set)
    for boats in (own_boats, samples):
        for key, fields in gathered(asked, boats).items():
            found[key] |= fields
    Path(FILE).write_text(text_of(found), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""What was answered on the boat before: after an edit of fields only the rules that read one of them are asked again, and where
runs came or went those that read anything of runs.

Which fields a rule reads stands in engine/data/reads.csv: `met` where all is met, `besides` what more it reads where it has a
finding. The table is made by watching the rules (`python -m tests.rules.reads`); a test compares it. Only the editor's quick
check recalls anything: soon after it, and for every paper, all is asked from nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import zip_longest
from typing import TypeVar

import msgspec

from engine.electrics.tables import DATA, table_rows
from engine.graph.boat import Boat
from engine.model.network import Network, Part, Run
from engine.model.quantity import Value
from engine.model.slices import differs_besides
from engine.rules.api import TOOL_FAILED, Book, Outcome, Rule, Shown
from engine.rules.each import Each, Met, Turn, turn_between

Same = TypeVar("Same", Part, Run)

FILE = DATA / "reads.csv"
EVERY_OF_RUNS = frozenset(f"run.{field}" for field in Run.__struct_fields__)
DEMAND = "table.demand"
"""What stands in the table for the currents in service: whoever reads them reads nothing of what they follow from."""


class Answered(msgspec.Struct, frozen=True):
    """What one rule said under one rulebook: what meets it, and what a person must see."""

    meets: int
    met: tuple[tuple[str, Book, Outcome], ...]
    """As a Report lists it; nothing where it was only counted."""
    told: tuple[Outcome, ...]
    things: Met | None = None
    """Of a rule that asks each thing for itself: the things that met it."""


def parted(rule: Rule, book: Book, outcomes: Sequence[Outcome]) -> Answered:
    """The answers of a rule, parted."""
    counted = counted_only(outcomes)
    met = tuple([(rule.id, book, outcome) for outcome in outcomes if outcome.verdict == "meets"])
    return Answered(counted.meets, met, counted.told)


def counted_only(outcomes: Sequence[Outcome]) -> Answered:
    """The same, but that what meets the rule is counted, not listed."""
    told = tuple([outcome for outcome in outcomes if outcome.verdict != "meets"])
    return Answered(len(outcomes) - len(told), (), told)


def spelt_out(outcome: Outcome) -> Outcome:
    """The same with its values worked out, so that nothing reads the boat later."""
    values: Mapping[str, Shown] = dict(outcome.values)
    return msgspec.structs.replace(outcome, values=values)


@cache
def reads(rule_id: str, finds: bool) -> frozenset[str] | None:
    """The fields a rule reads ("run.size", "part.label", "way.rating_a", "value.running_a"; "value.*": all values); None
    where that is not known."""
    row = next((row for row in table_rows("reads") if row["rule"] == rule_id), None)
    if row is None:
        return None
    return frozenset(row["met"].split()) | (frozenset(row["besides"].split()) if finds else frozenset())


class Recall:
    """The answers of the last boat, as far as they hold for the one that is checked now."""

    def __init__(self) -> None:
        self._boat: Boat | None = None
        self._kept: dict[tuple[str, Book], Answered] = {}
        self._before: dict[tuple[str, Book], Answered] = {}
        """What was said of the boat before this one."""
        self.turn: Turn | None = None

    def turn_to(self, boat: Boat) -> None:
        """Forget what another boat may change."""
        before, self._boat = self._boat, boat
        if before is None:
            self._kept, self._before, self.turn = {}, {}, None
            return
        fields = _changed(before, boat)
        if fields != frozenset():
            self._before, self.turn = self._kept, turn_between(before, boat)
            self._kept = {key: said for key, said in self._kept.items() if fields and _holds(key[0], said, fields)}

    def settle(self) -> None:
        """Let go of the boat before, when every rule has been asked."""
        self._before, self.turn = {}, None

    def forget(self) -> None:
        """Have all asked anew."""
        self._boat = None

    def of(self, rule: Rule, book: Book) -> Answered | None:
        """What the rule said; None where it must be asked."""
        return self._kept.get((rule.id, book))

    def ask(self, rule: Rule, book: Book, boat: Boat) -> Answered:
        """Have the rule asked; of one that asks each thing for itself only what may be answered otherwise than before."""
        if not isinstance(rule.check, Each):
            return counted_only(tuple(rule.check(boat, book)))
        before = self._before.get((rule.id, book))
        if self.turn is None or before is None or before.things is None:
            said = rule.check.anew(boat, book)
        else:
            said = rule.check.again(self.turn, book, before.things)
        return Answered(said.meets, (), said.told, said.met)

    def keep(self, rule: Rule, book: Book, answered: Answered) -> Answered:
        """Note what it says, as it is shown."""
        kept = msgspec.structs.replace(answered, told=tuple(map(spelt_out, answered.told)))
        if not any(outcome.code == TOOL_FAILED for outcome in kept.told):
            self._kept[rule.id, book] = kept
        return kept


def _holds(rule_id: str, answered: Answered, fields: frozenset[str]) -> bool:
    known = reads(rule_id, bool(answered.told))
    return known is not None and not known & fields


def _changed(before: Boat, now: Boat) -> frozenset[str] | None:
    """The fields in which two boats differ, and DEMAND where in any core another current flows in service."""
    fields = changed(before.network, now.network)
    if not fields:
        return fields
    try:
        return fields if before.demand == now.demand else fields | {DEMAND}
    except Exception:  # the rules that need it will say so, each for itself
        return None


def changed(before: Network, now: Network) -> frozenset[str] | None:
    """The fields of parts, ways and runs in which two boats differ, all fields of runs where runs came or went; None where the
    boats differ in anything else."""
    parts = _differing("part", before.parts, now.parts)
    if parts is None or "part.positions" in parts or differs_besides(before, now):
        return None
    runs = _differing("run", before.runs, now.runs)
    return parts | (EVERY_OF_RUNS if runs is None else runs)


def _differing(kind: str, before: tuple[Same, ...], now: tuple[Same, ...]) -> frozenset[str] | None:
    """The fields in which the records differ; None where some came, went or changed places."""
    found: set[str] = set()
    for one, other in _pairs(before, now):
        if one is None or other is None or one.id != other.id:
            return None
        found |= _in_fields(kind, one, other)
    return frozenset(found)


def _pairs(before: tuple[Same, ...], now: tuple[Same, ...]) -> Iterator[tuple[Same | None, Same | None]]:
    return ((one, other) for one, other in zip_longest(before, now) if one is not other)


def _in_fields(kind: str, one: msgspec.Struct, other: msgspec.Struct) -> set[str]:
    """Where ways came, went or changed places, that is "part.positions"."""
    found: set[str] = set()
    for field in one.__struct_fields__:
        mine, others = getattr(one, field), getattr(other, field)
        if mine is others or mine == others:
            continue
        if field == "values":
            found |= _in_values(mine, others)
        elif field == "positions" and [way.key for way in mine] == [way.key for way in others]:
            for way, instead in zip(mine, others, strict=True):
                found |= _in_fields("way", way, instead)
        else:
            found.add(f"{kind}.{field}")
    return found


def _in_values(one: Mapping[str, Value], other: Mapping[str, Value]) -> set[str]:
    differing = {name for name in {*one, *other} if name not in one or name not in other or one[name] != other[name]}
    return {"value.*", *(f"value.{name}" for name in differing)}

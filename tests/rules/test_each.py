"""Rules that ask each thing for itself say after a turn what they would say of the boat anew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.model.network import Network, Run
from engine.rules.api import Book, Outcome, meets
from engine.rules.each import Each, Said, Turn, every_run, itself, of_each, turn_between
from engine.rules.recall import Recall, spelt_out
from engine.rules.runner import books_for, books_of, load_rules, run_rules
from tests.graph.skeletons import apart
from tests.graph.test_graphs import other_wiring
from tests.rules.test_recall import edited
from tests.samples.boats import NAMES, document, library, with_part, with_run

RULES = {rule.id: rule for rule in load_rules() if isinstance(rule.check, Each)}
CHECKS: dict[str, Each[object]] = {name: rule.check for name, rule in RULES.items() if isinstance(rule.check, Each)}
ROUNDS = 12


def shown(said: Said) -> object:
    """All that is said, as it is shown."""
    return said.meets, [spelt_out(outcome) for outcome in said.told], said.met


Asked = tuple[str, Book]
"""The id of a rule, and the book under which it is asked."""


def asked_of(network: Network) -> tuple[Asked, ...]:
    """All that is asked of the boat."""
    books = books_of(network.particulars)
    return tuple((rule.id, book) for rule in RULES.values() for book in books_for(rule, books))


def anew(network: Network) -> dict[Asked, Said]:
    """What all rules say of the boat, with nothing taken over from another."""
    with apart():
        boat = Boat(network, library())
        return {(name, book): CHECKS[name].anew(boat, book) for name, book in asked_of(network)}


def hold(before: Boat, now: Boat, said: Mapping[Asked, Said], expected: Mapping[Asked, Said]) -> bool:
    """Whether there is a turn; where there is one all rules say what is expected."""
    turn = turn_between(before, now)
    if turn is None:
        return False
    for name, book in asked_of(now.network):
        again = CHECKS[name].again(turn, book, said[name, book].met)
        assert shown(again) == shown(expected[name, book]), f"{name} {book}"
    return True


@pytest.mark.parametrize("name", NAMES)
def test_after_a_turn_each_rule_says_what_it_would_say_anew(name: str) -> None:
    random, network = Random(f"each {name}"), document(name).network
    before, said, turns = Boat(network, library()), anew(network), 0
    for _ in range(ROUNDS):
        edit = random.choice((edited, lambda random, each: other_wiring(random, each, network)))
        now = Boat(edit(random, before.network), library())
        expected = anew(now.network)
        turns += hold(before, now, said, expected)
        before, said = now, expected
    assert turns > ROUNDS // 3


def unknown(network: Network) -> Iterator[Network]:
    """The boat with each field of a run and each value of a part, one at a time, unknown in one of those that have it."""
    random = Random("unknown")
    for field in ("insulation_c", "length_m", "length_basis", "stranded", "tinned", "cover"):
        yield with_run(network, msgspec.structs.replace(random.choice(network.runs), **{field: None}))
    for field in sorted({field for part in network.parts for field in part.values}):
        part = random.choice([part for part in network.parts if field in part.values])
        yield with_part(network, msgspec.structs.replace(part, values={**part.values, field: None}))


@pytest.mark.parametrize("name", ["quill_26_launch", "marguerite_as_built"])
def test_after_a_field_became_unknown_each_rule_says_what_it_would_say_anew(name: str) -> None:
    network = document(name).network
    before, said = Boat(network, library()), anew(network)
    for other in unknown(network):
        assert hold(before, Boat(other, library()), said, anew(other)) or other == network


def asking(asked: list[str]) -> Each[Run]:
    """A rule that notes which runs it is asked of."""

    @of_each(every_run, itself)
    def check(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
        asked.append(run.id)
        yield meets("any", f"run:{run.id}")

    return check


def test_only_what_a_turn_touches_is_asked_again() -> None:
    asked: list[str] = []
    rule = msgspec.structs.replace(RULES["solid-conductor"], id="not-in-the-table", check=asking(asked), books=("any",))
    network, recall = document("quill_34").network, Recall()

    def after(now: Network) -> list[str]:
        asked.clear()
        report = run_rules(Boat(now, library()), rules=(rule,), recall=recall)
        assert report.meets == len(now.runs)
        return asked.copy()

    first, *others = network.runs
    assert len(after(network)) == len(network.runs)
    assert after(msgspec.structs.replace(network, runs=tuple(others))) == []
    assert after(network) == [first.id]
    assert after(with_run(network, msgspec.structs.replace(others[0], size="1 AWG"))) == [others[0].id]
    assert set(after(network)) == {others[0].id}
    part = next(part for part in network.parts if part.id == first.a.part)
    at = {run.id for run in network.runs if part.id in (run.a.part, run.b.part)}
    assert set(after(with_part(network, msgspec.structs.replace(part, label="Other")))) == at
    swapped = msgspec.structs.replace(network, runs=(others[0], first, *others[1:]))
    assert len(after(swapped)) == len(network.runs)


def test_what_a_turn_touches_is_named() -> None:
    network = document("quill_34").network
    first, second, *others = network.runs
    longer = msgspec.structs.replace(second, length_m=99.0)
    turn = turn_between(
        Boat(network, library()), Boat(msgspec.structs.replace(network, runs=(longer, *others)), library())
    )
    assert turn is not None
    assert turn.runs == {first.id, second.id}
    assert not turn.parts
    assert turn.ports == {(end.part, end.port) for run in (first, second) for end in (run.a, run.b)}
    assert turn.parts_at({first.id}) == {first.a.part, first.b.part}

    def lengths(boat: Boat) -> Mapping[str, object]:
        return {run.id: run.length_m for run in boat.network.runs}

    assert turn.differing(lengths) == {first.id, second.id}


def test_what_had_a_finding_is_asked_again_whatever_was_touched() -> None:
    said: list[str] = []

    @of_each(every_run, lambda turn, book: frozenset())
    def check(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
        said.append(run.id)
        yield Outcome(verdict="breaks" if run.number == "1" else "meets", code="x", subjects=(f"run:{run.id}",))

    boat = Boat(document("quill_34").network, library())
    one = boat.network.runs[0]
    broken = Boat(with_run(boat.network, msgspec.structs.replace(one, number="1")), library())
    turn = turn_between(broken, broken) or Turn(broken, broken)
    before = check.anew(broken, "any")
    said.clear()
    assert len(check.again(turn, "any", before.met).told) == len(before.told) > 0
    assert set(said) == {outcome.subjects[0].removeprefix("run:") for outcome in before.told}

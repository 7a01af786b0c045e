"""What is recalled from the boat before is what would be said of this one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from random import Random

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.model.network import Network, Option, Part, Run
from engine.rules.api import Book, Outcome, Rule, cannot_tell
from engine.rules.recall import EVERY_OF_RUNS, Recall, changed, reads
from engine.rules.runner import Report, books_for, books_of, load_rules, run_rules
from tests.graph.skeletons import apart
from tests.rules.reads import own_boats, reads_of
from tests.samples.boats import NAMES, document, library, with_part, with_run

QUICK = tuple(rule for rule in load_rules() if not rule.slow)
WATCHED = ("quill_34", "quill_26_launch")
EDITS = 40


def told(report: Report) -> object:
    """All of a report but the list of what is met."""
    findings = [(each.rule.id, each.book, each.severity, each.outcome.subjects, each.outcome.code, each.outcome.lacks,
                 dict(each.outcome.values), each.outcome.path, each.deviation) for each in report.findings]  # fmt: skip
    return findings, report.tallies, report.books, report.idle


@pytest.mark.parametrize("rule", QUICK, ids=lambda rule: rule.id)
def test_what_a_rule_reads_stands_in_the_table(rule: Rule) -> None:
    samples = (
        (document(name).network, books_for(rule, books_of(document(name).network.particulars))) for name in WATCHED
    )
    for network, books in (*own_boats(rule), *samples):
        for book in books:
            finds, fields = reads_of(rule, network, book)
            known = reads(rule.id, finds)
            assert known is not None
            assert fields <= known, "run python -m tests.rules.reads"


@pytest.mark.parametrize("name", NAMES)
def test_after_any_edit_of_a_field_the_same_is_said_as_from_nothing(name: str) -> None:
    random, recall, network = Random(name), Recall(), document(name).network
    for _ in range(EDITS):
        network = edited(random, network)
        recalled = run_rules(Boat(network, library()), recall=recall)
        with apart():
            assert told(recalled) == told(run_rules(Boat(network, library())))


def edited(random: Random, network: Network) -> Network:
    """With another value in one field of a part, a way or a run, now and then a run, a part or a way less or more."""
    fields = (_other_run, _other_run, _other_end, _other_part, _other_value, _other_value, _other_way)
    edit = random.choice((*fields, _run_less, _run_more, _part_less, _part_more, _other_kind, _way_less))
    return edit(random, network)


def _other_run(random: Random, network: Network) -> Network:
    run, like = random.choice(network.runs), random.choice(network.runs)
    field = random.choice([name for name in Run.__struct_fields__ if name not in ("id", "a", "b", "poles", "colours")])
    return with_run(network, msgspec.structs.replace(run, **{field: getattr(like, field)}))


def _other_end(random: Random, network: Network) -> Network:
    """A run that lands where another one does, with that one's poles now and then."""
    run, like = random.choice(network.runs), random.choice(network.runs)
    field = random.choice(("a", "b", "poles"))
    return with_run(network, msgspec.structs.replace(run, **{field: getattr(like, field)}))


def _other_part(random: Random, network: Network) -> Network:
    part, like = random.choice(network.parts), random.choice(network.parts)
    field = random.choice(("designation", "label", "compartment", "enclosure", "evidence", "note"))
    return with_part(network, msgspec.structs.replace(part, **{field: getattr(like, field)}))


def _other_value(random: Random, network: Network) -> Network:
    part = random.choice([part for part in network.parts if part.values])
    field = random.choice(sorted(part.values))
    likes = [each.values.get(field) for each in network.parts if field in each.values]
    return with_part(
        network, msgspec.structs.replace(part, values={**part.values, field: random.choice((*likes, None))})
    )


def _other_way(random: Random, network: Network) -> Network:
    panels = [part for part in network.parts if part.positions]
    if not panels:
        return network
    panel = random.choice(panels)
    at, like = random.randrange(len(panel.positions)), random.choice(panel.positions)
    way = msgspec.structs.replace(like, key=panel.positions[at].key)
    return with_part(network, msgspec.structs.replace(
        panel, positions=(*panel.positions[:at], way, *panel.positions[at + 1 :])))  # fmt: skip


def _run_less(random: Random, network: Network) -> Network:
    at = random.randrange(len(network.runs))
    return msgspec.structs.replace(network, runs=(*network.runs[:at], *network.runs[at + 1 :]))


def _run_more(random: Random, network: Network) -> Network:
    """One like another, from where that one begins to where a third ends; anywhere in the list."""
    like, other, at = random.choice(network.runs), random.choice(network.runs), random.randrange(len(network.runs))
    run = msgspec.structs.replace(like, id=f"more{len(network.runs)}-{random.random()}", b=other.b)
    return msgspec.structs.replace(network, runs=(*network.runs[:at], run, *network.runs[at:]))


def _part_less(random: Random, network: Network) -> Network:
    """With its runs, or without."""
    gone, alone = random.choice(network.parts), random.random() < 0.3
    runs = tuple(run for run in network.runs if alone or gone.id not in (run.a.part, run.b.part))
    return msgspec.structs.replace(network, parts=tuple(part for part in network.parts if part is not gone), runs=runs)


def _part_more(random: Random, network: Network) -> Network:
    """One like another, anywhere in the list; wired as that one is, or not yet."""
    like, at = random.choice(network.parts), random.randrange(len(network.parts))
    name = f"p{random.random()}"
    more = msgspec.structs.replace(like, id=name)
    runs = [
        msgspec.structs.replace(run, id=f"r{random.random()}", b=msgspec.structs.replace(run.b, part=name))
        for run in network.runs
        if run.b.part == like.id and random.random() < 0.7
    ]
    return msgspec.structs.replace(
        network, parts=(*network.parts[:at], more, *network.parts[at:]), runs=(*network.runs, *runs)
    )


def _other_kind(random: Random, network: Network) -> Network:
    """A part that is what another one is."""
    part, like = random.choice(network.parts), random.choice(network.parts)
    return with_part(
        network, msgspec.structs.replace(part, kind=like.kind, values=like.values, positions=like.positions)
    )


def _way_less(random: Random, network: Network) -> Network:
    panels = [part for part in network.parts if part.positions]
    if not panels:
        return network
    panel = random.choice(panels)
    at = random.randrange(len(panel.positions))
    return with_part(
        network, msgspec.structs.replace(panel, positions=(*panel.positions[:at], *panel.positions[at + 1 :]))
    )


def test_only_the_rules_that_read_what_changed_are_asked() -> None:
    asked: list[str] = []
    rules = tuple(msgspec.structs.replace(rule, check=noting(rule, asked)) for rule in QUICK)
    network, recall = document("quill_34").network, Recall()
    run_rules(Boat(network, library()), rules=rules, recall=recall)
    assert len(set(asked)) > 80
    asked.clear()
    run = network.runs[0]
    recoloured = with_run(network, msgspec.structs.replace(run, colours=("BN",) * len(run.colours)))
    run_rules(Boat(recoloured, library()), rules=rules, recall=recall)
    assert "wrong-colour" in asked
    assert len(set(asked)) < 10
    asked.clear()
    run_rules(Boat(recoloured, library()), rules=rules, recall=recall)
    assert not asked
    recall.forget()
    run_rules(Boat(recoloured, library()), rules=rules, recall=recall)
    assert len(set(asked)) > 80


def noting(rule: Rule, asked: list[str]) -> Callable[[Boat, Book], Iterator[Outcome]]:
    """The rule's question, which notes that it was asked."""

    def check(boat: Boat, book: Book) -> Iterator[Outcome]:
        asked.append(rule.id)
        yield from rule.check(boat, book)

    return check


def test_a_rule_that_crashed_is_asked_again() -> None:
    def check(boat: Boat, book: Book) -> Iterator[Outcome]:
        raise ZeroDivisionError
        yield cannot_tell("never", lacks=())

    rule = msgspec.structs.replace(QUICK[0], check=check, books=("any",))
    network, recall = document("quill_34").network, Recall()
    for _ in range(2):
        report = run_rules(Boat(network, library()), rules=(rule,), recall=recall)
        assert [each.outcome.code for each in report.findings] == ["tool-failed"]
        assert recall.of(rule, "any") is None


def test_a_rule_that_the_table_does_not_know_is_asked_after_every_edit() -> None:
    rule = msgspec.structs.replace(QUICK[0], id="not-in-the-table", books=("any",))
    network, recall = document("quill_34").network, Recall()
    run_rules(Boat(network, library()), rules=(rule,), recall=recall)
    assert recall.of(rule, "any") is not None
    recall.turn_to(Boat(with_run(network, msgspec.structs.replace(network.runs[0], note="Other")), library()))
    assert recall.of(rule, "any") is None


def test_fields_that_differ_are_named() -> None:
    network = document("quill_34").network
    run = network.runs[0]
    assert changed(network, network) == frozenset()
    assert changed(network, with_run(network, msgspec.structs.replace(run, size="1 AWG", number="Z1"))) == {
        "run.size", "run.number",
    }  # fmt: skip
    panel = next(part for part in network.parts if part.positions)
    renamed = (msgspec.structs.replace(panel.positions[0], label="Z"), *panel.positions[1:])
    assert changed(network, with_part(network, msgspec.structs.replace(panel, positions=renamed))) == {"way.label"}
    fuller = msgspec.structs.replace(panel, values={**panel.values, "new": 1.0})
    assert changed(network, with_part(network, fuller)) == {"value.new", "value.*"}
    unknown = msgspec.structs.replace(panel, values={**panel.values, "new": None})
    assert changed(network, with_part(network, unknown)) == {"value.new", "value.*"}


def test_where_runs_came_went_or_changed_places_every_field_of_runs_differs() -> None:
    network = document("quill_34").network
    first, second, *others = network.runs
    for runs in (
        (second, *others),
        (second, first, *others),
        (*network.runs, msgspec.structs.replace(first, id="w900")),
    ):
        assert changed(network, msgspec.structs.replace(network, runs=runs)) == EVERY_OF_RUNS
    more = with_part(network, msgspec.structs.replace(network.parts[0], label="Other"))
    assert changed(network, msgspec.structs.replace(more, runs=network.runs[1:])) == EVERY_OF_RUNS | {"part.label"}
    assert {"run.a", "run.size"} < EVERY_OF_RUNS


@pytest.mark.parametrize("other", [
    lambda each: {"parts": (*each.parts, Part(id="p900", kind="lamp"))},
    lambda each: {"options": (*each.options, Option(id="o9", name="Z"))},
    lambda each: {"parts": tuple(msgspec.structs.replace(part, positions=part.positions[1:]) for part in each.parts)},
])  # fmt: skip
def test_where_more_than_fields_differs_anything_may_be_said(other: Callable[[Network], dict[str, object]]) -> None:
    network = document("quill_34").network
    assert changed(network, msgspec.structs.replace(network, **other(network))) is None

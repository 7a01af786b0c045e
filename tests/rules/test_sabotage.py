"""A clean boat stays silent; take any one device away or enlarge it, or thin any one conductor, and a finding names it.

The boat is quill_34.txt: our own, after the yard's sloop. "Names it": a finding that was not there before has the run, the
device or a conductor beside the device among its subjects or on its path.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.model.network import Network, Part, Position, Run
from engine.rules.api import Book, Finding, Rule
from engine.rules.runner import load_rules, run_rules
from engine.sketch import read_sketch
from tests.rules.cases import library

SKETCH = (Path(__file__).parent / "quill_34.txt").read_text(encoding="utf-8")
BOOKS: tuple[Book, ...] = ("e11",)
FAMILIES = ("conductors", "overcurrent")
THINNED = "20 AWG"


@cache
def clean() -> Network:
    return read_sketch(SKETCH, library()).network


@cache
def rules() -> tuple[Rule, ...]:
    return tuple(rule for rule in load_rules() if rule.family in FAMILIES)


def findings(network: Network, books: tuple[Book, ...] = BOOKS) -> tuple[Finding, ...]:
    return run_rules(Boat(network, library()), books, rules()).findings


@pytest.mark.parametrize("book", ["e11", "33cfr183"])
def test_the_clean_boat_is_silent(book: Book) -> None:
    report = run_rules(Boat(clean(), library()), (book,), rules())
    assert report.findings == ()
    assert report.checks > 300


def with_part(part: Part) -> Network:
    parts = tuple(part if each.id == part.id else each for each in clean().parts)
    return msgspec.structs.replace(clean(), parts=parts)


def with_run(run: Run) -> Network:
    runs = tuple(run if each.id == run.id else each for each in clean().runs)
    return msgspec.structs.replace(clean(), runs=runs)


def with_position(part: Part, position: Position) -> Network:
    ways = tuple(position if each.key == position.key else each for each in part.positions)
    return with_part(msgspec.structs.replace(part, positions=ways))


def named(network: Network, keys: set[str]) -> bool:
    return any(keys & {*found.outcome.subjects, *found.outcome.path} for found in findings(network))


def _devices() -> Iterator[object]:
    for part in clean().parts:
        kind = library()[part.kind]
        if kind.role == "protection":
            yield pytest.param(part, None, id=part.designation)
        for position in part.positions:
            if position.state == "used":
                yield pytest.param(part, position, id=f"{part.designation}.{position.key}")


def beside(part: Part, position: Position | None) -> set[str]:
    """The device and the runs that land on it."""
    ports = {f"p{position.key}"} if position else {"a", "b"}
    runs = {
        f"run:{run.id}" for run in clean().runs for end in (run.a, run.b) if end.part == part.id and end.port in ports
    }
    return runs | {f"position:{part.id}/{position.key}" if position else f"part:{part.id}"}


@pytest.mark.parametrize(("part", "position"), list(_devices()))
def test_a_device_taken_away_is_missed(part: Part, position: Position | None) -> None:
    if position is not None:
        gone = with_position(part, msgspec.structs.replace(position, device="none"))
    else:
        gone = with_part(msgspec.structs.replace(part, kind="ammeter", values={"rating_a": 1000.0}))
    assert named(gone, beside(part, position))


@pytest.mark.parametrize(("part", "position"), list(_devices()))
def test_a_device_enlarged_is_noticed(part: Part, position: Position | None) -> None:
    if position is not None:
        large = msgspec.structs.replace(position, rating_a=200.0, holder_largest_a=200.0)
        assert named(with_position(part, large), beside(part, position))
    else:
        rating = float(part.values["rating_a"]) * 4  # type: ignore[arg-type]
        values = {**part.values, "rating_a": rating, "holder_largest_a": rating}
        assert named(with_part(msgspec.structs.replace(part, values=values)), beside(part, None))


@pytest.mark.parametrize("run", [pytest.param(run, id=run.number) for run in clean().runs])
def test_a_conductor_thinned_is_noticed(run: Run) -> None:
    assert named(with_run(msgspec.structs.replace(run, size=THINNED)), {f"run:{run.id}"})

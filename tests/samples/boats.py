"""The sample boats as the tests use them: the boat files, the sketches they must equal, and what a check says of them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import msgspec

from engine.files.opening import open_boat
from engine.graph.boat import Boat
from engine.library.device import Library, load_library
from engine.model.document import Document
from engine.model.network import Network, Part, Position, Run
from engine.pipeline import Analysis, analyse
from engine.rules.api import Book, Rule
from engine.rules.runner import load_rules, run_rules

HERE = Path(__file__).parent
SAMPLES = HERE.parent.parent / "sample_boats"
NAMES = ("quill_34", "quill_26_launch", "quill_52", "marguerite_as_built")


@cache
def library() -> Library:
    """The program's devices."""
    return load_library()


def boat_file(name: str) -> Path:
    """The boat file of a sample."""
    return SAMPLES / f"{name}.boat"


@cache
def document(name: str) -> Document:
    """The sample as it is opened."""
    return open_boat(boat_file(name), library())


@cache
def analysis(name: str) -> Analysis:
    """What a check under its own rulebooks says."""
    return analyse(document(name).network, library(), slow=True)


def with_part(network: Network, part: Part) -> Network:
    """The network with another part of the same id."""
    parts = tuple(part if each.id == part.id else each for each in network.parts)
    return msgspec.structs.replace(network, parts=parts)


def with_noughts(network: Network) -> Iterator[tuple[str, Network]]:
    """The network with each number of each part at nothing in turn, and what that is of."""
    for part in network.parts:
        for field, value in part.values.items():
            if isinstance(value, (float, int, tuple)) and not isinstance(value, bool):
                without = msgspec.structs.replace(part, values={**part.values, field: 0.0})
                yield f"{part.kind} {field}", with_part(network, without)


def with_run(network: Network, *changed: Run) -> Network:
    """The network with other runs of the same ids."""
    by_id = {run.id: run for run in changed}
    return msgspec.structs.replace(network, runs=tuple(by_id.get(run.id, run) for run in network.runs))


def with_position(network: Network, part: Part, position: Position) -> Network:
    """The network with another way of the same key in a panel."""
    ways = tuple(position if each.key == position.key else each for each in part.positions)
    return with_part(network, msgspec.structs.replace(part, positions=ways))


def named(network: Network, keys: set[str], books: tuple[Book, ...], first: tuple[str, ...]) -> str:
    """The id of a rule that is broken by one of the keys; "" if none is. Asks the rules `first` first, to be quick."""
    boat = Boat(network, library())
    for rule in sorted(load_rules(), key=lambda each: _rank(each, first)):
        for finding in run_rules(boat, books, (rule,)).findings:
            if finding.outcome.verdict == "breaks" and keys & set(finding.outcome.subjects):
                return finding.rule.id
    return ""


def _rank(rule: Rule, first: tuple[str, ...]) -> int:
    return first.index(rule.id) if rule.id in first else len(first)

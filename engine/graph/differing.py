"""What differs between two boats in their wiring: the parts, and the terminals at which something is wired otherwise."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import TypeVar

import msgspec

from engine.graph.edges import Within, goes_through
from engine.graph.poles import Keyed, Node, RunRef, landing
from engine.model.kept import differing_keys

Key = TypeVar("Key", bound=Hashable)


class Wired(msgspec.Struct, frozen=True):
    """The parts of a boat, and its runs."""

    within: Within
    runs: tuple[RunRef, ...]


class Difference(msgspec.Struct, frozen=True):
    """The parts that came, went or are others, and the terminals at which something is wired otherwise, with those that only one of
    the two boats has."""

    parts: frozenset[str]
    runs: frozenset[str]
    """Those that are others or land on these parts."""
    at: frozenset[Node]
    inside: Sequence[Keyed]
    """The edges inside these parts, of either boat."""


def difference(before: Wired, now: Wired) -> Difference | None:
    """What differs. None where a run that came or went, or one at a part that differs, lands on no terminal, and where parts or
    runs that stayed changed places."""
    parts = _others(
        {str(each[0]): each for each in before.within.parts}, {str(each[0]): each for each in now.within.parts}
    )
    runs = _others({run.id: run for run in before.runs}, {run.id: run for run in now.runs})
    if parts is None or runs is None:
        return None
    concerned, at, inside = runs, frozenset[Node](), list[Keyed]()
    for wired in (before, now):
        there = [run for run in wired.runs if run.id in runs or run.a.part in parts or run.b.part in parts]
        landed = _landings(wired.within, there)
        if landed is None:
            return None
        concerned |= {run.id for run in there}
        terminals = [node for node in wired.within.nodes if node[0] in parts]
        here = [keyed for keyed in wired.within.links if keyed[0][0] in parts]
        at |= landed.union(terminals, *(keyed[:2] for keyed in here))
        inside += here
    return Difference(parts, concerned, at, inside)


def _others(before: Mapping[Key, object], now: Mapping[Key, object]) -> frozenset[Key] | None:
    """The keys of other entries; None where those that stayed are not in the same order."""
    others = frozenset(differing_keys(before, now))
    stayed = [key for key in before if key not in others]
    return others if stayed == [key for key in now if key not in others] else None


def _landings(within: Within, runs: Iterable[RunRef]) -> frozenset[Node] | None:
    at = frozenset(
        landing(run, end, pole, within.terminals) for run in runs for pole in run.poles for end in (run.a, run.b)
    )
    return at if at <= within.terminals and not any(goes_through(node, within) for node in at) else None

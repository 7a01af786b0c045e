"""What differs between two boats in their wiring: the parts, and the terminals at which something is wired otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

import msgspec

from engine.graph.edges import Within, goes_through
from engine.graph.poles import Keyed, Node, RunRef, landing
from engine.model.kept import differing_keys, shared_ends

Member = TypeVar("Member")


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
    between_terminals: bool
    """Whether they all lie between terminals."""


def difference(before: Wired, now: Wired) -> Difference | None:
    """What differs. None where a run that came or went, or one at a part that differs, lands on no terminal, and where parts or
    runs that stayed changed places."""
    parts = _others(before.within.parts, now.within.parts, lambda part: str(part[0]))
    runs = _others(before.runs, now.runs, lambda run: run.id)
    if parts is None or runs is None:
        return None
    concerned, at, inside, between = runs, frozenset[Node](), list[Keyed](), True
    for wired in (before, now):
        there = [
            run for run in wired.runs if run.id in runs or (parts and not parts.isdisjoint((run.a.part, run.b.part)))
        ]
        landed = _landings(wired.within, there)
        if landed is None:
            return None
        concerned, at = concerned.union(run.id for run in there), at | landed
        if parts:
            terminals = [node for node in wired.within.nodes if node[0] in parts]
            here = [keyed for keyed in wired.within.links if keyed[0][0] in parts]
            ends = frozenset(node for keyed in here for node in keyed[:2])
            at |= ends.union(terminals)
            inside += here
            between = between and ends <= wired.within.terminals
    return Difference(parts, concerned, at, inside, between)


def _others(before: Sequence[Member], now: Sequence[Member], name_of: Callable[[Member], str]) -> frozenset[str] | None:
    """The names of those that came, went or are others; None where those that stayed are not in the same order."""
    start, end = shared_ends(before, now)
    old, new = ({name_of(each): each for each in those[start : len(those) - end]} for those in (before, now))
    names = frozenset(differing_keys(old, new))
    stayed = [name for name in old if name not in names]
    return names if stayed == [name for name in new if name not in names] else None


def _landings(within: Within, runs: Iterable[RunRef]) -> frozenset[Node] | None:
    """Where runs land; None where that is no terminal, as where a core goes straight through an in-line part."""
    at = frozenset(
        landing(run, end, pole, within.terminals) for run in runs for pole in run.poles for end in (run.a, run.b)
    )
    return at if at <= within.terminals and not any(goes_through(node, within) for node in at) else None

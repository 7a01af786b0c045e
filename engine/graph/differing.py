"""What differs between two boats in their wiring: the parts, and the terminals at which something is wired otherwise."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from itertools import chain
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
    at: frozenset[Node]
    inside: tuple[Keyed, ...]
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
    at: frozenset[Node] = frozenset()
    for wired in (before, now):
        landed = _landings(wired, parts, runs)
        if landed is None:
            return None
        inside = chain(wired.within.nodes, *(keyed[:2] for keyed in wired.within.links))
        at |= landed.union(node for node in inside if node[0] in parts)
    links = (keyed for wired in (before, now) for keyed in wired.within.links if keyed[0][0] in parts)
    return Difference(parts, at, tuple(links))


def _others(before: Mapping[Key, object], now: Mapping[Key, object]) -> frozenset[Key] | None:
    """The keys of other entries; None where those that stayed are not in the same order."""
    others = frozenset(differing_keys(before, now))
    stayed = [key for key in before if key not in others]
    return others if stayed == [key for key in now if key not in others] else None


def _landings(wired: Wired, parts: frozenset[str], runs: frozenset[str]) -> frozenset[Node] | None:
    within = wired.within
    concerned = [run for run in wired.runs if run.id in runs or run.a.part in parts or run.b.part in parts]
    at = frozenset(
        landing(run, end, pole, within.terminals) for run in concerned for pole in run.poles for end in (run.a, run.b)
    )
    return at if at <= within.terminals and not any(goes_through(node, within) for node in at) else None

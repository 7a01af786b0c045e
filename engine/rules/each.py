"""Rules that ask each thing for itself, so that after an edit they need ask again only of what it touches.

Such a rule says of which things it asks and, after a turn from one boat to the next, which of these may be answered otherwise.
What met it and is not touched still meets it. Whatever else was said is asked anew, since a finding names things and numbers that
may be others.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping
from functools import cached_property
from typing import Any, Generic, TypeVar

import msgspec

from engine.graph.boat import Boat
from engine.graph.demand import Demand
from engine.graph.flows import Held
from engine.graph.islands import Islands
from engine.graph.poles import Node
from engine.model.kept import differing_keys
from engine.model.network import Run
from engine.model.slices import differs_besides
from engine.rules.api import Book, Outcome

Thing = TypeVar("Thing")
Things = Callable[[Boat, Book], Mapping[Any, Thing]]
"""What a rule asks of, by keys that tell one from another, in the order in which it is asked."""
Ask = Callable[[Boat, Book, Thing], Iterable[Outcome]]
Met = Mapping[Hashable, int]
"""Of each thing that met its rule how many answers said so."""


class Turn:
    """Two boats that differ in nothing but parts and runs that came, went or are others now; those that stayed are in the same
    order."""

    def __init__(self, before: Boat, now: Boat) -> None:
        self.before, self.now = before, now
        self.parts = frozenset(differing_keys(before.parts, now.parts))
        """The ids of those parts."""
        self.runs = frozenset(differing_keys(before.runs, now.runs))
        """The ids of those runs."""
        self._differing: dict[Callable[[Boat], Mapping[Any, object]], frozenset[Any]] = {}

    def differing(self, table: Callable[[Boat], Mapping[Any, object]]) -> frozenset[Any]:
        """The keys by which a table of the boat says something else now."""
        if table not in self._differing:
            self._differing[table] = frozenset(differing_keys(self.before.derive(table), self.now.derive(table)))
        return self._differing[table]

    def same(self, fact: Callable[[Boat], object]) -> bool:
        """Whether something of the boat is as it was."""
        return self.before.derive(fact) == self.now.derive(fact)

    @cached_property
    def runs_about(self) -> frozenset[str]:
        """These runs and all that land on these parts."""
        return self.runs | self.runs_on(self.parts)

    def runs_on(self, parts: Collection[str]) -> frozenset[str]:
        """The runs that land on some parts."""
        runs = self.now.network.runs if parts else ()
        return frozenset([run.id for run in runs if run.a.part in parts or run.b.part in parts])

    def records(self, runs: Iterable[str]) -> list[Run]:
        """Some runs as they were, and as they are."""
        return [boat.runs[name] for name in runs for boat in (self.before, self.now) if name in boat.runs]

    def parts_at(self, runs: Iterable[str]) -> frozenset[str]:
        """These parts, and those at which some runs land or landed."""
        return self.parts.union(*((run.a.part, run.b.part) for run in self.records(runs)))

    @property
    def pushed_otherwise(self) -> frozenset[tuple[str, str]]:
        """The cores into which something else can be pushed with the fuses fitted."""
        return self.differing(_fitted) | self.differing(_fitted_least)

    @cached_property
    def parts_elsewhere(self) -> frozenset[str]:
        """The parts of which a terminal hangs together with others than before."""
        return frozenset([node[0] for node in self.differing(islands_of)])

    @property
    def sources_differ(self) -> bool:
        """Whether a source is among these parts."""
        return any(source.part.id in self.parts for boat in (self.before, self.now) for source in boat.sources)

    @cached_property
    def ports(self) -> frozenset[tuple[str, str]]:
        """Where these runs land or landed: part id and port."""
        return self.ports_at(self.runs)

    def ports_at(self, runs: Iterable[str]) -> frozenset[tuple[str, str]]:
        """The same of some runs."""
        return frozenset((end.part, end.port) for run in self.records(runs) for end in (run.a, run.b))


def turn_between(before: Boat, now: Boat) -> Turn | None:
    """From one boat to the other; None where more differs than a turn has."""
    if differs_besides(before.network, now.network):
        return None
    turn = Turn(before, now)
    parts, runs = turn.parts, turn.runs
    stayed = [
        (
            [part.id for part in boat.network.parts if part.id not in parts],
            [run.id for run in boat.network.runs if run.id not in runs],
        )
        for boat in (before, now)
    ]
    return turn if stayed[0] == stayed[1] else None


Touched = Callable[[Turn, Book], Collection[Any] | None]
"""The keys of the things that may be answered otherwise; None: all may."""


class Each(Generic[Thing]):
    """What a rule asks of a boat, thing by thing."""

    def __init__(self, ask: Ask[Thing], things: Things[Thing], touched: Touched) -> None:
        self._ask, self._things, self._touched = ask, things, touched
        self.__doc__, self.__module__ = ask.__doc__, ask.__module__

    def __call__(self, boat: Boat, book: Book) -> Iterator[Outcome]:
        for thing in self._things(boat, book).values():
            yield from self._ask(boat, book, thing)

    def anew(self, boat: Boat, book: Book) -> Said:
        """All its answers, with what met it."""
        return self._said(boat, book, self._things(boat, book), {})

    def again(self, turn: Turn, book: Book, met: Met) -> Said:
        """The same after a turn; `met` is what met it before."""
        things, touched = self._things(turn.now, book), self._touched(turn, book)
        if touched is None:
            return self.anew(turn.now, book)
        still = dict(met)
        for key in (*touched, *(met.keys() - things.keys())):
            still.pop(key, None)
        others = things.keys() - still.keys()
        asked = [key for key in things if key in others] if len(others) > 1 else others
        return self._said(turn.now, book, {key: things[key] for key in asked}, still)

    def _said(self, boat: Boat, book: Book, asked: Mapping[Any, Thing], met: dict[Hashable, int]) -> Said:
        told: list[Outcome] = []
        more = 0
        for key, thing in asked.items():
            outcomes = tuple(self._ask(boat, book, thing))
            others = [outcome for outcome in outcomes if outcome.verdict != "meets"]
            if others:
                told += others
                more += len(outcomes) - len(others)
            elif outcomes:
                met[key] = len(outcomes)
        return Said(sum(met.values()) + more, tuple(told), met)


class Said(msgspec.Struct, frozen=True):
    """How many answers say that the rule is met, and the others; of the things all of whose answers say so how many they are."""

    meets: int
    told: tuple[Outcome, ...]
    met: Met


def of_each(things: Things[Thing], touched: Touched) -> Callable[[Ask[Thing]], Each[Thing]]:
    """Turn a function that asks one thing into one that asks every thing of the boat."""
    return lambda ask: Each(ask, things, touched)


def every_run(boat: Boat, book: Book) -> Mapping[str, Run]:
    """All runs, by their ids."""
    return boat.runs


def itself(turn: Turn, book: Book) -> Collection[str]:
    """Of a rule that reads of a run nothing but itself and the parts at its ends."""
    return turn.runs_about


def islands_of(boat: Boat) -> Islands:
    """What hangs together with what."""
    return boat.islands


def unbonded_of(boat: Boat) -> Islands:
    """The same without bonds."""
    return boat.unbonded


def fed_islands(boat: Boat) -> frozenset[Node]:
    """The islands that a source feeds."""
    return boat.derive(_fed_islands)


def _fed_islands(boat: Boat) -> frozenset[Node]:
    return boat.islands_at(source.live for source in boat.sources)


def _fitted(boat: Boat) -> Mapping[tuple[str, str], Held]:
    """What can be pushed into each core with the fuses fitted, at the worst."""
    return boat.held_fitted


def _fitted_least(boat: Boat) -> Mapping[tuple[str, str], Held]:
    """The same at the best."""
    return boat.held_fitted_least


def demand_of(boat: Boat) -> Mapping[tuple[str, str], Demand]:
    """What each core carries in service."""
    return boat.demand


def runs_of(cores: Iterable[tuple[str, str]]) -> frozenset[str]:
    """The runs that cores belong to, by (run id, pole)."""
    return frozenset([run for run, _ in cores])

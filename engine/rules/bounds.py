"""What a run can be at its worst and at its best: unknown fields and ranges carried as bounds, and the verdict from both.

A question that is answered the same way at both ends is answered; else it cannot be told, and the fields are named.
Knows the rulebooks' tables through engine.electrics, no rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache

import msgspec

from engine.electrics.ampacity import AllowedCurrent, allowed_current, table_columns, table_sizes
from engine.electrics.sizes import ConductorSize, parse_size
from engine.electrics.sources import ElectricsError, Rulebook, Source, weakest_status
from engine.graph.boat import Boat
from engine.graph.demand import Demand
from engine.model.kept import Kept
from engine.model.network import AC_LINES, Compartment, Run
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Book, Later, Outcome, Shown, Status, Verdict

MOST_BUNDLED = 25
"""An unknown bundle has its own conductors at least; from 25 upwards every rulebook's factor stays the same."""
COVERED = frozenset({"sheath", "conduit", "enclosure"})
EARTHS = frozenset({"PE", "BOND"})


class Bound(msgspec.Struct, frozen=True):
    """A quantity between bounds, with the fields ("run:w3 length_m") that keep it from being one number."""

    least: float
    most: float
    lacks: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """The number, or both ends."""
        if self.least == self.most:
            return f"{self.least:.4g}"
        return f"{self.least:.4g} to {self.most:.4g}" if self.most < float("inf") else f"at least {self.least:.4g}"


class Allowed(msgspec.Struct, frozen=True):
    """Allowed current of one core at its worst and at its best; None where the table has no place for it (that is: 0 A)."""

    worst: AllowedCurrent | None
    best: AllowedCurrent | None
    lacks: tuple[str, ...] = ()

    @property
    def least_a(self) -> float:
        """At its worst, A."""
        return self.worst.value_a if self.worst else 0.0

    @property
    def most_a(self) -> float:
        """At its best, A."""
        return self.best.value_a if self.best else 0.0

    @property
    def sources(self) -> tuple[Source, ...]:
        """The tables the numbers came from."""
        return self.best.sources if self.best else ()

    @property
    def formula(self) -> str:
        """The sum with its numbers put in; both ends where they differ."""
        worst, best = (each.formula if each else "0 A (not in the table)" for each in (self.worst, self.best))
        return worst if worst == best else f"{worst} at worst, {best} at best"


def core_size(run: Run, pole: str) -> str:
    """The size text of one core."""
    return run.pe_size if pole in EARTHS and run.pe_size else run.size


def size_of(run: Run, pole: str) -> ConductorSize | None:
    """The size of one core; None where it is unknown or cannot be read."""
    try:
        return parse_size(core_size(run, pole))
    except ElectricsError:
        return None


def size_field(run: Run, pole: str) -> str:
    """The field that holds the core's size."""
    return f"run:{run.id} {'pe_size' if pole in EARTHS and run.pe_size else 'size'}"


def size_bounds(run: Run, pole: str, book: Rulebook) -> tuple[ConductorSize, ConductorSize, tuple[str, ...]]:
    """The smallest and largest the core can be; unknown: the ends of the rulebook's table."""
    size = size_of(run, pole)
    if size is not None:
        return size, size, ()
    sizes = table_sizes(book)
    return sizes[0], sizes[-1], (size_field(run, pole),)


def one_way_m(run: Run) -> Bound:
    """The run's length one way, m; a length whose basis is not said may be one way or out and back."""
    if isinstance(run.length_m, float) and run.length_basis == "one-way":
        return Bound(run.length_m, run.length_m)
    lacks = () if is_exact(run.length_m) else (f"run:{run.id} length_m",)
    least, most = low(run.length_m, 0.0), high(run.length_m)
    if run.length_basis == "round-trip":
        return Bound(least / 2, most / 2, lacks)
    if run.length_basis is None and run.length_m is not None:
        return Bound(least / 2, most, (*lacks, f"run:{run.id} length_basis"))
    return Bound(least, most, lacks)


def own_conductors(run: Run) -> int:
    """Current-carrying conductors of the run itself; earths do not count, nor a neutral that only balances two lines."""
    carrying = [pole for pole in run.poles if pole not in EARTHS]
    balances = "L1" in carrying and "L2" in carrying and "N" in carrying
    return max(1, len(carrying) - balances)


def design_current(boat: Boat, run: Run, poles: list[str]) -> Bound:
    """The largest current that one of the cores carries in service, A."""
    return largest(boat.demand.get((run.id, pole)) for pole in poles)


def largest(demands: Iterable[Demand | None]) -> Bound:
    """The largest of what several cores carry, A."""
    carried = [demand for demand in demands if demand is not None]
    lacks = tuple(field for demand in carried for field in demand.unknown)
    least = max((demand.least_a for demand in carried), default=0.0)
    return Bound(least, max((demand.most_a for demand in carried), default=0.0), lacks)


Around = tuple[tuple[str, ...], tuple[Compartment, ...], bool]


def engine_space(boat: Boat, run: Run) -> tuple[bool, bool, tuple[str, ...]]:
    """(surely, possibly, missing fields) whether the run passes an engine space.

    Surely where its route or one of its ends is in one. A run without a route whose ends are in one and the same other
    space is taken to stay there; any other may pass an engine space, unless the boat has none.
    """
    return passes_engine(run, *around(boat, run))


def around(boat: Boat, run: Run) -> Around:
    """The spaces its ends are in, all spaces, and whether the boat has no engine space."""
    ends = tuple([boat.parts[end.part].compartment for end in (run.a, run.b) if end.part in boat.parts])
    return ends, boat.network.compartments, boat.network.particulars.engine in ("none", "outboard")


def passes_engine(
    run: Run, ends: tuple[str, ...], spaces: tuple[Compartment, ...], none: bool
) -> tuple[bool, bool, tuple[str, ...]]:
    """The same, from what is around the run."""
    passed = {*run.route, *ends} - {""}
    if passed and any(space.id in passed and space.kind == "engine" for space in spaces):
        return True, True, ()
    stays = len(ends) == 2 and ends[0] and ends[0] == ends[1]
    if run.route or stays or none:
        return False, False, ()
    return False, True, (f"run:{run.id} route",)


def allowed(boat: Boat, run: Run, pole: str, book: Rulebook) -> Allowed:
    """Allowed current of a core at both ends of everything that is not known about its run."""
    return _core_allowed(run, pole, book, *engine_space(boat, run))


def allowed_by_pole(boat: Boat, run: Run, book: Rulebook) -> Mapping[str, Allowed]:
    """The same of each core."""
    return _BY_POLE.of((run.id, book), (run, book, *around(boat, run)))


def _by_pole(facts: tuple[Run, Rulebook, tuple[str, ...], tuple[Compartment, ...], bool]) -> Mapping[str, Allowed]:
    run, book, ends, spaces, none = facts
    space = passes_engine(run, ends, spaces, none)
    return {pole: _core_allowed(run, pole, book, *space) for pole in run.poles}


_BY_POLE = Kept(_by_pole)


def _core_allowed(
    run: Run, pole: str, book: Rulebook, in_engine: bool, may_be: bool, lacks_route: tuple[str, ...]
) -> Allowed:
    smallest, largest, lacks = size_bounds(run, pole, book)
    columns = table_columns(book)
    own = own_conductors(run)
    cool, warm = low(run.insulation_c, columns[0]), high(run.insulation_c, columns[-1])
    few, many = max(own, low(run.bundled, own)), max(own, high(run.bundled, MOST_BUNDLED))
    is_ac = pole in AC_LINES or pole == "N"
    worst = _allowed(smallest, cool, book, may_be, many, is_ac)
    best = _allowed(largest, warm, book, in_engine, few, is_ac)
    if worst == best:
        return Allowed(worst, best)
    lacks += () if is_exact(run.insulation_c) else (f"run:{run.id} insulation_c",)
    lacks += () if is_exact(run.bundled) else (f"run:{run.id} bundled",)
    return Allowed(worst, best, lacks + lacks_route)


def _allowed(
    size: ConductorSize, insulation_c: float, book: Rulebook, engine: bool, bundled: float, ac: bool
) -> AllowedCurrent | None:
    try:
        return allowed_current(size, insulation_c, book, engine_space=engine, bundled=int(bundled), ac=ac)
    except ElectricsError:
        return None


def rulebook(book: Book) -> Rulebook:
    """The rulebook as the electrical functions name it; "any" is asked by none of the rules here."""
    if book == "any":
        raise ValueError("this rule must be asked under one rulebook")
    return book


def judged(
    code: str,
    subjects: tuple[str, ...],
    *,
    safe: bool,
    hopeless: bool,
    lacks: tuple[str, ...] = (),
    values: Mapping[str, Shown] | Callable[[], Mapping[str, Shown]] | None = None,
    sources: tuple[Source, ...] = (),
    path: tuple[str, ...] = (),
) -> Outcome:
    """Meets when safe even at its worst, breaks when hopeless even at its best, else cannot tell.

    values may be a function: it is asked when the values are shown.
    """
    verdict: Verdict = "meets" if safe else "breaks" if hopeless else "cannot-tell"
    return Outcome(
        verdict=verdict,
        code=code,
        subjects=subjects,
        values=Later(values) if callable(values) else values or {},
        lacks=tuple(dict.fromkeys(lacks)) if verdict == "cannot-tell" else (),
        path=path,
        status=status_of(sources),
        sources=_source_texts(sources),
    )


@lru_cache(maxsize=4096)
def _source_texts(sources: tuple[Source, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(source_text(source) for source in sources))


def source_text(source: Source) -> str:
    """A source as a finding lists it."""
    return f"{source.document}, {source.table} [{source.status}]"


@lru_cache(maxsize=4096)
def status_of(sources: tuple[Source, ...]) -> Status | None:
    """The weakest status of the sources; None where there are none."""
    return weakest_status(sources) if sources else None

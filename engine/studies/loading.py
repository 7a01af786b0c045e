"""How full a conductor is: the current it carries over the current it may carry. Knows the ampacity tables, no rule."""

from __future__ import annotations

import msgspec

from engine.electrics.ampacity import allowed_current
from engine.electrics.sources import ElectricsError, Rulebook, Source
from engine.graph.boat import Boat
from engine.model.network import AC_POLES, Run
from engine.model.quantity import high, low
from engine.studies.conductors import size_of

BOOKS: dict[str, tuple[Rulebook, ...]] = {"us": ("e11",), "iso": ("iso13297",)}
CARRYING = AC_POLES | {"+", "-"}


class Allowed(msgspec.Struct, frozen=True):
    """The current that a core may carry, A, by the strictest of the boat's rulebooks; None with the fields it lacks."""

    allowed_a: float | None
    formula: str = ""
    book: str = ""
    sources: tuple[Source, ...] = ()
    lacks: tuple[str, ...] = ()


def allowed(boat: Boat, run: Run) -> Allowed:
    """What a core of the run may carry. A bundle that is not known counts as the run's own conductors, and is named as lacking."""
    return boat.derive(_Allowances).of(run)


class _Allowances:
    """The allowed currents of a boat, each worked out once."""

    def __init__(self, boat: Boat) -> None:
        self._boat = boat
        self._known: dict[str, Allowed] = {}

    def of(self, run: Run) -> Allowed:
        """That of one run."""
        if run.id not in self._known:
            self._known[run.id] = _allowed(self._boat, run)
        return self._known[run.id]


def _allowed(boat: Boat, run: Run) -> Allowed:
    size = size_of(run)
    lacks = (() if size else (f"run:{run.id} size",)) + (
        () if run.insulation_c is not None else (f"run:{run.id} insulation_c",)
    )
    if size is None or run.insulation_c is None:
        return Allowed(None, lacks=lacks)
    found = []
    own = max(1, len(CARRYING & set(run.poles)))
    for rules in boat.network.particulars.rulebooks:
        for book in BOOKS.get(rules, ()):
            try:
                found.append(
                    allowed_current(
                        size, low(run.insulation_c), book, engine_space=_hot(boat, run),
                        bundled=int(max(own, high(run.bundled, own))), ac=bool(AC_POLES & set(run.poles)),
                    )
                )  # fmt: skip
            except ElectricsError as error:
                return Allowed(None, str(error))
    if not found:
        return Allowed(None)
    best = min(found, key=lambda each: each.value_a)
    missing = (f"run:{run.id} bundled",) if run.bundled is None else ()
    return Allowed(best.value_a, best.formula, best.rulebook, best.sources, missing)


def _hot(boat: Boat, run: Run) -> bool:
    """Whether its route or one of its ends is in an engine space."""
    ends = [boat.parts[end.part].compartment for end in (run.a, run.b) if end.part in boat.parts]
    return any(boat.compartments[name].kind == "engine" for name in (*run.route, *ends) if name in boat.compartments)


def loading(boat: Boat, run: Run, current_a: float) -> float | None:
    """Current over allowed current; None where that is not known, and infinite where nothing is allowed."""
    may = allowed(boat, run).allowed_a
    if may is None:
        return None
    return abs(current_a) / may if may > 0 else float("inf")

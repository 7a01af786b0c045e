"""Rule short-circuit-not-cleared."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from functools import lru_cache

from engine.electrics.sources import Source
from engine.electrics.time_current import ADIABATIC_MOST_S, Opening, currents, opening, opening_of, time_text
from engine.graph.boat import Boat
from engine.model.quantity import Quantity, low
from engine.rules.api import Basis, Book, Later, Outcome, Parameter, Shown, Wording, rule
from engine.rules.bounds import judged
from engine.rules.each import Turn, of_each
from engine.rules.faults.loop import loop_of
from engine.rules.faults.shorts import (
    Short,
    at_most,
    covers,
    largest_a,
    open_on_way,
    rating_field,
    series_field,
    smallest_by_device,
)
from engine.rules.protected import item_name
from engine.studies.fault_bounds import lacks_of
from engine.studies.guards import bands_of

SURE = 2.0
PRACTICE = "common practice, no source"
SURE_SOURCE = Source(PRACTICE, "at twice its rating every class of fuse and breaker in our tables opens", "memory")


def _shorts(boat: Boat, book: Book) -> Mapping[str, Short]:
    return smallest_by_device(boat)


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return turn.differing(smallest_by_device)


@rule(
    "short-circuit-not-cleared",
    title="Short circuit too small for its fuse or breaker",
    books=("any",),
    basis=(
        Basis("any", "IEC 60364-4-43, 434 (from memory), applied to boats by us", "A protective device opens on the smallest "
              "short circuit that can come at the far end of what it protects.", "memory"),
    ),
    wordings={
        "never-opens": Wording(
            "danger",
            "A short circuit at the far end of {run} may draw only {current} A, which {device} carries for good.",
            "Run a thicker or shorter conductor, or fit a smaller device.",
            "{emf} V / {ohm} mΩ = {current} A < {rating} A; the weakest source alone, conductors hot, out and back",
        ),
        "may-not-open": Wording(
            "requirement",
            "A short circuit at the far end of {run} may draw only {current} A; no limit of its class has {device} open at that.",
            "Run a thicker or shorter conductor, or fit a smaller device.",
            "{emf} V / {ohm} mΩ = {current} A; the weakest source alone, conductors hot, out and back",
        ),
        "slow": Wording(
            "advice",
            "A short circuit at the far end of {run} may draw only {current} A; {device} takes at least {least} to open.",
            "Run a thicker or shorter conductor, or fit a smaller or a quicker device.",
            "{current} A: {least} at the soonest > {most_s} s; the weakest source alone, conductors hot, out and back",
        ),
    },
    parameters=(
        Parameter("sure", SURE, "times the rating", PRACTICE, "memory"),
        Parameter("slow", ADIABATIC_MOST_S, "s", "IEC 60364-4-43: the adiabatic formula ends there", "memory"),
    ),
    needs="Length and size of every wire on the way out and back; the batteries' resistance, capacity or cranking amperes; "
    "rating and series of the device. What limits itself (an inverter, a DC-DC converter) is taken to switch itself off and is "
    "not asked. For a class without time limits twice the rating is taken as sure.",
)  # fmt: skip
@of_each(_shorts, _touched)
def short_circuit_not_cleared(boat: Boat, book: Book, short: Short) -> Iterator[Outcome]:
    """A long thin wire holds its own short circuit back. Where less flows than the fuse needs, the fuse stays whole and the fault
    goes on: the battery heats the wire and whatever touches it for as long as it lasts."""
    yield _judge(boat, short)


def _judge(boat: Boat, short: Short) -> Outcome:
    guard, current_a = short.guard, short.least.current_a
    rating_lacks = rating_field(guard)
    if current_a <= 0 or guard.rating_a is None:
        lacks = (*lacks_of(boat, short.least), *rating_lacks)
        return judged(
            "may-not-open", (guard.key,), safe=False, hopeless=False, lacks=lacks, values=_values(boat, short)
        )
    if guard.bands and not rating_lacks and current_a >= sure_from(guard.series, guard.rating_a):
        return Outcome(verdict="meets", code="may-not-open", subjects=(guard.key, f"run:{short.least.run}"))
    return _by_limits(boat, short) if guard.bands else _by_practice(boat, short)


def _by_limits(boat: Boat, short: Short) -> Outcome:
    """By the limits of every series and rating that it may have; an end of its rating that has none counts by practice."""
    guard, known, current_a = short.guard, covers(short.guard), short.least.current_a
    safe = known or current_a >= SURE * largest_a(guard)
    safe = safe and all(_opens(opening(each, current_a)) for each in guard.bands)
    most_a = current_a if safe else at_most(boat, short)
    hopeless = known and not any(_opens(opening(each, most_a)) for each in guard.bands)
    at = guard.opening(most_a)
    never = all(each.rating_a > most_a for each in guard.bands)
    code = "never-opens" if never else "may-not-open" if at.most_s == math.inf else "slow"
    return _answer(boat, short, code, safe, hopeless, at.sources)


def _by_practice(boat: Boat, short: Short) -> Outcome:
    """For a class without limits: at twice its rating every device opens, below its rating none does."""
    guard, current_a = short.guard, short.least.current_a
    safe = current_a >= SURE * largest_a(guard)
    most_a = current_a if safe else at_most(boat, short)
    hopeless = most_a < low(guard.rating_a) or (most_a < SURE * low(guard.rating_a) and not series_field(guard))
    code = "never-opens" if current_a < largest_a(guard) else "may-not-open"
    return _answer(boat, short, code, safe, hopeless, (SURE_SOURCE,))


@lru_cache(maxsize=1024)
def sure_from(series: tuple[str, ...], rating_a: Quantity) -> float:
    """The current, A, from which a device surely opens, and may do so within 5 s: more current never opens it later."""
    bands = bands_of(series, rating_a)
    fine = (at for at in currents(bands, 0.0, math.inf) if 0 < at < math.inf and _opens(opening_of(bands, at)))
    return min(fine, default=math.inf)


def _opens(at: Opening) -> bool:
    return at.most_s < math.inf and at.least_s <= ADIABATIC_MOST_S


def _answer(boat: Boat, short: Short, code: str, safe: bool, hopeless: bool, sources: tuple[Source, ...]) -> Outcome:
    subjects = (short.guard.key, f"run:{short.least.run}")
    path = () if safe else loop_of(boat, short.least)
    lacks = (
        () if safe or hopeless else (*rating_field(short.guard), *series_field(short.guard), *open_on_way(boat, short))
    )
    return judged(
        code,
        subjects,
        safe=safe,
        hopeless=hopeless,
        lacks=lacks,
        values=_values(boat, short),
        sources=sources,
        path=path,
    )


def _values(boat: Boat, short: Short) -> Later:
    return Later(lambda: _shown(boat, short))


def _shown(boat: Boat, short: Short) -> dict[str, Shown]:
    guard, least = short.guard, short.least
    return {
        "run": boat.name_run(boat.runs[least.run]), "device": item_name(boat, guard.key), "current": least.current_a,
        "rating": largest_a(guard), "emf": least.current_a * least.ohm, "ohm": 1000 * least.ohm,
        "least": time_text(guard.opening(least.current_a).least_s), "most_s": ADIABATIC_MOST_S,
    }  # fmt: skip

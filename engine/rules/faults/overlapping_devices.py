"""Rule overlapping-devices."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import msgspec

from engine.electrics.time_current import time_text
from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Later, Outcome, Shown, Wording, rule
from engine.rules.bounds import judged
from engine.rules.faults.shorts import Short, covers, open_on_way, rating_field, series_field, smallest_by_device
from engine.rules.protected import item_name
from engine.studies.corners import at_end
from engine.studies.guards import Guard
from engine.studies.selectivity import Comparison, Order, compare
from engine.studies.withstand import BOUNDLESS_A

if TYPE_CHECKING:
    from engine.studies.protection import Fault

FROM_A = 1e-3


@rule(
    "overlapping-devices",
    title="Two devices in series of which either may open first",
    books=("any",),
    basis=(
        Basis("any", "common practice, no source", "A short circuit in one circuit takes out that circuit's own fuse and not "
              "the one that feeds its neighbours.", "practice"),
    ),
    wordings={
        "overlap": Wording(
            "advice",
            "A short circuit behind {near} may take out {behind}: at {current} A {near} takes up to {late}, {behind} may open "
            "after {soon}.",
            "Fit a larger or slower device as {behind}, where the conductor behind it permits, or a smaller one as {near}.",
            "{late} > {soon} at {current} A",
        )
    },
    needs="Series and rating of both devices, length and size of the wires, what the batteries can give. Where no table has limits "
    "of one of the two nothing is said, nor of two breakers: both may release at once, as everybody knows of them.",
)  # fmt: skip
def overlapping_devices(boat: Boat, book: Book) -> Iterator[Outcome]:
    """When a deck pump shorts, its own fuse should go, and the lights, the radio and the bilge pump on the same feeder stay on. If
    the feeder's fuse is as quick, everything behind it goes dark at once."""
    asked: dict[tuple[object, ...], Order] = {}
    told: set[tuple[object, ...]] = set()
    for short in smallest_by_device(boat).values():
        near, behind = short.guard, short.behind
        if behind is None or not (near.bands and behind.bands) or near.element == behind.element == "breaker":
            continue
        key = (near.series, near.rating_a, behind.series, behind.rating_a)
        if key not in asked:
            asked[key] = compare(near, behind, FROM_A, BOUNDLESS_A).order
        alike = (near.part.id, near.rating_a, behind.key)
        if asked[key] == "selective":
            yield Outcome(verdict="meets", code="overlap", subjects=(near.key, behind.key))
        elif asked[key] == "overlap" and alike not in told:
            told.add(alike)
            yield from _in_its_range(boat, short, near, behind)


def _in_its_range(boat: Boat, short: Short, near: Guard, behind: Guard) -> Iterator[Outcome]:
    """At the currents that the network gives along the wire; nothing where these are not known."""
    fault = _fault(boat, short)
    if fault is None or fault.lacks:
        return
    found = compare(near, behind, fault.least_a, fault.most_a)
    overlap = found.order == "overlap"
    sources = found.near_at.sources if found.near_at else ()
    if not overlap and found.order != "selective":
        return
    surely = overlap and _surely(boat, short, near, behind)
    lacks = (*_open(near), *_open(behind), *open_on_way(boat, short)) if overlap and not surely else ()
    yield judged("overlap", (near.key, behind.key), safe=not overlap, hopeless=surely, lacks=lacks,
                 values=Later(lambda: _shown(boat, found)), sources=sources)  # fmt: skip


def _open(guard: Guard) -> tuple[str, ...]:
    return (*rating_field(guard), *(series_field(guard) if len(guard.series) > 1 else ()))


def _fault(boat: Boat, short: Short) -> Fault | None:
    from engine.studies.protection import faults

    return faults(boat).get((short.least.run, short.least.pole))


def _surely(boat: Boat, short: Short, near: Guard, behind: Guard) -> bool:
    """Whether they overlap with every series and rating that both may have, at currents that come whatever the ranges are."""
    most, least = _fault(at_end(boat, "least"), short), _fault(at_end(boat, "most"), short)
    if most is None or least is None or not (covers(near) and covers(behind)):
        return False
    return all(
        compare(one, other, least.least_a, most.most_a).order == "overlap"
        for one in _each(near)
        for other in _each(behind)
    )


def _each(guard: Guard) -> Iterator[Guard]:
    """The device as it may be: of one series, with one rating."""
    return (msgspec.structs.replace(guard, bands=(band,)) for band in guard.bands)


def _shown(boat: Boat, found: Comparison) -> dict[str, Shown]:
    return {
        "near": item_name(boat, found.near.key), "behind": item_name(boat, found.behind.key), "current": found.from_a,
        "late": time_text(found.near_at.most_s) if found.near_at else "?",
        "soon": time_text(found.behind_at.least_s) if found.behind_at else "?",
    }  # fmt: skip

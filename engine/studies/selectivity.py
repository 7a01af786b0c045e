"""Which device opens first on a short circuit, and whether each opens before the one behind it, over the whole fault range.

"sure" rests on the standards' limits of both devices. Where no table knows those of the one behind, a much larger rating
makes it "expected" (common practice, no source); else it is open. Knows no rule and no drawing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import msgspec

from engine.electrics.sources import Source, number_text
from engine.electrics.time_current import Opening, currents, time_text
from engine.graph.boat import Boat
from engine.library.expand import Port
from engine.messages import enumerated, tr
from engine.model.network import Part, Run
from engine.model.quantity import high, low
from engine.studies.guards import Guard
from engine.studies.protection import Fault, faults
from engine.studies.withstand import amps, opens

Grade = Literal["sure", "expected", "open", "never", "unprotected", "dead"]
"""never: the nearest device carries the smallest fault for good. dead: no source reaches it."""
Order = Literal["selective", "overlap", "unknown"]
EXPECTED_RATIO = 2.0
"""A device behind with at least so many times the rating is expected to wait (common practice, no source)."""
AT_ONCE = 10.0
"""From so many times its rating a device may open as fast as a breaker before it (common practice, no source)."""


class Candidate(msgspec.Struct, frozen=True):
    """A device on the way, with when it opens at the smallest and at the largest current."""

    guard: Guard
    at_least: Opening
    at_most: Opening


class Comparison(msgspec.Struct, frozen=True):
    """A device against the one behind it. `from_a`: the first current at which it is not surely selective."""

    near: Guard
    behind: Guard
    order: Order
    from_a: float = 0.0
    near_at: Opening | None = None
    behind_at: Opening | None = None


class Verdict(msgspec.Struct, frozen=True):
    """What opens first when a run is shorted anywhere along it. `first` is a key; "" where it cannot be told or none is."""

    run: Run
    fault: Fault | None
    grade: Grade
    first: str
    candidates: tuple[Candidate, ...]
    comparisons: tuple[Comparison, ...]
    lacks: tuple[str, ...]

    @property
    def sources(self) -> tuple[Source, ...]:
        """What the times rest on."""
        listed = [source for each in self.candidates for at in (each.at_least, each.at_most) for source in at.sources]
        return tuple(dict.fromkeys(listed))


def first_to_open(boat: Boat, run_key: str) -> Verdict:
    """Which device opens first if the run is shorted. `run_key`: "run:ID" or the id. KeyError: there is no such run."""
    run = boat.runs[run_key.removeprefix("run:")]
    fault = next((found for pole in run.poles if (found := faults(boat).get((run.id, pole)))), None)
    if fault is None:
        return Verdict(run, None, "dead", "", (), (), ())
    candidates = tuple(candidate(guard, fault) for guard in fault.guards)
    pairs = tuple(
        compare(near, behind, fault.least_a, fault.most_a)
        for near, behind in zip(fault.guards, fault.guards[1:], strict=False)
    )
    grade = _grade(fault, candidates, pairs)
    first = fault.guards[0].key if grade in ("sure", "expected") else ""
    return Verdict(run, fault, grade, first, candidates, pairs, fault.lacks)


def candidate(guard: Guard, fault: Fault) -> Candidate:
    """A device of a fault with its times."""
    return Candidate(guard, guard.opening(fault.least_a), guard.opening(fault.most_a))


def _grade(fault: Fault, candidates: Sequence[Candidate], pairs: Sequence[Comparison]) -> Grade:
    if not candidates:
        return "unprotected"
    if fault.least_a > 0 and candidates[0].at_least.never:
        return "never"
    if fault.both_ends or any(each.order == "overlap" for each in pairs):
        return "open"
    if all(each.order == "selective" for each in pairs):
        return "sure"
    wide = all(each.order == "selective" or _expected(each, fault.most_a) for each in pairs)
    return "expected" if wide else "open"


def _expected(pair: Comparison, most_a: float) -> bool:
    """Much larger; and behind a breaker, which takes its time to part, not so small that it opens at once as well."""
    behind_a, near_a = low(pair.behind.rating_a, 0.0), high(pair.near.rating_a, math.inf)
    if behind_a < EXPECTED_RATIO * near_a:
        return False
    return pair.near.element == "fuse" or most_a <= AT_ONCE * behind_a


def compare(near: Guard, behind: Guard, least_a: float, most_a: float) -> Comparison:
    """Whether the nearer device has surely opened before the one behind may, at every current between the two.

    "overlap": at some current both limits are known and the nearer may be the later. "unknown": no table knows.
    """
    if least_a <= 0 or not math.isfinite(most_a):
        return Comparison(near, behind, "unknown")
    doubt: Comparison | None = None
    for at in currents((*near.bands, *behind.bands), least_a, most_a):
        one, other = near.opening(at), behind.opening(at)
        if one.most_s < other.least_s or (one.never and other.never):
            continue
        known = one.most_s < math.inf and other.least_s > 0 and one.within
        found = Comparison(near, behind, "overlap" if known else "unknown", at, one, other)
        if known:
            return found
        doubt = doubt or found
    return doubt or Comparison(near, behind, "selective")


def sentence(boat: Boat, verdict: Verdict) -> str:
    """The answer in words: which opens first and how soon, or why that cannot be told."""
    wire, fault = boat.name_run(verdict.run), verdict.fault
    if fault is None:
        return tr("No source reaches {wire}, so nothing flows if it is shorted.").format(wire=wire)
    if not fault.guards:
        told = tr("No fuse or breaker stands between {source} and {wire}: nothing opens if it is shorted.")
        return told.format(source=boat.name(boat.parts[fault.source]), wire=wire)
    near = verdict.candidates[0]
    values = {"wire": wire, "device": guard_name(boat, near.guard), "times": _times(near, fault)}
    return " ".join((_told(verdict).format(**values), *_reservations(boat, verdict)))


def _told(verdict: Verdict) -> str:
    """The sentence for how well it is known, with places for wire, device and times."""
    if verdict.grade == "never":
        return tr("If {wire} is shorted at its far end, {device} may never open: {times}.")
    if len(verdict.candidates) == 1:
        return tr("If {wire} is shorted, {device} has to open, the only device on the way: {times}.")
    if verdict.grade == "sure":
        return tr("If {wire} is shorted, {device} opens first: {times}.")
    if verdict.grade == "expected":
        return tr("If {wire} is shorted, {device} is expected to open first: {times}.")
    return tr("If {wire} is shorted, it cannot be told which opens first. {device} is the nearest: {times}.")


def _times(near: Candidate, fault: Fault) -> str:
    """Both ends of the fault range with their times."""
    least_a = amps(fault.least_a) if fault.least_a > 0 else tr("an unknown number of")
    most_a = amps(fault.most_a) if math.isfinite(fault.most_a) else tr("an unknown number of")
    if not near.guard.bands:
        told = tr("no table says how soon, with {least_a} A at the smallest and {most_a} A at the largest")
        return told.format(least_a=least_a, most_a=most_a)
    ends = []
    if fault.least_a > 0:
        ends.append(tr("{when} at the smallest current of {at} A").format(when=opens(near.at_least), at=least_a))
    if math.isfinite(fault.most_a):
        ends.append(tr("{when} at the largest of {at} A").format(when=opens(near.at_most), at=most_a))
    if fault.least_a <= 0:
        ends.append(tr("the smallest is not known"))
    if not math.isfinite(fault.most_a):
        ends.append(tr("the largest is not known"))
    return ", ".join(ends)


def _reservations(boat: Boat, verdict: Verdict) -> list[str]:
    doubts = [pair for pair in verdict.comparisons if pair.order != "selective"]
    found = [_overlap(boat, pair) for pair in doubts if pair.order == "overlap"]
    found += _without_limits(boat, verdict)
    known = [pair for pair in doubts if pair.order == "unknown" and pair.near.bands and pair.behind.bands]
    told = tr("From {at} A on no table tells whether {behind} waits for {near}.")
    found += [told.format(at=amps(pair.from_a), **_names(boat, pair)) for pair in known]
    if verdict.lacks:
        found.append(tr("Not everything on the way is known, so the currents are bounds."))
    others = [boat.name(boat.parts[each]) for each in verdict.fault.others] if verdict.fault else []
    if verdict.fault and verdict.fault.both_ends:
        found.append(
            tr("It is part of a ring: current comes to it over both its ends, and only one way is told of here.")
        )
    if others:
        found.append(tr("It is also fed from {others}.").format(others=enumerated(others)))
    return found


def _names(boat: Boat, pair: Comparison) -> dict[str, str]:
    return {"near": guard_name(boat, pair.near), "behind": guard_name(boat, pair.behind)}


def _overlap(boat: Boat, pair: Comparison) -> str:
    assert pair.near_at is not None
    assert pair.behind_at is not None
    told = tr("At {at} A {near} may take {late}, and {behind} behind it may open after {soon}: the two overlap.")
    late, soon = time_text(pair.near_at.most_s), time_text(pair.behind_at.least_s)
    return told.format(at=amps(pair.from_a), late=late, soon=soon, **_names(boat, pair))


def _without_limits(boat: Boat, verdict: Verdict) -> list[str]:
    """The devices behind the nearest that no table knows, each with how much larger it is."""
    first, *rest = verdict.candidates
    most = high(first.guard.rating_a, 0.0)
    unknown = [each.guard for each in rest if not each.guard.bands]
    if not unknown:
        return []
    named = [_larger(boat, guard, most) for guard in unknown]
    return [tr("No time limits are known for {devices} behind it.").format(devices=tr(" and ").join(named))]


def _larger(boat: Boat, guard: Guard, than_a: float) -> str:
    name, times = guard_name(boat, guard), low(guard.rating_a, 0.0) / than_a if than_a else 0.0
    return (
        tr("{name}, {times} times as large,").format(name=name, times=number_text(round(times, 1)))
        if times > 1
        else name
    )


def guard_name(boat: Boat, guard: Guard) -> str:
    """A device with its rating: "F2 (200 A)", "A1.3 (10 A)"."""
    rating = guard.rating_a
    text = "?" if rating is None else number_text(low(rating))
    if rating is not None and high(rating) != low(rating):
        text = f"{text}–{number_text(high(rating))}"
    return f"{place_name(guard.part, guard.position)} ({text} A)"


def place_name(part: Part, position: str) -> str:
    """A device or the way of a panel: "F2", "A1.3"."""
    name = part.designation or part.id
    return f"{name}.{position}" if position and position != "main" else name


def run_of(boat: Boat, key: str) -> Run | None:
    """The run that a selected thing asks about: itself, or the one that leaves a way or lands on a part's live pole."""
    sort, _, rest = key.partition(":")
    if sort == "run":
        return boat.runs.get(rest)
    part_id, _, position = rest.partition("/")
    asked = {(part_id, f"p{position}")} if position else {(part_id, port.name) for port in _ports(boat, part_id)}
    met = [run for run in boat.network.runs if any((end.part, end.port) in asked for end in (run.a, run.b))]
    known = [run for run in met if any((run.id, pole) in faults(boat) for pole in run.poles)]
    ours = [run for run in known if any(each.part.id == part_id for each in _guards_of(boat, run))]
    return next(iter((*ours, *known)), None)


def _ports(boat: Boat, part_id: str) -> tuple[Port, ...]:
    return boat.ports(boat.parts[part_id]) if part_id in boat.parts else ()


def _guards_of(boat: Boat, run: Run) -> tuple[Guard, ...]:
    """The nearest device of a run: what leaves a fuse is asked before what feeds it."""
    found = [fault for pole in run.poles if (fault := faults(boat).get((run.id, pole)))]
    return found[0].guards[:1] if found else ()

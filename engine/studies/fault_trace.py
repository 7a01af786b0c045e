"""The short circuit of a wire, a device or a way, value by value: its smallest and largest current, when each device on the way
opens, what the conductor stands. (what it is, the value, its formula, its sources, the fields it lacks.) Knows no window.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from engine.electrics.sources import Source, number_text
from engine.electrics.time_current import energy_text
from engine.graph.boat import Boat
from engine.messages import tr
from engine.studies.faults import FaultLevel, fault_levels
from engine.studies.guards import guards
from engine.studies.protection import Fault
from engine.studies.selectivity import Candidate, Verdict, first_to_open, guard_name, run_of, sentence
from engine.studies.values import assumed
from engine.studies.withstand import amps, hold_of, hold_text, opens

Value = tuple[str, str, str, tuple[Source, ...], tuple[str, ...]]


def short_circuit(boat: Boat, key: str) -> Iterator[Value]:
    """The values for "run:w1", "part:p3" (a fuse or breaker) or "position:p4/2"; nothing for what is no wire and no device."""
    if not key.startswith("run:") and not _is_device(boat, key):
        return
    run = run_of(boat, key)
    if run is None:
        return
    verdict = first_to_open(boat, run.id)
    if verdict.fault is None:
        return
    yield tr("If {wire} is shorted").format(wire=boat.name_run(run)), "", sentence(boat, verdict), (), ()
    yield from _currents(boat, verdict.fault)
    for candidate in verdict.candidates:
        yield from _opening(boat, verdict, candidate)
    yield _conductor(verdict.fault)


def _is_device(boat: Boat, key: str) -> bool:
    return any(guard == key or guard.startswith(f"{key}/") for guard in guards(boat))


def _currents(boat: Boat, fault: Fault) -> Iterator[Value]:
    level = fault_levels(boat)[fault.far]
    least = f"{amps(fault.least_a)} A" if fault.least_a > 0 else tr("no lower bound")
    told = tr("at the far end; the weakest source alone, hot conductors: {ohm} mΩ in all")
    formula = told.format(ohm=number_text(round(1000 * level.least_ohm, 3))) if fault.least_a > 0 else ""
    yield tr("Smallest short circuit"), least, formula, _of_the_smallest(), fault.lacks
    most = f"{amps(fault.most_a)} A" if math.isfinite(fault.most_a) else tr("no upper bound")
    told = tr("at the beginning; every source at once, cold conductors; at the far end {formula}")
    yield tr("Largest short circuit"), most, told.format(formula=level.formula), _of_shares(level), level.lacks


def _of_the_smallest() -> tuple[Source, ...]:
    """What the smallest counts a battery and a conductor as."""
    names = ("weak_battery", "conductor_service", "terminal")
    return tuple(dict.fromkeys(assumed(name, "worst", "low")[1] for name in names))


def _of_shares(level: FaultLevel) -> tuple[Source, ...]:
    return tuple(dict.fromkeys(source for share in level.shares for source in share.sources))


def _opening(boat: Boat, verdict: Verdict, each: Candidate) -> Iterator[Value]:
    """When a device opens at both ends of the range; what its limits are."""
    fault, name = verdict.fault, guard_name(boat, each.guard)
    assert fault is not None
    series = tr(" or ").join(dict.fromkeys(band.title for band in each.guard.bands)) or tr("no time limits known")
    if fault.least_a > 0:
        what = tr("{device} at {at} A opens").format(device=name, at=amps(fault.least_a))
        yield what, opens(each.at_least), series, each.at_least.sources, ()
    if math.isfinite(fault.most_a):
        what = tr("{device} at {at} A opens").format(device=name, at=amps(fault.most_a))
        yield what, opens(each.at_most), series, each.at_most.sources, ()


def _conductor(fault: Fault) -> Value:
    held = hold_of(fault)
    if held is None:
        return tr("The conductor stands"), "?", hold_text(None), (), (f"run:{fault.run.id} size",)
    return tr("The conductor stands"), energy_text(held.stands.energy_a2s), hold_text(held), held.stands.sources, ()

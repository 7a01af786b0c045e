"""The smallest short circuit that each fuse and breaker must clear, and what the drawing could still say about the device.

Shared by the rules of this family. Bounds by adding up ohms settle most questions; the network is solved only where they do not.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.model.quantity import high, is_exact, low
from engine.rules.faults.loop import loop_of
from engine.studies.corners import at_end, ranged_fields
from engine.studies.fault_bounds import Least, least_faults
from engine.studies.guards import KNOWN_SERIES, Guard, bands_of, guards


class Short(msgspec.Struct, frozen=True):
    """A device and the smallest short circuit for which it is the nearest; `behind`: the next device towards the source."""

    guard: Guard
    least: Least
    behind: Guard | None


def smallest_by_device(boat: Boat) -> Mapping[str, Short]:
    """Each device that is nearest to some wire, with the smallest current at a far end; what is not known counts as smallest."""
    return boat.derive(_smallest_by_device)


def _smallest_by_device(boat: Boat) -> Mapping[str, Short]:
    found: dict[str, Least] = {}
    for least in least_faults(boat):
        if least.guards:
            key = least.guards[0]
            old = found.get(key)
            if old is None or least.current_a < old.current_a:
                found[key] = least
    known = guards(boat)
    return {
        key: Short(known[key], least, known[least.guards[1]] if len(least.guards) > 1 else None)
        for key, least in found.items()
    }


def at_most(boat: Boat, short: Short) -> float:
    """What the smallest short circuit of the device is at most, A: with every range of the record at its best."""
    at_best = at_end(boat, "most")
    if at_best is boat:
        return short.least.current_a
    at_its_best = smallest_by_device(at_best).get(short.guard.key)
    return max(short.least.current_a, at_its_best.least.current_a if at_its_best is not None else 0.0)


def open_on_way(boat: Boat, short: Short) -> tuple[str, ...]:
    """The fields on its way that hold a range, the source's own included."""
    return ranged_fields(boat, (f"part:{short.least.source}", *loop_of(boat, short.least)))


def nearest(boat: Boat) -> Mapping[tuple[str, str], Guard]:
    """(run id, pole) -> the device that is nearest to it, seen from the source that drives least."""
    return boat.derive(_nearest)


def _nearest(boat: Boat) -> Mapping[tuple[str, str], Guard]:
    known = guards(boat)
    return {(each.run, each.pole): known[each.guards[0]] for each in least_faults(boat) if each.guards}


def rating_field(guard: Guard) -> tuple[str, ...]:
    """The field of its rating where that is not one number."""
    if is_exact(guard.rating_a):
        return ()
    return (f"{guard.key} {'main_rating_a' if guard.position == 'main' else 'rating_a'}",)


def series_field(guard: Guard) -> tuple[str, ...]:
    """The field that would tell which limits hold, where the drawing leaves it open."""
    name = _series_name(guard)
    return () if not name or name in guard.part.values else (f"part:{guard.part.id} {name}",)


def _series_name(guard: Guard) -> str:
    if guard.element == "breaker":
        return "curve"
    if guard.position:
        return "fuses"
    return "series" if guard.part.kind in KNOWN_SERIES else ""


def possible(guard: Guard) -> Iterator[Guard]:
    """The device with each series that it might be of, as far as a table knows them."""
    for series in KNOWN_SERIES.get(guard.part.kind, guard.series):
        bands = bands_of((series,), guard.rating_a)
        if bands:
            yield msgspec.structs.replace(guard, series=(series,), bands=bands)


def covers(guard: Guard) -> bool:
    """Whether both ends of its rating are of a series whose limits are known."""
    made = {each.rating_a for each in guard.bands}
    return {low(guard.rating_a), high(guard.rating_a)} <= made


def largest_a(guard: Guard) -> float:
    """The most that its rating may be, A."""
    return high(guard.rating_a)

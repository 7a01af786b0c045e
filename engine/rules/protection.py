"""How each live conductor is protected: what can be pushed into its ends, and where the next device is.

The one analysis that the overcurrent rules share. Current that can enter an end of a conductor must be held to what the
conductor may have, either by the devices it has passed, or (the first stretch after a source) by a device that
follows close enough. Two boats are looked at: the worst that the unknown fields allow, and the best.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

import msgspec

from engine.electrics.sources import Rulebook
from engine.graph.boat import LIVE_POLES, Boat, Earlier
from engine.graph.cranking import cranking_cores
from engine.graph.flows import Feed, Held
from engine.graph.listed import web_of
from engine.graph.poles import Edge, Node
from engine.model.kept import Kept, Whole
from engine.model.network import AC_LINES, Run
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.bounds import Allowed
from engine.rules.families import family_of, largest_made
from engine.rules.legs import Leg, Reach, Way, legs_of, reach_from
from engine.rules.permitted import Families, Limits, State, allowed_of, flow_state, is_above_advice, limits_of

TOLERANCE_M = 1e-6


class End(msgspec.Struct, frozen=True):
    """One end of one live core and what can enter there."""

    run: Run
    pole: str
    node: Node
    far: Node
    worst: Feed
    best: Feed


class Protection(msgspec.Struct, frozen=True):
    """How one end of a core is protected, at its worst and at its best."""

    end: End
    worst: State
    best: State
    feed: Feed
    limit: Limits
    leg: Leg | None
    reach: Reach | None
    lacks: tuple[str, ...]
    above_allowed: bool = False
    """Surely held, by a device above the conductor's allowed current (the next standard rating)."""


class LiveCore(msgspec.Struct, frozen=True):
    """A live core that needs protection, and the nodes it lies between."""

    run: str
    pole: str
    a: Node
    b: Node


class LiveCores(msgspec.Struct, frozen=True):
    """Of each run its live cores that need protection: no cranking cable, no jumper inside a bank."""

    of: Mapping[str, tuple[LiveCore, ...]]
    exempt: frozenset[tuple[str, str]]


def live_cores(boat: Boat) -> Mapping[str, tuple[LiveCore, ...]]:
    """Run id -> its live cores that need protection; runs without any are left out. Follows from the wiring."""
    return boat.carry_on("live cores", lambda earlier: _live_cores(boat, earlier)).of


def _live_cores(boat: Boat, earlier: Earlier[LiveCores] | None) -> LiveCores:
    """Where they were found before, again only at the parts that are wired otherwise."""
    exempt = boat.carry_wiring(cranking_cores)
    known = earlier if earlier is not None and earlier.made.exempt == exempt else None
    found: dict[str, tuple[LiveCore, ...]] = {}
    for run in boat.network.runs:
        still = known is not None and known.leaves(run)
        cores = known.made.of.get(run.id, ()) if known is not None and still else tuple(_cores_of(boat, run, exempt))
        if cores:
            found[run.id] = cores
    return LiveCores(found, exempt)


def _cores_of(boat: Boat, run: Run, exempt: frozenset[tuple[str, str]]) -> Iterator[LiveCore]:
    if not _is_jumper(boat, run):
        for pole in run.poles:
            if pole in LIVE_POLES and (run.id, pole) not in exempt:
                yield LiveCore(run.id, pole, *boat.core_ends(run, pole))


def _is_jumper(boat: Boat, run: Run) -> bool:
    return all(end.part in boat.parts and boat.role(boat.parts[end.part]) == "battery" for end in (run.a, run.b))


def by_run(boat: Boat, book: Rulebook, largest: bool = False) -> Mapping[str, tuple[Protection, ...]]:
    """How every end of every live core is protected under a rulebook, by runs; with the fuses fitted or the largest that
    fit."""
    return boat.derive(PROTECTIONS[book, largest])


def _maker(book: Rulebook, largest: bool) -> Callable[[Boat], Mapping[str, tuple[Protection, ...]]]:
    def make(boat: Boat) -> Mapping[str, tuple[Protection, ...]]:
        feeders, families, may = boat.carry_wiring(panel_feeders), boat.carry_parts(_families), allowed_of(boat, book)
        currents = boat.currents
        fitted = (currents.held_fitted, currents.held_fitted_least)
        worst, best = (currents.held_largest, currents.held_largest_least) if largest else fitted
        found: dict[str, tuple[Protection, ...]] = {}
        for run, cores in live_cores(boat).items():
            keys = [(run, core.pole) for core in cores]
            flows = tuple([(worst[key], best[key], may[key]) for key in keys])
            ends = _HELD[book, largest].of(run, (cores, boat.runs[run], flows, run in feeders, families, book))
            found[run] = (
                ends.each if ends.held else tuple([_where_not_held(boat, each, book, largest) for each in ends.each])
            )
        return found

    return make


PROTECTIONS: Mapping[tuple[Rulebook, bool], Callable[[Boat], Mapping[str, tuple[Protection, ...]]]] = {
    (book, largest): _maker(book, largest)
    for book in ("33cfr183", "e11", "iso13297")
    for largest in (False, True)
}  # fmt: skip


def devices_by_key(boat: Boat) -> Mapping[str, Edge]:
    """Every fuse and breaker by the key a flow names it with."""
    return boat.carry_parts(_devices_by_key)


def _devices_by_key(boat: Boat) -> Mapping[str, Edge]:
    return {edge.key: edge for _, _, edge in boat.devices()}


def _families(boat: Boat) -> Families:
    """The family of each of them."""
    return Whole({key: family_of(edge) for key, edge in devices_by_key(boat).items()})


def panel_feeders(boat: Boat) -> Mapping[str, str]:
    """Runs that feed a panel: run id -> the panel's id. Followed back through in-line parts up to where others join."""
    found: dict[str, str] = {}
    for panel in boat.with_role("dc_panel", "ac_panel"):
        runs = list(boat.runs_at.get((panel.id, "feed"), ()))
        while len(runs) == 1 and runs[0].id not in found:
            found[runs[0].id] = panel.id
            runs = _runs_before(boat, runs[0], found)
    return found


def _runs_before(boat: Boat, run: Run, found: Mapping[str, str]) -> list[Run]:
    """The one run on the other side of an in-line part at the far end of a feeder."""
    for end in (run.a, run.b):
        part = boat.parts.get(end.part)
        kind = boat.kind(part) if part else None
        if part is not None and kind is not None and end.port in kind.inline:
            others = [port for port in kind.inline if port != end.port]
            before = [each for port in others for each in boat.runs_at.get((part.id, port), ())]
            if len(before) == 1 and before[0].id not in found:
                return before
    return []


Flows = tuple[tuple[Held, Held, Allowed], ...]
"""Of each core what can be pushed into it at the worst and at the best, and what it may have."""
Facts = tuple[tuple[LiveCore, ...], Run, Flows, bool, Families, Rulebook]


class _Ends(msgspec.Struct, frozen=True):
    """The ends of the cores of a run, and whether what the current has passed holds it at all of them."""

    each: tuple[Protection, ...]
    held: bool


def _held(facts: Facts) -> _Ends:
    """How all ends are protected by what the current has passed; where that does not hold it at its worst, so far."""
    cores, run, flows, feeder, families, book = facts
    found: list[Protection] = []
    for core, (worst, best, may) in zip(cores, flows, strict=True):
        ac = core.pole in AC_LINES
        tight, wide = limits_of(may, book, ac, feeder, worst=True), limits_of(may, book, ac, feeder, worst=False)
        for near, far, most, least in ((core.a, core.b, worst.a, best.a), (core.b, core.a, worst.b, best.b)):
            found.append(_by_flow(End(run, core.pole, near, far, most, least), tight, wide, families))
    return _Ends(tuple(found), all(each.worst == "held" for each in found))


def _by_flow(end: End, tight: Limits, wide: Limits, families: Families) -> Protection:
    worst, best = flow_state(end.worst, tight, families), flow_state(end.best, wide, families)
    above = worst == "held" and is_above_advice(end.best, wide, families)
    return Protection(end, worst, best, end.best, wide, None, None, (), above)


_HELD = {known: Kept(_held) for known in PROTECTIONS}


def _where_not_held(boat: Boat, held: Protection, book: Rulebook, largest: bool) -> Protection:
    """The same where the next device counts, as what the current has passed does not hold it."""
    return held if held.worst == "held" else _judge(boat, held, book, largest)


def _judge(boat: Boat, held: Protection, book: Rulebook, largest: bool) -> Protection:
    end, wide, worst, best, devices = held.end, held.limit, held.worst, held.best, devices_by_key(boat)
    feeder = end.run.id in boat.carry_wiring(panel_feeders)
    core = allowed_of(boat, book)[end.run.id, end.pole]
    tight = limits_of(core, book, end.pole in AC_LINES, feeder, worst=True)
    leg, reach = legs_of(boat, end.node, end.far, end.run), reach_from(boat, end.node, book)
    size = boat.largest_of if largest else boat.rating_of
    worst = _with_leg(worst, leg, reach, tight, size, surely=True)
    best = _with_leg(best, leg, reach, wide, size, surely=False)
    if "held" not in (worst, best):
        worst = best = _where_reduced(boat, end, best, book)
    open_fields = best == "held" and worst != "held"
    lacks = (*core.lacks, *feed_lacks(boat, end, devices, largest), *leg_lacks(boat, leg, devices, largest))
    lacks = tuple(dict.fromkeys(lacks)) if open_fields else ()
    return Protection(end, worst, best, end.worst, wide, leg, reach, lacks)


def _with_leg(
    state: State, leg: Leg, reach: Reach, limits: Limits, size: Callable[[Edge], Quantity], *, surely: bool
) -> State:
    """Held after all where on every way a device follows that is close enough and small enough."""
    if state == "held" or leg.open_way or not leg.ways:
        return state
    ratings = [(way.device, _rating(way.device, size, surely)) for way in leg.ways]
    if any(rating > limits.for_device(family_of(edge)) for edge, rating in ratings):
        return "over"
    if any(_is_far(way, reach, surely) for way in leg.ways):
        return "far"
    together = sum(rating for _, rating in ratings)
    return "sum" if len(ratings) > 1 and together > limits.sum_a else "held"


def _is_far(way: Way, reach: Reach, surely: bool) -> bool:
    distance = way.distance.most if surely else way.distance.least
    return distance > way.permitted_m(reach, surely) + TOLERANCE_M


def _rating(edge: Edge, size: Callable[[Edge], Quantity], surely: bool) -> float:
    return high(size(edge), largest_made(edge)) if surely else low(size(edge), 0.0)


def _where_reduced(boat: Boat, end: End, state: State, book: Rulebook) -> State:
    """What is wrong where a device upstream lets too much through: of a conductor that takes over from a thicker one, that
    it has no device or that its device is too far on; else that the device itself is too large."""
    if state not in ("over", "far") or end.worst.current_a == float("inf"):
        return state
    for run in _runs_arriving(boat, end):
        core = allowed_of(boat, book).get((run.id, end.pole))
        if core is not None and core.least_a >= end.worst.current_a:
            return "reduced" if state == "over" else "far"
    return "over"


def _runs_arriving(boat: Boat, end: End) -> Iterable[Run]:
    """Other runs that land on the same node, or one that is joined to it inside the part."""
    seen, queue = {end.node}, [end.node]
    while queue:
        node = queue.pop()
        for other, edge in web_of(boat.wires)[node]:
            if edge.run is not None and edge.run.id != end.run.id:
                yield boat.run_of(edge)
            elif edge.kind in ("through", "contact") and other not in seen:
                seen.add(other)
                queue.append(other)


def feed_lacks(boat: Boat, end: End, devices: Mapping[str, Edge], largest: bool) -> tuple[str, ...]:
    """The fields of devices and sources that keep the flow into the end from being one number."""
    keys = dict.fromkeys(key for feed in (end.worst, end.best) for key, _ in feed.by)
    return tuple(lack for key in keys for lack in key_lacks(boat, key, devices, largest))


def leg_lacks(boat: Boat, leg: Leg, devices: Mapping[str, Edge], largest: bool) -> tuple[str, ...]:
    """The fields of the runs and devices of the first stretch that are not one number."""
    of_devices = [lack for way in leg.ways for lack in key_lacks(boat, way.device.key, devices, largest)]
    return (*leg.lacks, *of_devices)


def key_lacks(boat: Boat, key: str, devices: Mapping[str, Edge], largest: bool) -> Iterator[str]:
    """The fields of one device or source that keep open what it lets through."""
    if key in devices:
        if not is_exact(boat.rating_of(devices[key])):
            yield f"{key} rating_a"
        if largest and not is_exact(boat.largest_of(devices[key])):
            yield f"{key} holder_largest_a"
        return
    for source in boat.sources:
        if f"part:{source.part.id}" == key and source.kind != "battery":
            if not source.limited and source.part.values.get("self_limiting") is None:
                yield f"{key} self_limiting"
            if not is_exact(source.limit_a):
                yield f"{key} output"

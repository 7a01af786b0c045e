"""How each live conductor is protected: what can be pushed into its ends, and where the next device is.

The one analysis that the overcurrent rules share. Current that can enter an end of a conductor must be held to what the
conductor may have, either by the devices it has passed, or (the first stretch after a source) by a device that
follows close enough. Two boats are looked at: the worst that the unknown fields allow, and the best.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Set

import msgspec

from engine.electrics.sources import Rulebook
from engine.graph.boat import Boat
from engine.graph.cranking import cranking_cores
from engine.graph.flows import Feed, Held
from engine.graph.listed import web_of
from engine.graph.poles import Edge, Node
from engine.model.kept import Whole, differing_keys, latest
from engine.model.network import AC_LINES, Part, Run
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.bounds import Allowed
from engine.rules.families import family_of, largest_made
from engine.rules.legs import Leg, Reach, Way, legs_of, reach_from
from engine.rules.live_cores import LiveCore, live_cores, panel_feeders
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


class Grounds(msgspec.Struct, frozen=True, eq=False):
    """What the protection of the runs of a boat follows from."""

    cores: Mapping[str, tuple[LiveCore, ...]]
    runs: Mapping[str, Run]
    worst: Mapping[tuple[str, str], Held]
    best: Mapping[tuple[str, str], Held]
    may: Mapping[tuple[str, str], Allowed]
    feeders: Mapping[str, str]
    families: Families
    parts: Mapping[str, Part]
    exempt: frozenset[tuple[str, str]]
    wiring: object
    """The stamp of its graphs."""

    def others(self, before: Grounds) -> set[str]:
        """The runs that are other ones than before, or what can be pushed into them or what they may have."""
        cores = differing_keys(before.worst, self.worst) | differing_keys(before.may, self.may)
        if self.best is not self.worst or before.best is not before.worst:
            cores |= differing_keys(before.best, self.best)
        runs = differing_keys(before.cores, self.cores) | differing_keys(before.runs, self.runs)
        return runs | differing_keys(before.feeders, self.feeders) | {run for run, _ in cores}


class Beyond(msgspec.Struct, frozen=True):
    """What was looked at beyond the ends of a run."""

    nodes: frozenset[Node]
    runs: frozenset[str]


class Table(msgspec.Struct, frozen=True, eq=False):
    """How the runs of a boat are protected; of those that what the current has passed does not hold, what was looked at beyond
    them."""

    by_run: Mapping[str, tuple[Protection, ...]]
    beyond: Mapping[str, Beyond]
    grounds: Grounds


def by_run(boat: Boat, book: Rulebook, largest: bool = False) -> Mapping[str, tuple[Protection, ...]]:
    """How every end of every live core is protected under a rulebook, by runs; with the fuses fitted or the largest that
    fit. Of a run for which nothing is other than on the boat before it is the same object."""
    return boat.derive(PROTECTIONS[book, largest])


def _maker(book: Rulebook, largest: bool) -> Callable[[Boat], Mapping[str, tuple[Protection, ...]]]:
    def make(boat: Boat) -> Mapping[str, tuple[Protection, ...]]:
        name, grounds = f"protection {book} {largest}", _grounds(boat, book, largest)
        table = latest[name] = _table(_Judge(boat, grounds, book, largest), latest.get(name))
        return table.by_run

    return make


PROTECTIONS: Mapping[tuple[Rulebook, bool], Callable[[Boat], Mapping[str, tuple[Protection, ...]]]] = {
    (book, largest): _maker(book, largest)
    for book in ("33cfr183", "e11", "iso13297")
    for largest in (False, True)
}  # fmt: skip


def _grounds(boat: Boat, book: Rulebook, largest: bool) -> Grounds:
    currents = boat.currents
    fitted = (currents.held_fitted, currents.held_fitted_least)
    worst, best = (currents.held_largest, currents.held_largest_least) if largest else fitted
    return Grounds(
        live_cores(boat), boat.runs, worst, best, allowed_of(boat, book), panel_feeders(boat), boat.carry_parts(_families),
        boat.parts, boat.carry_wiring(cranking_cores), boat.graphs.stamp,
    )  # fmt: skip


def _table(judge: _Judge, before: Table | None) -> Table:
    """Begun with that of the boat before: only the runs for which something is other are judged again."""
    grounds = judge.grounds
    if before is None or _are_others(before.grounds.families, grounds.families):
        found = {run: judge.ends(run) for run in grounds.cores}
        return Table(found, judge.beyond, grounds)
    others = grounds.others(before.grounds)
    others |= judge.led_on(before, others)
    anew = {run: judge.ends(run) for run in others if run in grounds.cores}
    known = {**before.by_run, **anew}
    beyond = {run: looked for run, looked in before.beyond.items() if run not in others}
    return Table({run: known[run] for run in grounds.cores}, {**beyond, **judge.beyond}, grounds)


def _are_others(before: Families, now: Families) -> bool:
    """Whether a device that both boats have is of another family; one that came or went shows in the currents."""
    was = before.value
    return before is not now and any(was.get(key, family) != family for key, family in now.value.items())


def devices_by_key(boat: Boat) -> Mapping[str, Edge]:
    """Every fuse and breaker by the key a flow names it with."""
    return boat.carry_parts(_devices_by_key)


def _devices_by_key(boat: Boat) -> Mapping[str, Edge]:
    return {edge.key: edge for _, _, edge in boat.devices()}


def _families(boat: Boat) -> Families:
    """The family of each of them."""
    return Whole({key: family_of(edge) for key, edge in devices_by_key(boat).items()})


def _by_flow(end: End, tight: Limits, wide: Limits, families: Families) -> Protection:
    worst, best = flow_state(end.worst, tight, families), flow_state(end.best, wide, families)
    above = worst == "held" and is_above_advice(end.best, wide, families)
    return Protection(end, worst, best, end.best, wide, None, None, (), above)


class _Judge:
    """How the runs of a boat are protected under a rulebook; notes what it looks at beyond them."""

    def __init__(self, boat: Boat, grounds: Grounds, book: Rulebook, largest: bool) -> None:
        self._boat, self.grounds, self._book, self._largest = boat, grounds, book, largest
        self.beyond: dict[str, Beyond] = {}

    def led_on(self, before: Table, others: Set[str]) -> set[str]:
        """The runs beyond which something is other than before; all where that is not known."""
        grounds, was = self.grounds, before.grounds
        at = self._boat.touched_since(was.wiring)
        if at is None or grounds.exempt != was.exempt:
            return set(before.beyond)
        parts = differing_keys(was.parts, grounds.parts)
        return {
            run
            for run, looked in before.beyond.items()
            if not (at.isdisjoint(looked.nodes) and others.isdisjoint(looked.runs))
            or (parts and not parts.isdisjoint(_parts_looked_at(looked, before.by_run[run])))
        }

    def ends(self, run: str) -> tuple[Protection, ...]:
        """All ends of the live cores of a run: protected by what the current has passed, else by the next device."""
        grounds, found = self.grounds, list[Protection]()
        for core in grounds.cores[run]:
            name = run, core.pole
            worst, best = grounds.worst[name], grounds.best[name]
            tight, wide = self._limits(grounds.may[name], core.pole, run)
            for near, far, most, least in ((core.a, core.b, worst.a, best.a), (core.b, core.a, worst.b, best.b)):
                end = End(grounds.runs[run], core.pole, near, far, most, least)
                held = _by_flow(end, tight, wide, grounds.families)
                found.append(held if held.worst == "held" else self._judge(held, tight))
        return tuple(found)

    def _limits(self, core: Allowed, pole: str, run: str) -> tuple[Limits, Limits]:
        """At its worst and at its best."""
        ac, feeder = pole in AC_LINES, run in self.grounds.feeders
        tight, wide = (limits_of(core, self._book, ac, feeder, worst=worst) for worst in (True, False))
        return tight, wide

    def _judge(self, held: Protection, tight: Limits) -> Protection:
        """Where the next device counts, as what the current has passed does not hold it."""
        boat, end, wide, largest = self._boat, held.end, held.limit, self._largest
        devices, core = devices_by_key(boat), self.grounds.may[end.run.id, end.pole]
        leg, reach = legs_of(boat, end.node, end.far, end.run), reach_from(boat, end.node, self._book)
        self._note(end.run.id, leg.nodes, (run for way in leg.ways for run in way.runs))
        size = boat.largest_of if largest else boat.rating_of
        worst = _with_leg(held.worst, leg, reach, tight, size, surely=True)
        best = _with_leg(held.best, leg, reach, wide, size, surely=False)
        if "held" not in (worst, best):
            worst = best = self._where_reduced(end, best)
        open_fields = best == "held" and worst != "held"
        lacks = (*core.lacks, *feed_lacks(boat, end, devices, largest), *leg_lacks(boat, leg, devices, largest))
        lacks = tuple(dict.fromkeys(lacks)) if open_fields else ()
        return Protection(end, worst, best, end.worst, wide, leg, reach, lacks)

    def _note(self, run: str, nodes: Set[Node], runs: Iterable[str]) -> None:
        known = self.beyond.get(run, _NOTHING)
        self.beyond[run] = Beyond(known.nodes | nodes, known.runs.union(runs))

    def _where_reduced(self, end: End, state: State) -> State:
        """What is wrong where a device upstream lets too much through: of a conductor that takes over from a thicker one, that
        it has no device or that its device is too far on; else that the device itself is too large."""
        if state not in ("over", "far") or end.worst.current_a == float("inf"):
            return state
        nodes, runs = _arriving(self._boat, end)
        self._note(end.run.id, nodes, runs)
        cores = [self.grounds.may.get((run, end.pole)) for run in runs]
        if any(core is not None and core.least_a >= end.worst.current_a for core in cores):
            return "reduced" if state == "over" else "far"
        return "over"


def _parts_looked_at(looked: Beyond, ends: Iterable[Protection]) -> Iterator[str]:
    """Those beyond a run, and those whose devices and sources push current into it."""
    yield from (node[0] for node in looked.nodes)
    for each in ends:
        for feed in (each.end.worst, each.end.best):
            yield from (key.partition(":")[2].partition("/")[0] for key, _ in feed.by)


_NOTHING = Beyond(frozenset(), frozenset())


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


def _arriving(boat: Boat, end: End) -> tuple[Set[Node], Set[str]]:
    """The node of an end with those that are joined to it inside the part, and the other runs that land there."""
    nodes, queue, runs = {end.node}, [end.node], set[str]()
    while queue:
        for other, edge in web_of(boat.wires)[queue.pop()]:
            if edge.run is not None and edge.run.id != end.run.id:
                runs.add(edge.run.id)
            elif edge.kind in ("through", "contact") and other not in nodes:
                nodes.add(other)
                queue.append(other)
    return nodes, runs


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

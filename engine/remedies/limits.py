"""What each thing between a place and the batteries may still take: devices, switches, buses, conductors, voltage drop.

Each limit is the one that a check asks, solved for the current that is left; bounds where the drawing says bounds. Every
circuit counts with its running current at once, as in the checks. Knows no edit and no drawing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

import msgspec

from engine.electrics.protection import least_device_for_load, standard_ratings
from engine.electrics.sources import Rulebook, Source, number_text
from engine.graph.boat import quantity
from engine.graph.demand import Demand
from engine.library.expand import live_poles
from engine.model.network import Part, Position, Run
from engine.model.quantity import Quantity, high, is_exact, low
from engine.remedies.probe import ADDED, PROBE_A, Probe
from engine.rules.bounds import EARTHS, Bound
from engine.rules.conductors.overloaded_bus import largest_load, ways_load
from engine.rules.devices import Device, contacts, devices, flow_through, is_cranking
from engine.rules.drops import CRITICAL_PERCENT, Drop, drop_along
from engine.rules.permitted import allowed_of
from engine.rules.ways import ways

Sort = Literal[
    "holder", "device", "switch", "panel", "bar", "conductor", "drop", "source", "stud", "no-device", "several"
]
MARGIN = 1.25
NOTHING_LEFT = Bound(0.0, 0.0)


class Limit(msgspec.Struct, frozen=True):
    """One thing that bounds an addition: which (key), the current it leaves (A, may be below nought), how that was found.

    `limit_a` is what it may carry and `load_a` what it carries already, A (percent for a voltage drop).
    """

    sort: Sort
    key: str
    room: Bound
    formula: str
    limit: Bound
    load: Bound = NOTHING_LEFT
    sources: tuple[Source, ...] = ()
    count: int = 1
    """Of sources that give together: how many, the named one among them."""


def holder_limit(part: Part, position: Position) -> Limit:
    """What the way itself takes: its largest device over 1.25 (a device is not loaded beyond 80 % for hours)."""
    key = f"position:{part.id}/{position.key}"
    if position.device not in ("fuse", "breaker"):
        return Limit("no-device", key, NOTHING_LEFT, "no fuse, no breaker", NOTHING_LEFT)
    fuse = position.device == "fuse"
    largest = position.holder_largest_a if fuse else position.rating_a
    made = standard_ratings("blade" if fuse else "panel-breaker")
    least, most = low(largest, made[0]), high(largest, made[-1])
    lacks = () if is_exact(largest) else (f"{key} {'holder_largest_a' if fuse else 'rating_a'}",)
    rating = Bound(least, most, lacks)
    source = least_device_for_load(most).sources
    room = Bound(least / MARGIN, most / MARGIN, lacks)
    return Limit("holder", key, room, f"{shown(rating)} A / {MARGIN} = {shown(room)} A", rating, sources=source)


def upstream_limits(probe: Probe, books: tuple[Rulebook, ...], skip: str = "") -> tuple[Limit, ...]:
    """Every limit between the probe and the sources; `skip` is the key of a device that is still to be chosen."""
    return (
        *_device_limits(probe, skip),
        *_switch_limits(probe),
        *_panel_limits(probe),
        *_bar_limits(probe),
        *_conductor_limits(probe, books),
        *_drop_limits(probe, books),
        *_source_limits(probe),
    )


def _left(
    probe: Probe, sort: Sort, key: str, limit: Bound, before: Bound, after: Bound, sources: tuple[Source, ...] = ()
) -> Iterator[Limit]:
    """The limit less what is carried beside the addition, A; nothing where the addition does not flow there, or where
    something else keeps what flows there within the limit."""
    load = probe.beside(before, after)
    if load is None or (probe.capped(after) and after.most <= limit.least):
        return
    room = Bound(limit.least - load.most, limit.most - load.least, (*limit.lacks, *load.lacks))
    yield Limit(sort, key, room, _sum_text(limit, load, room), limit, load, sources)


def shown(value: Bound) -> str:
    """The number or its bounds to four figures; "?" where nothing bounds it."""
    least, most = (_four_figures(each) for each in (value.least, value.most))
    if math.isinf(value.most):
        return "?" if value.least <= 0 else f"≥ {least}"
    if math.isinf(value.least):
        return f"≤ {most}"
    return least if least == most else f"{least} to {most}"


def _four_figures(value: float) -> str:
    text = f"{value:.0f}" if abs(value) >= 1000 and math.isfinite(value) else f"{round(value, 3) + 0.0:.4g}"
    return text.replace("-", "−")


def _sum_text(limit: Bound, load: Bound, room: Bound) -> str:
    return f"{shown(limit)} A − {shown(load)} A = {shown(room)} A"


def _rated(rating: Quantity, field: str) -> Bound:
    return Bound(low(rating, 0.0), high(rating), () if is_exact(rating) else (field,))


def _device_limits(probe: Probe, skip: str) -> Iterator[Limit]:
    """Fuses and breakers carry no more than their rating in service (device-below-load)."""
    for before, after in zip(devices(probe.before), devices(probe.after), strict=True):
        if before.key != skip:
            yield from _through(probe, "device", before, after)


def _switch_limits(probe: Probe) -> Iterator[Limit]:
    """Switches and relays (overloaded-switch); those of a starter are rated for cranking and not asked."""
    for before, after in zip(probe.before.carry_wiring(contacts), probe.after.carry_wiring(contacts), strict=True):
        if not is_cranking(probe.before, before):
            yield from _through(probe, "switch", before, after)


def _through(probe: Probe, sort: Sort, before: Device, after: Device) -> Iterator[Limit]:
    loads = flow_through(probe.before, before), flow_through(probe.after, after)
    yield from _left(
        probe, sort, before.key, _rated(probe.before.rating_of(before.edge), f"{before.key} rating_a"), *loads
    )


def _panel_limits(probe: Probe) -> Iterator[Limit]:
    """The bus behind each panel (overloaded-bus)."""
    for panel in probe.before.with_role("dc_panel", "ac_panel"):
        key = f"part:{panel.id}"
        loads = ways_load(probe.before, panel), ways_load(probe.after, panel)
        yield from _left(probe, "panel", key, _rated(quantity(panel, "bus_a"), f"{key} bus_a"), *loads)


def _bar_limits(probe: Probe) -> Iterator[Limit]:
    """Bus bars, by the conductor that brings most (overloaded-bus)."""
    for bar in probe.before.with_role("bus"):
        kind, key = probe.before.kind(bar), f"part:{bar.id}"
        if kind is not None and any(value.name == "rating_a" for value in kind.value):
            loads = largest_load(probe.before, bar), largest_load(probe.after, bar)
            yield from _left(probe, "bar", key, _rated(quantity(bar, "rating_a"), f"{key} rating_a"), *loads)


def _conductor_limits(probe: Probe, books: tuple[Rulebook, ...]) -> Iterator[Limit]:
    """The allowed current of each core (undersized-conductor), by the strictest rulebook of the boat."""
    for run in probe.before.network.runs:
        for pole in run.poles:
            if (run.id, pole) in probe.before.demand and pole not in EARTHS and not run.cranking:
                found = [limit for book in books for limit in _core_limit(probe, run, pole, book)]
                yield from sorted(found, key=lambda limit: limit.room.least)[:1]


def _core_limit(probe: Probe, run: Run, pole: str, book: Rulebook) -> Iterator[Limit]:
    core = allowed_of(probe.before, book)[run.id, pole]
    before, after = (_carried(boat.demand[run.id, pole]) for boat in (probe.before, probe.after))
    limit = Bound(core.least_a, core.most_a, core.lacks)
    yield from _left(probe, "conductor", f"run:{run.id}", limit, before, after, core.sources)


def _carried(demand: Demand) -> Bound:
    return Bound(demand.least_a, demand.most_a, demand.unknown)


def _drop_limits(probe: Probe, books: tuple[Rulebook, ...]) -> Iterator[Limit]:
    """3 % in each panel's feed (excessive-voltage-drop), by each rulebook that has a formula."""
    before, after = ({way.part.id: way for way in boat.derive(ways) if way.kind == "feeder" and way.out}
                     for boat in (probe.before, probe.after))  # fmt: skip
    for panel_id in before:
        for book in books:
            if book != "33cfr183":
                drop = drop_along(before[panel_id], book)
                grown = drop_along(after[panel_id], book)
                yield from _drop_limit(f"part:{panel_id}", drop, grown)


def _drop_limit(key: str, drop: Drop, grown: Drop) -> Iterator[Limit]:
    """What is left of the 3 %, over the drop that one ampere more makes; what one ampere makes is bounded too."""
    least, most = ((there - here) / PROBE_A if there > here else 0.0 for here, there in (
        (drop.percent.least, grown.percent.least), (drop.percent.most, grown.percent.most)))  # fmt: skip
    if not most:
        return
    limit = Bound(CRITICAL_PERCENT, CRITICAL_PERCENT)
    left = Bound(limit.least - drop.percent.most, limit.most - drop.percent.least)
    room = Bound(left.least / most, left.most / least if least else float("inf"), drop.percent.lacks)
    text = f"({limit.text} % − {shown(drop.percent)} %) / {number_text(most)} %/A = {shown(room)} A"
    yield Limit("drop", key, room, text, limit, drop.percent, drop.sources)


def _source_limits(probe: Probe) -> Iterator[Limit]:
    """Where no battery feeds the place, what the sources there can give beside the loads they have."""
    rail = live_poles(probe.poles)[0]
    taps = {tap.node for tap in probe.after.currents.taps if tap.node[0] == ADDED}
    graph = probe.after.currents.rails["L" if rail.startswith("L") else rail]
    import networkx as nx  # here, since this is the one place that needs more than a walk

    place = next(node for node in taps if node in graph)
    near = nx.node_connected_component(graph, place)
    sources = [source for source in probe.after.sources if source.live in near]
    if not sources or any(source.kind == "battery" for source in sources):
        return
    largest = max(sources, key=lambda source: high(source.limit_a, 0.0))
    giving = sources if rail == "+" else [largest]  # AC sources are never in parallel; DC converters add up
    limit = _together([_rated(source.limit_a, f"part:{source.part.id} output") for source in giving])
    load = _loads_among(probe, near)
    room = Bound(limit.least - load.most, limit.most - load.least, (*limit.lacks, *load.lacks))
    yield Limit("source", f"part:{largest.part.id}", room, _sum_text(limit, load, room), limit, load, (), len(giving))


def _together(outputs: Sequence[Bound]) -> Bound:
    lacks = tuple(lack for each in outputs for lack in each.lacks)
    return Bound(sum(each.least for each in outputs), sum(each.most for each in outputs), lacks)


def _loads_among(probe: Probe, nodes: set[tuple[str, str, str]]) -> Bound:
    least = most = 0.0
    lacks: list[str] = []
    for tap in probe.before.currents.taps:
        if tap.kind == "load" and tap.node in nodes:
            least, most = least + low(tap.current_a, 0.0), most + high(tap.current_a)
            lacks += () if is_exact(tap.current_a) else (tap.field,)
    return Bound(least, most, tuple(lacks))


def tightest(limits: Sequence[Limit]) -> tuple[Limit, Bound]:
    """The limit that leaves least, and what all together leave (never below nought)."""
    binding = min(limits, key=lambda limit: (limit.room.least, limit.room.most))
    least = max(0.0, binding.room.least)
    most = max(0.0, min(limit.room.most for limit in limits))
    lacks = tuple(lack for limit in limits if limit.room.least < most for lack in limit.room.lacks)
    return binding, Bound(least, most, tuple(dict.fromkeys(lacks)) if least < most else ())

"""What can be pushed through each conductor of a boat before a device opens, and what it carries in service.

Each table is worked out once, when it is first asked for. With the fuses fitted or the largest that fit; at the worst
that the unknown fields allow or at the best. Knows no rulebook.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property

import networkx as nx

from engine.graph.boat import Boat
from engine.graph.demand import Demand, demands, positive_demands
from engine.graph.edges import LIVE_RAILS
from engine.graph.flows import NOTHING, UNLIMITED, Capacity, Feed, Flows, Held, brought, limits_of
from engine.graph.layout import Layout, layout_of
from engine.graph.poles import Edge, Node
from engine.graph.skeleton import Carrying, Tables, carried, once, tables_of
from engine.graph.sources import Source
from engine.graph.taps import Tap, tapped
from engine.model.kept import Kept, latest
from engine.model.network import AC_LINES, Part
from engine.model.quantity import Quantity, as_quantity, high, is_exact, low

ALMOST_NOTHING = 1e-6
"""A, what an unknown device lets through at its best: it stays named in what sets a flow."""


class Currents(Carrying):
    """The currents of one boat."""

    def __init__(self, boat: Boat, tables: Tables | None = None) -> None:
        self._boat = boat
        self.tables = tables_of(boat.network, boat.library) if tables is None else tables
        self._taken: dict[Node, float] = {}
        self._drawn_from: dict[Node, float] = {}

    @property
    def rails(self) -> Mapping[str, nx.MultiGraph]:
        """The conducting graph by kind of pole: "+", "-", "N", and "L" for all AC lines."""
        return self._boat.graphs.rails

    @property
    def _layouts(self) -> Mapping[str, tuple[Layout, ...]]:
        strands = self._boat.graphs.strands
        return once(
            self._boat.wiring, "layouts", lambda: {name: tuple(map(layout_of, strands[name])) for name in LIVE_RAILS}
        )

    @carried
    def held_fitted(self) -> Mapping[tuple[str, str], Held]:
        """(run id, pole) -> what can be pushed into it with the fuses fitted; an unknown rating holds nothing back."""
        return self._held("fitted", self._fitted, _most)

    @carried
    def held_fitted_least(self) -> Mapping[tuple[str, str], Held]:
        """The same with every unknown at its most favourable: a fuse of unknown rating as if it let nothing through."""
        if self._all_rated:
            return self.held_fitted
        return self._held("fitted, least", self._fitted_least, _least)

    @carried
    def held_largest(self) -> Mapping[tuple[str, str], Held]:
        """The same with the largest fuse that each holder accepts."""
        return self._held("largest", lambda edge: _capacity(self._boat.largest_of(edge)), _most)

    @carried
    def held_largest_least(self) -> Mapping[tuple[str, str], Held]:
        """With the largest fuses, unknowns at their most favourable; no holder takes less than what is in it."""
        if self._holders_known and self._sources_known:
            return self.held_largest
        return self._held("largest, least", lambda edge: _least_capacity(self._boat.largest_of(edge)), _least)

    @property
    def _all_rated(self) -> bool:
        """Whether every device's rating and every source's limit is one number, so that worst and best are the same."""
        return not self.open_devices and self._sources_known

    @property
    def _holders_known(self) -> bool:
        """Whether of every device the largest that fits is one number."""
        boat = self._boat
        return boat.carry_records(
            "holders known", lambda: all(is_exact(boat.largest_of(edge)) for _, _, edge in boat.devices())
        )

    @cached_property
    def _sources_known(self) -> bool:
        return all(_most(source) == _least(source) for source in self._boat.sources)

    def _held(
        self, name: str, capacity: Capacity, inflow_of: Callable[[Source], float]
    ) -> Mapping[tuple[str, str], Held]:
        found: dict[tuple[str, str], Held] = {}
        for rail, poles in (("+", frozenset({"+"})), ("L", AC_LINES)):
            inflow = _inflow([source for source in self._boat.sources if source.live[2] in poles], inflow_of)
            found.update(self._flows(name, rail, inflow, name, capacity).held)
        return found

    def _fitted(self, edge: Edge) -> float:
        return _capacity(self._boat.rating_of(edge))

    def _fitted_least(self, edge: Edge) -> float:
        return _least_capacity(self._boat.rating_of(edge))

    def _flows(self, name: str, rail: str, inflow: Mapping[Node, Feed], limits: str, capacity: Capacity) -> Flows:
        """Flows on a rail, begun with the last of the name. `limits`: by which name what the devices let through is kept."""
        key = f"flows {name} {rail}"
        flows = Flows(
            self._layouts[rail], inflow, lambda layout: self._limits(limits, layout, capacity), latest.get(key)
        )
        latest[key] = flows
        return flows

    def _limits(self, name: str, layout: Layout, capacity: Capacity) -> Mapping[str, float]:
        """What the devices of a strand let through."""
        every: dict[Node, tuple[object, Mapping[str, float]]] = self._boat.carry_records(f"limits {name}", dict)
        known = every.get(layout.first)
        if known is None or known[0] is not layout.devices:
            known = every[layout.first] = layout.devices, limits_of(layout, capacity)
        return known[1]

    def fed_by(self, part: Part, port: str, pole: str) -> tuple[Feed, Feed] | None:
        """What can be pushed into a port of a part by the runs that land there, at its most and at its least; None where
        no run lands. Of several runs the one that brings most."""
        runs = (run for run in self._boat.runs_at.get((part.id, port), ()) if pole in run.poles)
        return brought(
            (
                self.held_fitted[run.id, pole],
                self.held_fitted_least[run.id, pole],
                (run.b.part, run.b.port) == (part.id, port),
            )
            for run in runs
        )

    @carried
    def taps(self) -> tuple[Tap, ...]:
        """Everything that draws or pushes current."""
        return tapped(self._boat).every

    @carried
    def _draws(self) -> Flows:
        """What the loads can draw through the positive wiring, device ratings as capacities."""
        return self._flows("drawn", "+", _AT_MOST.of("", self.taps), "fitted", self._fitted)

    @cached_property
    def at_least(self) -> Currents:
        """What is pushed and drawn at the least that unknown fields and ranges allow; itself where all is one number."""
        draws = not self.open_devices and tapped(self._boat).draws_known
        return self if draws and self._all_rated else _AtLeast(self._boat, self, draws)

    @carried
    def open_devices(self) -> tuple[str, ...]:
        """Devices whose rating is not one number."""
        boat = self._boat
        return boat.carry_records("open devices", lambda: tuple(
            edge.key for _, _, edge in boat.devices() if not is_exact(boat.rating_of(edge))))  # fmt: skip

    @carried
    def open_ratings(self) -> Mapping[str, str]:
        """Device -> the field of its rating, and source -> that of its limit, where these are not one number."""
        found = {
            edge.key: f"{edge.key} rating_a"
            for _, _, edge in self._boat.devices()
            if not is_exact(self._boat.rating_of(edge))
        }
        for source in self._boat.sources:
            if _most(source) != _least(source):
                found[f"part:{source.part.id}"] = f"part:{source.part.id} output"
        return found

    @carried
    def drawn(self) -> Mapping[tuple[str, str], Held]:
        """(run id, "+") -> what the loads beyond each end of the core can draw through it, A."""
        return self._draws.held

    @cached_property
    def _live_of(self) -> Mapping[Node, Node]:
        """Negative terminal of each source -> its live terminal."""
        return {place.back: place.live for place in reversed(self._boat.source_places) if place.back is not None}

    def drawn_from(self, battery_back: Node) -> float:
        """What the loads can draw from the battery whose negative terminal this is, A."""
        if battery_back not in self._drawn_from:
            live = self._live_of.get(battery_back)
            self._drawn_from[battery_back] = self._draws.at(live).current_a if live is not None else UNLIMITED
        return self._drawn_from[battery_back]

    def taken_by(self, battery_back: Node) -> float:
        """What the rest of the boat can push into the battery whose negative terminal this is, A."""
        if battery_back not in self._taken:
            live = self._live_of.get(battery_back)
            self._taken[battery_back] = UNLIMITED if live is None else self._taken_at(live)
        return self._taken[battery_back]

    def _taken_at(self, live: Node) -> float:
        runs = [run for run in self._boat.runs_at.get(live[:2], ()) if "+" in run.poles]
        held = [(run, self.held_fitted[run.id, "+"]) for run in runs]
        return sum((each.b if (run.a.part, run.a.port) == live[:2] else each.a).current_a for run, each in held)

    @carried
    def demand(self) -> Mapping[tuple[str, str], Demand]:
        """(run id, pole) -> the current that core carries in service."""
        return demands(self._boat)

    @carried
    def positive_demand(self) -> Mapping[tuple[str, str], Demand]:
        """The same for the positive cores alone, which the returns are measured by."""
        return positive_demands(self._boat)


class _AtLeast(Currents):
    """The currents of a boat at the least that its open fields allow; over the same wiring. `same_draws`: what the loads
    draw is one number, so that it need not be worked out again."""

    def __init__(self, boat: Boat, most: Currents, same_draws: bool) -> None:
        super().__init__(boat, most.tables.setdefault("at least", {}))
        self.tables["taps"] = most.taps
        if same_draws:
            self.tables.update(_draws=most._draws, drawn=most.drawn)

    @carried
    def held_fitted(self) -> Mapping[tuple[str, str], Held]:
        return self._boat.held_fitted_least

    @carried
    def _draws(self) -> Flows:
        return self._flows("drawn, least", "+", _AT_LEAST.of("", self.taps), "fitted, least", self._fitted_least)


def _drawn(taps: Iterable[Tap], amount: Callable[[Quantity], float]) -> Mapping[Node, Feed]:
    """What the loads draw at each positive terminal."""
    found: dict[Node, Feed] = {}
    for tap in taps:
        if tap.kind == "load" and tap.node[2] == "+":
            found[tap.node] = Feed(found.get(tap.node, NOTHING).current_a + amount(tap.current_a))
    return found


def _drawn_at_most(taps: tuple[Tap, ...]) -> Mapping[Node, Feed]:
    return _drawn(taps, lambda amps: high(amps, UNLIMITED))


def _drawn_at_least(taps: tuple[Tap, ...]) -> Mapping[Node, Feed]:
    return _drawn(taps, lambda amps: low(amps, 0.0))


_AT_MOST, _AT_LEAST = Kept(_drawn_at_most), Kept(_drawn_at_least)


def _capacity(size: Quantity) -> float:
    """The most a device of that size may let through for ever, A."""
    return high(size, UNLIMITED)


def _least_capacity(size: Quantity) -> float:
    """The least it may let through for ever, A; where it is unknown all but nothing, so that it stays named."""
    return max(low(size, ALMOST_NOTHING), ALMOST_NOTHING)


def _most(source: Source) -> float:
    return high(source.limit_a, UNLIMITED) if source.limited else UNLIMITED


def _least(source: Source) -> float:
    """The least a source may be able to push: a charger that is not known to limit itself may still do so."""
    if source.kind == "battery" or source.part.values.get("self_limiting") is False:
        return UNLIMITED
    return low(as_quantity(source.limit_a), ALMOST_NOTHING)


def _inflow(sources: Iterable[Source], amount: Callable[[Source], float]) -> dict[Node, Feed]:
    inflow: dict[Node, Feed] = {}
    for source in sources:
        current_a = amount(source)
        if current_a > 0:
            known = inflow.get(source.live, NOTHING)
            item = (f"part:{source.part.id}", current_a)
            inflow[source.live] = Feed(known.current_a + current_a, (*known.by, item))
    return inflow

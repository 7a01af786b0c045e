"""What each conductor, fuse, breaker, contact and shunt resists a short circuit with at the worst: hot, with what stands in a range
at its most. What nobody states of a device counts least against the current; of a conductor it is not known."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

from engine.electrics.resistance import resistance
from engine.electrics.sizes import parse_size
from engine.graph.boat import Boat
from engine.graph.poles import Edge
from engine.model.kept import by_identity
from engine.model.network import AC_POLES, Run
from engine.model.quantity import high, low
from engine.studies.conductors import LOST_IN, device, length_m, limit_c, size_of
from engine.studies.values import assumed

Ohms = Mapping[tuple[str, str], float]
"""By (key, pole)."""


def device_ohms(boat: Boat) -> Ohms:
    """Ohm of every fuse, breaker, contact and shunt; what is not among them inside parts has none."""
    return boat.carry_records("device ohms", lambda: _device_ohms(boat))


def core_ohm(run: Run, pole: str) -> float | None:
    """Ohm of a core; None where it is not known."""
    return _core_ohms(run, None)[pole]


def _device_ohms(boat: Boat) -> Ohms:
    shunts = {name for name, kind in boat.library.items() if any(value.name == "full_scale_mv" for value in kind.value)}
    inside = [edge for _, _, _, edge in boat.graphs.within.sorted_links.every]
    losing = [edge for edge in inside if edge.kind in LOST_IN or (edge.part and edge.part.kind in shunts)]
    return {(edge.key, edge.pole): _device_ohm(boat, edge) for edge in losing}


@by_identity
def _core_ohms(run: Run, _: None) -> Mapping[str, float | None]:
    return {pole: _ohm(run, pole) for pole in run.poles}


def _ohm(run: Run, pole: str) -> float | None:
    metres = length_m(run)
    if metres is None or size_of(run) is None:
        return None
    tinned = run.tinned is not False
    per_m = _per_m(run.size, limit_c(run), tinned)
    ohm = per_m * high(metres) + 2 * assumed("terminal", "worst", "low")[0] / 1000
    if pole not in AC_POLES:
        return ohm
    return math.hypot(ohm, assumed("cable_reactance", "worst", "low")[0] * high(metres) / 1000)


@lru_cache(maxsize=1024)
def _per_m(size: str, at_c: float, tinned: bool) -> float:
    return resistance(parse_size(size), temperature_c=at_c, tinned=tinned).ohm_per_m


def _device_ohm(boat: Boat, edge: Edge) -> float:
    if edge.kind in LOST_IN and edge.link is not None:
        rating = boat.rating_of(edge)
        if rating is None or low(rating) <= 0:
            return assumed("device_unrated", "worst", "low")[0] / 1000
        return assumed(LOST_IN[edge.kind], "worst", "low")[0] / low(rating) / 1000
    if edge.part is not None and "full_scale_mv" in boat.part_of(edge).values:
        figure = device(boat, edge, "worst")
        return figure.real if figure else 0.0
    return 0.0

"""The fuse and the wire for an addition: the smallest that the rulebooks allow.

A wire that is not led yet may end in any bundle: it is sized so that it holds in the thickest (105 °C marine cable, common
practice). Pure functions of a room and a distance; knows no edit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from engine.electrics.ampacity import AllowedCurrent, allowed_current
from engine.electrics.minimum_sizes import minimum_size
from engine.electrics.protection import (
    device_limit,
    largest_standard_rating,
    least_device_for_load,
    smallest_standard_rating,
)
from engine.electrics.sizes import ConductorSize, parse_size, standard_sizes
from engine.electrics.sources import ElectricsError, Rulebook, Source, number_text
from engine.electrics.voltage_drop import longest_circuit_m, voltage_drop
from engine.messages import tr
from engine.model.network import Particulars, Position
from engine.model.quantity import low
from engine.remedies.growth import Room
from engine.remedies.stock import Stock
from engine.rules.bounds import MOST_BUNDLED
from engine.rules.drops import CRITICAL_PERCENT, ORDINARY_PERCENT

INSULATION_C = 105.0
FAMILIES = {"fuse": "blade", "breaker": "panel-breaker"}


class NoFit(Exception):  # noqa: N818  (an answer, not a fault)
    """No fuse or no wire serves; the sentence says why."""


class Fit(msgspec.Struct, frozen=True):
    """A device and a wire that serve. `reason` says what makes the wire no thinner; `drop_percent` is that of the wire."""

    fuse_a: float
    largest_fuse_a: float
    size: ConductorSize
    drop_percent: float
    reason: str
    formulas: tuple[str, ...]
    sources: tuple[Source, ...]


class Ask(msgspec.Struct, frozen=True):
    """What is to be added: running current, A, distance along the cable one way, m, its drop class, and whether the cable
    passes an engine space or may pass one."""

    current_a: float
    distance_m: float
    critical: bool = False
    engine_space: bool = False

    @property
    def drop_limit(self) -> float:
        """Percent."""
        return CRITICAL_PERCENT if self.critical else ORDINARY_PERCENT


def fit(room: Room, ask: Ask, books: Sequence[Rulebook], boat: Particulars, stock: Stock) -> Fit:
    """The smallest device and the smallest wire in stock. Raises NoFit."""
    fuse_a, largest_a = devices_for(room.position, ask.current_a)
    reason = tr("the smallest in stock")
    for size in sizes_in_stock(boat, stock):
        tests = [_test(size, book, room, ask, largest_a) for book in books]
        failed = next((test.failed for test in tests if test.failed), "")
        if not failed:
            drop = max((test.drop_percent for test in tests), default=0.0)
            formulas = tuple(dict.fromkeys(text for test in tests for text in test.formulas))
            sources = tuple(dict.fromkeys(source for test in tests for source in test.sources))
            sources += least_device_for_load(ask.current_a).sources
            return Fit(fuse_a, largest_a, size, drop, reason, formulas, sources)
        reason = failed
    raise NoFit(tr("no size in stock serves: {reason}").format(reason=reason))


def devices_for(position: Position | None, current_a: float) -> tuple[float, float]:
    """(the rating to fit, the largest that the way takes), A. Raises NoFit."""
    if position is None or position.device not in FAMILIES:
        raise NoFit(tr("the way has neither fuse nor breaker"))
    family = FAMILIES[position.device]
    least_a = least_device_for_load(current_a).limit_a
    if position.device == "breaker" and position.rating_a is not None:
        fitted_a = low(position.rating_a)
        if fitted_a < least_a:
            raise NoFit(_too_small(fitted_a, current_a))
        return fitted_a, fitted_a
    holder = position.holder_largest_a if position.device == "fuse" else None
    if position.device == "fuse" and holder is None:
        raise NoFit(tr("it is not known what fuse the holder accepts"))
    made_a = smallest_standard_rating(least_a, family)
    largest_a = made_a if holder is None else largest_standard_rating(low(holder), family)
    if made_a is None or largest_a is None or made_a > largest_a:
        raise NoFit(_too_small(largest_a or 0.0, current_a))
    return made_a, largest_a


def _too_small(rating_a: float, current_a: float) -> str:
    return tr("{rating} A is less than 1.25 × {current} A").format(
        rating=number_text(rating_a), current=number_text(current_a)
    )


def sizes_in_stock(boat: Particulars, stock: Stock) -> tuple[ConductorSize, ...]:
    """Smallest first: what the yard names, else every standard size of the boat's units."""
    if stock.sizes:
        return tuple(sorted(parse_size(name) for name in stock.sizes))
    return standard_sizes("AWG" if boat.units == "us" else "metric")


def reach_m(size: ConductorSize, current_a: float, volts_v: float, percent: float, books: Sequence[Rulebook]) -> float:
    """How far along the cable, one way, a size carries a current before it loses so much, by the strictest rulebook."""
    asked = [book for book in books if book != "33cfr183"]
    lengths = [longest_circuit_m(size, current_a, volts_v, percent, book) for book in asked]
    return min(lengths, default=float("inf")) / 2


class _Test(msgspec.Struct, frozen=True):
    """One size under one rulebook: "" or why it does not serve."""

    failed: str = ""
    drop_percent: float = 0.0
    formulas: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()


def _test(size: ConductorSize, book: Rulebook, room: Room, ask: Ask, device_a: float) -> _Test:
    ac = not room.is_dc
    try:
        current = allowed_current(size, INSULATION_C, book, engine_space=ask.engine_space, bundled=MOST_BUNDLED, ac=ac)
    except ElectricsError:
        return _Test(tr("{size} is below the table").format(size=size.name))
    failed = next(_current_failures(size, book, current, room, ask, device_a, ac), "")
    if failed or ac or book == "33cfr183":
        return _Test(failed, formulas=(current.formula,), sources=current.sources)
    drop = voltage_drop(size, ask.current_a, 2 * ask.distance_m, room.volts.least, book)
    too_much = drop.drop_percent > ask.drop_limit + 1e-9
    text = tr("{size} would lose {drop} %, {limit} % is permitted").format(
        size=size.name, drop=f"{drop.drop_percent:.3g}", limit=f"{ask.drop_limit:g}"
    )
    return _Test(
        text if too_much else "", drop.drop_percent, (current.formula, drop.formula), (*current.sources, *drop.sources)
    )


def _current_failures(
    size: ConductorSize, book: Rulebook, current: AllowedCurrent, room: Room, ask: Ask, device_a: float, ac: bool
) -> Iterator[str]:
    """What keeps a size from carrying the load, or from being protected by the largest device that fits the way."""
    family = FAMILIES[room.position.device] if room.position else None
    if size.area_mm2 < minimum_size(book, "alone").size.area_mm2 - 1e-9:
        yield tr("{size} is below the least size permitted").format(size=size.name)
    if current.value_a < ask.current_a:
        yield tr("{size} may carry {amps} A").format(size=size.name, amps=number_text(current.value_a))
    limit = device_limit(current, ac=ac, family=family)
    if limit.limit_a < device_a:
        yield tr("{size} may be protected by at most {limit} A, the way takes {largest} A").format(
            size=size.name, limit=number_text(limit.limit_a), largest=number_text(device_a)
        )

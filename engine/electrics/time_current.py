"""How soon an overcurrent device opens: the limits that its standard sets, as a band over the current, and what a conductor
and a motor's starting ask of it.

Between two standard points a limit runs straight on logarithmic scales. Beyond the last point of a fuse its energy (I²t)
is taken as constant, beyond that of a breaker its time; below its first point nothing is promised. What the table does not
say is a range. Pure functions; which device stands where is decided elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import pairwise
from typing import Literal

import msgspec

from engine.electrics.sources import ElectricsError, Source, number_text
from engine.electrics.tables import Row, row_source, table_rows

Element = Literal["fuse", "breaker", "residual"]
ADIABATIC_MOST_S = 5.0
"""IEC 60364-4-43: the adiabatic formula holds for times up to 5 s."""
BEYOND = Source(
    "I²t beyond the last standard point", "melting energy of a fuse taken as constant, its arc not counted", "computed"
)


class Point(msgspec.Struct, frozen=True):
    """A limit at a multiple of the rating, s; `holds` where it stays until the next point, as before a magnetic release."""

    multiple: float
    seconds: float
    holds: bool = False


class Band(msgspec.Struct, frozen=True):
    """The time-current limits of a device: it opens no sooner than `least` and no later than `most`."""

    series: str
    title: str
    element: Element
    rating_a: float
    least: tuple[Point, ...]
    most: tuple[Point, ...]
    sources: tuple[Source, ...]

    @property
    def knows_to_a(self) -> float:
        """The largest current with an upper limit in the table, A; 0: none."""
        return self.most[-1].multiple * self.rating_a if self.most else 0.0


class Opening(msgspec.Struct, frozen=True):
    """When a device opens at a current, s: no sooner than `least_s`, no later than `most_s` (infinite: never promised).

    `within`: the upper limit stands in the table; else it is carried on beyond its last point.
    """

    least_s: float
    most_s: float
    within: bool
    sources: tuple[Source, ...] = ()

    @property
    def never(self) -> bool:
        """Whether it surely carries this current for good."""
        return self.least_s == math.inf

    @property
    def text(self) -> str:
        """Both limits: "0.04 to 0.5 s", "no later than 0.1 s", "not known"."""
        if self.never:
            return "does not open"
        most = time_text(self.most_s) if self.most_s < math.inf else ""
        if self.least_s <= 0:
            return f"within {most}" if most else "not known"
        least = time_text(self.least_s)
        return f"{least} to {most}" if most else f"not before {least}"


UNKNOWN = Opening(0.0, math.inf, False)


def time_text(seconds: float) -> str:
    """A time as a person says it: "40 ms", "2.5 s", "10 min", "100 h"; nothing shorter than 1 ms is claimed."""
    if seconds == math.inf:
        return "never"
    for unit, size in (("h", 3600.0), ("min", 60.0)):
        if seconds >= 2 * size:
            return f"{seconds / size:.2g} {unit}" if seconds < 99 * size else f"{seconds / size:.0f} {unit}"
    return f"{seconds:.2g} s" if seconds >= 0.1 else f"{max(1.0, 1000 * seconds):.2g} ms"


@cache
def series_known() -> tuple[str, ...]:
    """Ids of the series that have limits: "blade", "mcb-c" …"""
    return tuple(dict.fromkeys(row["series"] for row in table_rows("time_current_bands")))


@lru_cache(maxsize=1024)
def band(series: str, rating_a: float) -> Band:
    """The limits of a device. For residual devices the rating is the rated residual current, in any unit.

    Raises ElectricsError "series-unknown", "rating-outside-series".
    """
    rows = [row for row in table_rows("time_current_bands") if row["series"] == series]
    if not rows:
        raise ElectricsError("series-unknown", "There are no time-current limits for {series}.", series=series)
    fitting = [row for row in rows if float(row["rating_from_a"]) <= rating_a <= float(row["rating_to_a"])]
    if not fitting:
        sentence = "The limits of {series} do not cover a rating of {rating} A."
        raise ElectricsError("rating-outside-series", sentence, series=series, rating=number_text(rating_a))
    return Band(
        series, fitting[0]["title"], _element(fitting[0]), rating_a, _points(fitting, "least_s"),
        _points(fitting, "most_s"), tuple(dict.fromkeys(row_source(row) for row in fitting)),
    )  # fmt: skip


def _element(row: Row) -> Element:
    words: tuple[Element, ...] = ("fuse", "breaker", "residual")
    return next(word for word in words if word == row["element"])


def _points(rows: Sequence[Row], column: str) -> tuple[Point, ...]:
    return tuple(
        Point(
            float(row["multiple"]), math.inf if row[column] == "carry" else float(row[column]), row["after"] == "holds"
        )
        for row in rows
        if row[column]
    )


def opening(limits: Band, current_a: float) -> Opening:
    """When the device opens at a current, A."""
    multiple = round(current_a / limits.rating_a, 9)  # a standard point is met whatever the rating
    most, within = _latest(limits, multiple)
    sources = limits.sources if within or limits.element != "fuse" or most == math.inf else (*limits.sources, BEYOND)
    return Opening(_soonest(limits, multiple), most, within, sources)


def opening_of(limits: Sequence[Band], current_a: float) -> Opening:
    """The same where the device may be of any of several series: the widest range; nothing is known of none."""
    if not limits:
        return UNKNOWN
    each = [opening(one, current_a) for one in limits]
    return Opening(
        min(one.least_s for one in each), max(one.most_s for one in each), all(one.within for one in each),
        tuple(dict.fromkeys(source for one in each for source in one.sources)),
    )  # fmt: skip


def _soonest(limits: Band, multiple: float) -> float:
    """The lower limit: below its rating a device carries for good, then that of the first point; nothing beyond the last."""
    points = limits.least
    if multiple < 1 and limits.element != "residual":
        return math.inf
    if not points or multiple > points[-1].multiple:
        return 0.0
    return points[0].seconds if multiple <= points[0].multiple else _between(points, multiple)


def _latest(limits: Band, multiple: float) -> tuple[float, bool]:
    points = limits.most
    if not points or multiple < points[0].multiple:
        return math.inf, False
    if multiple <= points[-1].multiple:
        return _between(points, multiple), True
    last = points[-1]
    if limits.element == "fuse":
        return last.seconds * (last.multiple / multiple) ** 2, False
    return last.seconds, _is_release(limits)


def _is_release(limits: Band) -> bool:
    """Whether the last point is that of a release at once: above it the limit stays in force."""
    return limits.element != "fuse" and limits.most[-1].seconds <= 0.5


def _between(points: tuple[Point, ...], multiple: float) -> float:
    for low, high in pairwise(points):
        if multiple == low.multiple or (low.holds and multiple < high.multiple):
            return low.seconds
        if multiple < high.multiple:
            return high.seconds if low.seconds == math.inf else _straight(low, high, multiple)
    return points[-1].seconds


def _straight(low: Point, high: Point, multiple: float) -> float:
    """On the straight line between two points, both scales logarithmic."""
    share = math.log(multiple / low.multiple) / math.log(high.multiple / low.multiple)
    return math.exp(math.log(low.seconds) + share * math.log(high.seconds / low.seconds))


class Withstand(msgspec.Struct, frozen=True):
    """How much energy a conductor stands: k in A·√s/mm², its area, and (k·S)² in A²s."""

    k: float
    area_mm2: float
    sources: tuple[Source, ...]

    @property
    def energy_a2s(self) -> float:
        """(k·S)², A²s."""
        return (self.k * self.area_mm2) ** 2

    @property
    def formula(self) -> str:
        """k²S² with its numbers."""
        return f"({number_text(self.k)} × {number_text(self.area_mm2)} mm²)² = {energy_text(self.energy_a2s)}"

    def seconds(self, current_a: float) -> float:
        """How long it stands a current, s (t = k²S²/I²); the formula holds up to 5 s."""
        return self.energy_a2s / current_a**2 if current_a else math.inf

    def most_a(self, seconds: float) -> float:
        """The current it stands for so long, A (I = kS/√t)."""
        return self.k * self.area_mm2 / math.sqrt(seconds)


def energy_text(energy_a2s: float) -> str:
    """An energy let through: "82700 A²s", "1.44 million A²s"."""
    if energy_a2s == math.inf:
        return "no limit"
    return f"{energy_a2s / 1e6:.3g} million A²s" if energy_a2s >= 1e6 else f"{float(f'{energy_a2s:.3g}'):.0f} A²s"


def adiabatic_k(initial_c: float, final_c: float) -> float:
    """k of copper, A·√s/mm²: 226·√ln(1 + (final - initial)/(234.5 + initial)) (IEC 60364-5-54)."""
    return 226 * math.sqrt(math.log(1 + (final_c - initial_c) / (234.5 + initial_c)))


@lru_cache(maxsize=256)
def withstand(area_mm2: float, insulation_c: float) -> Withstand:
    """What a copper conductor stands, by the temperature class of its insulation.

    60 and 75 C: as PVC of 70 C (final 160 C; 140 C above 300 mm²) from their own temperature on. 90 C: PVC of 90 C. 105 C:
    marine thermoplastic, final 150 C: our assumption. The lowest k of the class; a cross-linked insulation stands more.
    Raises ElectricsError "no-k" above 105 C.
    """
    large = area_mm2 > 300
    name = "thermoplastic PVC 70 C" if insulation_c <= 75 else "thermoplastic PVC 90 C" if insulation_c <= 90 else ""
    if name:
        row = _k_row(f"{name}, {'>' if large else '<='}300 mm2")
        initial = max(insulation_c, float(row["initial_c"]))
        published = float(row["initial_c"]) == initial
        k = float(row["k"]) if published else adiabatic_k(initial, float(row["final_c"]))
        return Withstand(k, area_mm2, (row_source(row),))
    if insulation_c > 105:
        sentence = "There is no adiabatic factor for insulation of {class_c} C."
        raise ElectricsError("no-k", sentence, class_c=number_text(insulation_c))
    row = _k_row("marine 105 C thermoplastic/XLPO (UL 1426 type) – limit 150 C")
    return Withstand(float(row["k_recomputed"]), area_mm2, (row_source(row),))


@lru_cache(maxsize=256)
def withstand_cross_linked(area_mm2: float) -> Withstand:
    """The most that a copper conductor of this size stands: cross-linked insulation of 90 C, final 250 C (k 143)."""
    row = _k_row("thermosetting XLPE/EPR 90 C")
    return Withstand(float(row["k"]), area_mm2, (row_source(row),))


def _k_row(insulation: str) -> Row:
    return next(row for row in table_rows("adiabatic_k") if row["insulation"] == insulation)


def most_energy(limits: Sequence[Band], least_a: float, most_a: float) -> tuple[float, float]:
    """(A²s, A): the most energy a device lets through at any current between the two, and at which current.

    Only where it opens within 5 s, as far as the adiabatic formula holds; infinite where no current of the range does.
    """
    found = [(at, opening_of(limits, at).most_s) for at in currents(limits, least_a, most_a)]
    return max(((at**2 * most, at) for at, most in found if most <= ADIABATIC_MOST_S), default=(math.inf, least_a))


def currents(limits: Sequence[Band], least_a: float, most_a: float) -> tuple[float, ...]:
    """The currents at which limits can turn within a range, A: its ends, every point and just beside it, where an upper limit
    passes 5 s."""
    turns = [
        point.multiple * one.rating_a * beside
        for one in limits
        for point in (*one.least, *one.most)
        for beside in (1 - 1e-6, 1.0, 1 + 1e-6)
    ]
    return tuple(sorted({least_a, most_a, *(at for at in turns if least_a < at < most_a)}))


def largest_loop_ohm(series: str, rating_a: float, line_v: float, factor: float = 0.95) -> float:
    """The largest impedance of an AC loop, ohm, at which a miniature breaker still trips at once: factor·U / (m·In)."""
    at_once = band(series, rating_a).most[-1].multiple
    return factor * line_v / (at_once * rating_a)

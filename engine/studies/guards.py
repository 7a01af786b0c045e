"""Every fuse and breaker with the time-current limits of its series: by its kind, by what the drawing says of it, by its supply.

What the drawing leaves open about a device is carried as several bands; what no table knows has none. Knows no current.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache

import msgspec

from engine.electrics.sources import ElectricsError
from engine.electrics.time_current import Band, Opening, band, opening_of
from engine.graph.boat import LIVE_POLES, Boat, quantity
from engine.graph.poles import Edge
from engine.library.expand import stated_at
from engine.model.kept import Kept
from engine.model.network import AC_LINES, Part, Position
from engine.model.quantity import Quantity, above_nothing, high, low

SERIES_OF_CURVE: Mapping[str, str] = {
    "thermal-magnetic B": "b", "thermal-magnetic C": "c", "thermal-magnetic D": "d"
}  # fmt: skip
SERIES_OF_FUSE: Mapping[str, tuple[str, ...]] = {
    "small blade": ("mini-blade",), "medium blade": ("blade",), "large blade": ("maxi-blade",),
    "blade": ("blade", "maxi-blade"), "glass": ("glass",),
    "glass, time-delay": ("glass-slow",), "gG": ("gg",), "SF30": ("midi",), "SF51": ("mega",), "strip": (),
}  # fmt: skip
SERIES_OF_KIND: Mapping[str, tuple[str, ...]] = {
    "fuse_blade": ("blade", "maxi-blade"), "fuse_carrier": ("blade", "glass", "glass-slow"), "fuse_class_t": ("class-t",),
    "fuse_bolt": (), "fuse_post": (),
}  # fmt: skip
KNOWN_SERIES: Mapping[str, tuple[str, ...]] = {
    "fuse_bolt": ("midi", "mega"), "fuse_blade": ("mini-blade", "blade", "maxi-blade"),
    "fuse_carrier": ("blade", "glass", "glass-slow", "gg"),
}  # fmt: skip
"""What a device whose series the drawing leaves open may be of, as far as a table knows it."""
PANEL_FUSES = ("blade", "glass", "glass-slow")
DC_BREAKERS = ("ul1077", "ul489")
AC_BREAKERS = ("ul489", "mcb-b", "mcb-c", "mcb-d")


class Guard(msgspec.Struct, frozen=True):
    """A fuse or breaker on the way to a fault. `bands`: its limits, several where its series is open; none: not known."""

    key: str
    element: str
    """"fuse" or "breaker"."""
    part: Part
    position: str
    rating_a: Quantity
    interrupting_a: Quantity
    series: tuple[str, ...]
    """The series of limits it may belong to."""
    bands: tuple[Band, ...]

    def opening(self, current_a: float) -> Opening:
        """When it opens at a current."""
        return opening_of(self.bands, current_a)


def guards(boat: Boat) -> Mapping[str, Guard]:
    """Every fuse and breaker by its key."""
    return boat.carry_records("guards", lambda: _guards(boat))


def _guards(boat: Boat) -> Mapping[str, Guard]:
    live = (edge for _, _, edge in boat.devices() if edge.pole in LIVE_POLES)
    return {edge.key: _GUARDS.of(edge.key, _facts(boat, edge)) for edge in live}


Facts = tuple[Edge, Part, Position | None]


def _facts(boat: Boat, edge: Edge) -> Facts:
    part, key = boat.part_of(edge), edge.link.position if edge.link else ""
    return edge, part, boat.position(part, key) if key else None


def _guard(facts: Facts) -> Guard:
    edge, part, position = facts
    assert edge.link is not None
    key, rating = edge.link.position, above_nothing(stated_at(part, position, edge.link.rated))
    breaks_a = position.interrupting_a if position else quantity(part, "interrupting_a")
    series = series_of(part, edge)
    return Guard(edge.key, edge.kind, part, key, rating, breaks_a, series, bands_of(series, rating))


_GUARDS = Kept(_guard)


def series_of(part: Part, edge: Edge) -> tuple[str, ...]:
    """The series of limits that a device may belong to: by its kind, by what the drawing says of it, by its supply."""
    ac = edge.pole in AC_LINES
    if edge.kind == "fuse":
        said = part.values.get("series", part.values.get("fuses"))
        known = SERIES_OF_FUSE.get(str(said))
        return known if known is not None else SERIES_OF_KIND.get(part.kind, PANEL_FUSES)
    curve = SERIES_OF_CURVE.get(str(part.values.get("curve")))
    if curve is None:
        return AC_BREAKERS if ac else DC_BREAKERS
    return (f"mcb-{curve}",) if ac else (f"mcb-dc-{curve}",)


@lru_cache(maxsize=1024)
def bands_of(series: tuple[str, ...], rating_a: Quantity) -> tuple[Band, ...]:
    """The limits of every series that makes the rating; none where it is not known."""
    return tuple(_bands(series, rating_a))


def _bands(series: tuple[str, ...], rating_a: Quantity) -> Iterator[Band]:
    """The limits at both ends of the rating; a blade of 40 A and less is of the medium type."""
    for rating in dict.fromkeys((low(rating_a, 0.0), high(rating_a, 0.0))) if rating_a is not None else ():
        for name in series:
            if name == "maxi-blade" and "blade" in series and rating <= 40:
                continue
            try:
                yield band(name, rating)
            except ElectricsError:
                continue

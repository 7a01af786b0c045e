"""What draws or pushes current, and how much: every load, source and converter at its terminals.

Every load at its running current; a converter draws at the side it takes from and pushes at the side it feeds.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from engine.graph.boat import Boat
from engine.graph.poles import Node, rail_of
from engine.library.device import DeviceKind, Library
from engine.library.expand import Link, links_of, stated_at
from engine.model.kept import Kept, made_of_each
from engine.model.network import AC_LINES, Part
from engine.model.quantity import Quantity, as_quantity, high, is_exact, low

CURRENT_FIELDS = ("running_a", "cranking_a", "draw_a")


class Tap(msgspec.Struct, frozen=True):
    """Something at a node that draws or pushes current."""

    node: Node
    current_a: Quantity
    field: str
    """What must be known for it: "part:p3 running_a"."""
    kind: str
    """"load", "battery" or "charging"."""


def load_current(part: Part) -> Quantity:
    """What a part draws in service, A: the first of its current fields that is known, or its watts over its volts."""
    for field in CURRENT_FIELDS:
        known = as_quantity(part.values.get(field))
        if known is not None:
            return known
    return _from_power(as_quantity(part.values.get("power_w")), as_quantity(part.values.get("nominal_v")))


def _from_power(power_w: Quantity, nominal_v: Quantity) -> Quantity:
    if power_w is None or nominal_v is None or low(nominal_v) <= 0:
        return None
    least, most = low(power_w) / high(nominal_v), high(power_w) / low(nominal_v)
    return least if least == most else (least, most)


class Taps:
    """Everything that draws or pushes current, in all and by rail and node; the same object while nothing of it changes."""

    def __init__(self, listed: tuple[tuple[Tap, ...], ...]) -> None:
        self.every = tuple(tap for taps in listed for tap in taps)
        self.by_rail: dict[str, dict[Node, tuple[Tap, ...]]] = {}
        for tap in self.every:
            there = self.by_rail.setdefault(rail_of(tap.node), {})
            there[tap.node] = (*there.get(tap.node, ()), tap)
        self.draws_known = all(is_exact(tap.current_a) for tap in self.every if tap.kind == "load")
        """Whether what each load draws is one number."""


def tapped(boat: Boat) -> Taps:
    """Loads draw at both their poles; a converter draws at the side it takes from and pushes at the side it feeds."""
    return boat.derive(_tapped)


def _tapped(boat: Boat) -> Taps:
    return _ALL.of("", _listed(boat))


def _listed(boat: Boat) -> tuple[tuple[Tap, ...], ...]:
    """Of each part its own."""
    return made_of_each("taps", boat.network.parts, boat.library, _taps_by)


def _taps_by(part: Part, library: Library) -> tuple[Tap, ...]:
    kind = library.get(part.kind)
    if kind is None:
        return ()
    drawing: set[Node] = set()
    found: list[Tap] = []
    for link in links_of(part, kind):
        start = (part.id, *link.a)
        if link.kind in ("load", "source", "converter"):
            found += _taps_of(part, kind, link, start not in drawing)
        if link.kind == "converter":
            drawing.add(start)
    return tuple(found)


def _taps_of(part: Part, kind: DeviceKind, link: Link, draws: bool) -> Iterator[Tap]:
    """Of a link over which power crosses; `draws`: whether a converter draws here, or over another link already."""
    a, b = (part.id, *link.a), (part.id, *link.b)
    if link.kind == "load":
        field = f"part:{part.id} {_current_field(kind)}"
        yield from (Tap(node, load_current(part), field, "load") for node in (a, b))
        return
    rating_a = stated_at(part, None, link.rated) if link.rated else None
    field = f"part:{part.id} {_rating_field(link)}"
    if link.kind == "source":
        yield from (Tap(node, rating_a, field, "battery" if kind.role == "battery" else "charging") for node in (a, b))
        return
    if draws:
        yield Tap(a, _input_current(part, link), f"part:{part.id} input_a", "load")
    yield Tap(b, rating_a, field, "charging")


_ALL = Kept(Taps)


def _current_field(kind: DeviceKind) -> str:
    names = {value.name for value in kind.value}
    return next((field for field in CURRENT_FIELDS if field in names), CURRENT_FIELDS[0])


def _rating_field(link: Link) -> str:
    """The name of the value that holds the rating of a source or converter link."""
    return link.rated or "output_a"


def _input_current(part: Part, link: Link) -> Quantity:
    """What a converter draws; the charging side of an inverter/charger at most what its transfer relay carries."""
    if "transfer_a" in part.values and link.a[1] in (*AC_LINES, "N"):
        return (0.0, high(as_quantity(part.values["transfer_a"]), 0.0))
    return as_quantity(part.values.get("input_a"))

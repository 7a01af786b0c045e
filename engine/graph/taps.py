"""What draws or pushes current, and how much: every load, source and converter at its terminals.

Every load at its running current; a converter draws at the side it takes from and pushes at the side it feeds.
"""

from __future__ import annotations

import msgspec

from engine.graph.boat import Boat
from engine.graph.poles import Edge, Node, PartRef, rail_of
from engine.library.expand import Link, stated_at
from engine.model.kept import Kept
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


class _Place(msgspec.Struct, frozen=True):
    """A link over which power crosses; `draws`: whether a converter draws here, or over another link already."""

    edge: Edge
    field: str
    kind: str
    draws: bool = True


def _places(boat: Boat) -> tuple[_Place, ...]:
    """Of all such links; follows from the parts."""
    drawing: set[Node] = set()
    found: list[_Place] = []
    for _, _, edge in boat.inside("load", "converter", "source"):
        if edge.part is None or edge.link is None:
            continue
        if edge.kind == "load":
            found.append(_Place(edge, f"part:{edge.part.id} {_current_field(boat, edge.part)}", "load"))
        else:
            start: Node = (edge.part.id, *edge.link.a)
            kind = "battery" if boat.role(edge.part) == "battery" else "charging"
            found.append(_Place(edge, f"part:{edge.part.id} {_rating_field(edge.link)}", kind, start not in drawing))
            drawing |= {start} if edge.kind == "converter" else set()
    return tuple(found)


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
    return _ALL.of("", boat.carry_records("taps", lambda: _listed(boat)))


def _listed(boat: Boat) -> tuple[tuple[Tap, ...], ...]:
    places = boat.carry_parts(_places)
    return tuple([_TAPS.of(number, (each, boat.part_of(each.edge))) for number, each in enumerate(places)])


def _taps_at(facts: tuple[_Place, Part]) -> tuple[Tap, ...]:
    place, part = facts
    link = place.edge.link
    assert link is not None
    ends: tuple[Node, Node] = ((part.id, *link.a), (part.id, *link.b))
    if place.edge.kind == "load":
        return tuple(Tap(node, load_current(part), place.field, "load") for node in ends)
    rating_a = stated_at(part, None, link.rated) if link.rated else None
    if place.edge.kind == "source":
        return tuple(Tap(node, rating_a, place.field, place.kind) for node in ends)
    drawn = (Tap(ends[0], _input_current(part, link), f"part:{part.id} input_a", "load"),) if place.draws else ()
    return (*drawn, Tap(ends[1], rating_a, place.field, "charging"))


_TAPS = Kept(_taps_at)
_ALL = Kept(Taps)


def _current_field(boat: Boat, part: PartRef) -> str:
    kind = boat.kind(part)
    names = {value.name for value in kind.value} if kind else set()
    return next((field for field in CURRENT_FIELDS if field in names), CURRENT_FIELDS[0])


def _rating_field(link: Link) -> str:
    """The name of the value that holds the rating of a source or converter link."""
    return link.rated or "output_a"


def _input_current(part: Part, link: Link) -> Quantity:
    """What a converter draws; the charging side of an inverter/charger at most what its transfer relay carries."""
    if "transfer_a" in part.values and link.a[1] in (*AC_LINES, "N"):
        return (0.0, high(as_quantity(part.values["transfer_a"]), 0.0))
    return as_quantity(part.values.get("input_a"))

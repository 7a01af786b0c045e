"""Where current can come from, and how much: batteries, alternators, chargers, inverters, shore inlets, generators."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.graph.poles import SPLIT_LINES, Edge, Node, PartRef
from engine.library.device import Library
from engine.model.network import AC_LINES, Part
from engine.model.quantity import Quantity

SOURCE_KINDS: Mapping[str, str] = {
    "battery": "battery", "generator_dc": "generator", "transformer": "transformer", "ac_source": "shore"
}  # fmt: skip


SPLIT_FROM_V = 200.0
"""A split-phase source that states at least this states the voltage between its two lines (240 V: 120 V to neutral)."""


class Source(msgspec.Struct, frozen=True):
    """A terminal at which current enters the wiring.

    `limit_a` is what it can push into a fault, A: None for no limit (a battery, or one that does not limit itself).
    """

    part: Part
    live: Node
    back: Node | None
    kind: str
    """"battery", "generator", "converter", "shore" or "transformer"."""
    limit_a: Quantity
    limited: bool
    """True: it limits itself to limit_a, or the breaker ashore does so for it. False: not so, or not known."""

    @property
    def is_ac(self) -> bool:
        """Whether it feeds the AC system."""
        return self.live[2] in AC_LINES


def at_node(stated_v: Quantity, live: Node, node: Node) -> Quantity:
    """What a source's stated voltage is at a node it feeds, V: half of it where one of its two lines feeds a single line."""
    split = live[2] in SPLIT_LINES and node[2] == "L"
    if stated_v is None or not split:
        return stated_v
    return to_neutral(stated_v)


def to_neutral(stated_v: Quantity) -> Quantity:
    """The voltage of one line of a split-phase source to its neutral, V."""
    if isinstance(stated_v, tuple):
        return _half(stated_v[0]), _half(stated_v[1])
    return None if stated_v is None else _half(stated_v)


def _half(volts_v: float) -> float:
    return volts_v / 2 if volts_v > SPLIT_FROM_V else volts_v


class Place(msgspec.Struct, frozen=True):
    """Where a source feeds: its link, its live terminal, and that of its return where it has one."""

    edge: Edge
    live: Node
    back: Node | None
    kind: str


def places_of(links: Iterable[tuple[Node, Node, Edge]], library: Library) -> tuple[Place, ...]:
    """Of every source among the source and converter links. Converters are sources at the side they feed (link.b)."""
    found = []
    for a, b, edge in links:
        if edge.part is None or edge.link is None:
            continue
        live: Node = (edge.part.id, *edge.link.b)
        if live[2] not in ("-", "N", "PE", "BOND"):
            back: Node | None = a if edge.kind == "source" and b == live else (b if edge.kind == "source" else None)
            found.append(Place(edge, live, back, _kind(edge.part, library[edge.part.kind].role)))
    return tuple(found)


def _kind(part: PartRef, role: str) -> str:
    if role == "ac_source" and not part.kind.startswith("shore_inlet"):
        return "generator"
    return SOURCE_KINDS.get(role, "converter")


def source_at(place: Place, part: Part, rating_a: Quantity) -> Source:
    """The source at a place, with its part and rating."""
    limited = place.kind == "shore" or (part.values.get("self_limiting") is True and place.kind != "battery")
    return Source(part, place.live, place.back, place.kind, rating_a, limited)

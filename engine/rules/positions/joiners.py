"""What is there to join two banks on purpose: positions of selectors by their names, switches and relays by where they stand.

A drawing does not say what a switch is for. One that stands between two banks is taken to be there to join them when each
of the two can be switched on without it. Knows no rule.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from engine.graph.boat import Boat
from engine.graph.listed import web_of
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node
from engine.model.network import Part
from engine.rules.positions.switches import BATTERY_SWITCHES

JOINING_STATES = frozenset({"both", "combine", "charging"})
"""Positions that are there to join: turning to them is meant."""
TURNED = frozenset({"battery_switch", "battery_switch_2", "remote_battery_switch"})
DRIVEN = frozenset({"contactor", "relay"})

Zones = Mapping[Node, set[Node]]


def joiners(boat: Boat) -> frozenset[str]:
    """The ids of switches, contactors and relays that are there to join two banks."""
    return boat.derive(_joiners)


def _joiners(boat: Boat) -> frozenset[str]:
    """Driven ones first: those that do not join are a part of a battery's lead, and its switch comes after them."""
    driven = _joining(boat, DRIVEN, frozenset(part.id for part in boat.network.parts if part.kind in DRIVEN))
    return driven | _joining(boat, TURNED, driven)


def _joining(boat: Boat, kinds: frozenset[str], ends: frozenset[str]) -> frozenset[str]:
    """The parts of these kinds that join; a battery's own lead ends at battery switches and at `ends`."""
    asked = [part for part in boat.network.parts if part.kind in kinds]
    stops = _stops(ends)
    zones = {post: reach(boat.wires, [post], stops) for post in boat.batteries} if asked else {}
    return frozenset(part.id for part in asked if _is_joiner(boat, part, zones))


def _stops(ends: frozenset[str]) -> Callable[[Edge], bool]:
    def stops(edge: Edge) -> bool:
        if edge.kind != "contact" or edge.part is None or edge.link is None:
            return edge.kind == "blocking"
        joins_only = bool(edge.link.states) and JOINING_STATES.issuperset(edge.link.states)
        return joins_only or edge.part.kind in BATTERY_SWITCHES or edge.part.id in ends

    return stops


def _is_joiner(boat: Boat, part: Part, zones: Zones) -> bool:
    """Whether on both sides there is a bank that can be switched on without it."""
    contact = next((link for link in boat.links(part) if link.kind == "contact" and link.a[1] == "+"), None)
    if contact is None:
        return False
    return all(_has_system(boat, part, (part.id, *side), zones) for side in (contact.a, contact.b))


def _has_system(boat: Boat, part: Part, side: Node, zones: Zones) -> bool:
    """A battery's own lead with another switch on it; or loads that another switch feeds."""
    touched = [zone for zone in zones.values() if side in zone]
    if touched:
        return all(_has_other_switch(boat, part, zone) for zone in touched)
    fed = reach(boat.wires, [side], lambda edge: edge.part is not None and edge.part.id == part.id)
    return not fed.isdisjoint(zones) and _serves(boat, side)


def _has_other_switch(boat: Boat, part: Part, zone: set[Node]) -> bool:
    return any(boat.parts[node[0]].kind in BATTERY_SWITCHES for node in zone if node[0] != part.id)


def _serves(boat: Boat, side: Node) -> bool:
    """Whether anything takes current there ahead of the next switch or relay."""
    web = web_of(boat.graph)
    near = reach(boat.wires, [side], _is_switch)
    return any(edge.kind in ("load", "converter") for node in near for _, edge in web[node])


def _is_switch(edge: Edge) -> bool:
    return edge.kind == "contact" and edge.part is not None and edge.part.kind in BATTERY_SWITCHES | DRIVEN

"""Which switches there are, by what moves them: by hand between battery and boat, or by themselves. Knows no rule's verdict."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from engine.graph.boat import Boat
from engine.graph.cutting import Cuts
from engine.graph.poles import Edge
from engine.graph.positions import Needs, position_text
from engine.model.network import Part
from engine.rules.arrangement.switched_bilge_pump import BATTERY_SWITCHES
from engine.rules.batteries.alternator_cut_off import OPENS_ALONE

TOO_MANY = ("the switches: too many positions",)
"""What an answer lacks when the search gave up."""


def moving(boat: Boat, parts: Iterable[Part], never_off: Collection[str] = ()) -> Cuts:
    """The wiring in which these parts may stand in any position, and all else is closed.

    never_off: ids of parts whose positions that close nothing do not count.
    """
    states = {}
    for part in parts:
        kind = boat.kind(part)
        if kind is not None:
            every = kind.states
            states[part.id] = tuple(state for state in every if part.id not in never_off or _closes(boat, part, state))
    return Cuts(boat.wires, states)


def _closes(boat: Boat, part: Part, state: str) -> bool:
    return any(link.kind == "contact" and state in link.states for link in boat.links(part))


def all_closed(boat: Boat) -> Cuts:
    """The wiring in which nothing moves and every contact is closed."""
    return boat.derive(_all_closed)


def _all_closed(boat: Boat) -> Cuts:
    return Cuts(boat.wires, {})


def position(boat: Boat, needs: Needs) -> str:
    """The positions in words."""
    return position_text(needs, {part: boat.name(boat.parts[part]) for part in needs})


def is_battery_switch(edge: Edge) -> bool:
    """A contact that is opened by hand between a battery and the boat."""
    return edge.kind == "contact" and edge.part is not None and edge.part.kind in BATTERY_SWITCHES


__all__ = ["BATTERY_SWITCHES", "OPENS_ALONE", "TOO_MANY", "all_closed", "is_battery_switch", "moving", "position"]

"""What a study is asked for: where the switches stand, how hard each load works, which motors start, how full the batteries
are. Knows no circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.model.network import Condition, Part

SHUT_STATES = frozenset({"off", "open", "dry"})
CONSUMERS = frozenset({"load_dc", "load_ac", "outlet_ac"})
"""Roles of what somebody switches on and off."""

EVERYTHING_ON = "Everything on, no charging"


class Case(msgspec.Struct, frozen=True):
    """One operating condition ready for study. `switches` as pole_graph takes them, None: every contact closed; `duty` 0
    to 1 by part id; `starting` ids of motors that start; `charge` state of charge, 0 to 1, by battery id; `rests`: a load
    that `duty` does not name stands by (it is off where it has no stand-by current) rather than work in full."""

    name: str = EVERYTHING_ON
    switches: Mapping[str, str] | None = {}
    duty: Mapping[str, float] = {}
    starting: frozenset[str] = frozenset()
    charge: Mapping[str, float] = {}
    rests: bool = False


def case_of(
    boat: Boat,
    condition: Condition | None = None,
    starting: Iterable[str] = (),
    charge: Mapping[str, float] | None = None,
) -> Case:
    """A case from a condition of the document; None: every switch at its first closed position, every load at its running
    current, no charging. Of a condition: what it does not name rests; its switches stand as drawn (their first state)."""
    if condition is None:
        return Case(EVERYTHING_ON, closed_switches(boat), {}, frozenset(starting), charge or {})
    return Case(condition.name, condition.switches, condition.duty, frozenset(starting), charge or {}, rests=True)


def closed_switches(boat: Boat) -> Mapping[str, str]:
    """Part id -> the first of its states that is not off, open or dry, for every part that has states; a combining relay
    stays open, since it closes only while something charges."""
    found = {}
    for part in boat.network.parts:
        kind = boat.kind(part)
        closed = [state for state in kind.states if state not in SHUT_STATES] if kind else []
        if closed and part.kind != "combining_relay":
            found[part.id] = closed[0]
    return found


def duty_of(boat: Boat, part: Part, case: Case) -> float:
    """How hard a part works, 0 to 1: as the case says. What it does not name: supplies, DC-DC converters, meters and coils
    fully; loads fully, or not at all in a condition; engine starters (unless they start), charging sources and battery
    chargers not at all."""
    if part.id in case.duty:
        return case.duty[part.id]
    if part.id in case.starting:
        return 1.0
    if is_charging(boat, part) or boat.role(part) == "starter":
        return 0.0
    return 0.0 if case.rests and boat.role(part) in CONSUMERS else 1.0


def is_charging(boat: Boat, part: Part) -> bool:
    """Whether a part is there to charge: an alternator, a solar array, a charger fed with AC."""
    return boat.role(part) == "generator_dc" or part.kind == "shore_charger"

"""What a study is asked for: where the switches stand, how hard each load works, which motors start, how full the batteries
are. Knows no circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.model.network import Condition, Part

SHUT_STATES = frozenset({"off", "open", "dry"})
EVERYTHING_ON = "Everything on, no charging"


class Case(msgspec.Struct, frozen=True):
    """One operating condition ready for study. `switches` as pole_graph takes them, None: every contact closed; `duty` 0
    to 1 by part id; `starting` ids of motors that start; `charge` state of charge, 0 to 1, by battery id."""

    name: str = EVERYTHING_ON
    switches: Mapping[str, str] | None = {}
    duty: Mapping[str, float] = {}
    starting: frozenset[str] = frozenset()
    charge: Mapping[str, float] = {}


def case_of(
    boat: Boat,
    condition: Condition | None = None,
    starting: Iterable[str] = (),
    charge: Mapping[str, float] | None = None,
) -> Case:
    """A case from a condition of the document; None: every switch at its first closed position, every load at its running
    current, no charging. Switches that a condition does not name stand as drawn (their first state)."""
    if condition is None:
        return Case(EVERYTHING_ON, closed_switches(boat), {}, frozenset(starting), charge or {})
    return Case(condition.name, condition.switches, condition.duty, frozenset(starting), charge or {})


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
    """How hard a part works: as the case says; else loads, supplies and DC-DC converters fully, and not at all engine
    starters (unless they start), charging sources and battery chargers, which work where a case says so."""
    if part.id in case.duty:
        return case.duty[part.id]
    if part.id in case.starting:
        return 1.0
    return 0.0 if is_charging(boat, part) or boat.role(part) == "starter" else 1.0


def is_charging(boat: Boat, part: Part) -> bool:
    """Whether a part is there to charge: an alternator, a solar array, a charger fed with AC."""
    return boat.role(part) == "generator_dc" or part.kind == "shore_charger"

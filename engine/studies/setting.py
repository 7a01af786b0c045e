"""Where everything stands just now: a condition of the boat (or as drawn, or all on), and what a person set differently.

The one place that turns switches, sources and a starting motor into a Case for the network and into what `live` asks for.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import msgspec

from engine.graph.boat import Boat, quantity
from engine.graph.live import Live, live
from engine.messages import tr
from engine.model.network import Condition, Part
from engine.studies.conditions import CONSUMERS, Case, case_of, duty_of, is_charging
from engine.studies.draws import STARTING

Plain = Literal["drawn", "all"]
PLAIN: tuple[Plain, ...] = ("drawn", "all")


class Setting(msgspec.Struct, frozen=True):
    """`base`: the id of a condition, "drawn" (every switch as it is drawn, every source working) or "all" (everything on,
    nothing charges). `switches` by part id or "part/way", `sources` by part id, `starting` a motor's id: set by hand."""

    base: str = "drawn"
    switches: Mapping[str, str] = {}
    sources: Mapping[str, bool] = {}
    starting: str = ""

    @property
    def by_hand(self) -> bool:
        """Whether switches or sources differ from the base."""
        return bool(self.switches or self.sources)


def condition_of(boat: Boat, setting: Setting) -> Condition | None:
    """The condition that the setting is based on; None where it is as drawn or all on."""
    return next((each for each in boat.network.conditions if each.id == setting.base), None)


def case_for(boat: Boat, setting: Setting) -> Case:
    """The setting as a case of the network."""
    base = _base(boat, setting)
    duty = {**base.duty, **{part: float(on) for part, on in setting.sources.items()}}
    motor = frozenset({setting.starting} if setting.starting else ())
    switches = {**(base.switches or {}), **setting.switches}
    return msgspec.structs.replace(base, switches=switches, duty=duty, starting=motor)


def _base(boat: Boat, setting: Setting) -> Case:
    condition = condition_of(boat, setting)
    if condition is not None or setting.base == "all":
        return case_of(boat, condition)
    return Case(tr("As drawn"), {}, {part.id: 1.0 for part in stoppable(boat)})


def settled(boat: Boat, setting: Setting) -> Setting:
    """The same with nothing set by hand that the base says already, and a base that the boat has."""
    known = {*PLAIN, *(each.id for each in boat.network.conditions)}
    base = setting.base if setting.base in known else "drawn"
    case = _base(boat, Setting(base))
    return Setting(
        base,
        {key: state for key, state in setting.switches.items() if _is_new(boat, case, key, state)},
        {part: on for part, on in setting.sources.items() if part in boat.parts and on != works(boat, case, boat.parts[part])},
        setting.starting if setting.starting in boat.parts else "",
    )  # fmt: skip


def _is_new(boat: Boat, case: Case, key: str, state: str) -> bool:
    """Whether a switch of the boat, or a way of a panel, stands otherwise in the case."""
    part_id, _, way = key.partition("/")
    part = boat.parts.get(part_id)
    if part is None:
        return False
    return state != ((case.switches or {}).get(key, "on") if way else state_of(boat, case, part))


def stoppable(boat: Boat) -> tuple[Part, ...]:
    """The sources that a person can stop or unplug: shore, generating sets, alternators, chargers, sun and wind."""
    return tuple(part for part in boat.network.parts if boat.role(part) == "ac_source" or is_charging(boat, part))


def switches_of(boat: Boat) -> tuple[Part, ...]:
    """The parts that have positions."""
    return tuple(part for part in boat.network.parts if (kind := boat.kind(part)) and kind.states)


def state_of(boat: Boat, case: Case, part: Part) -> str:
    """In which position a part stands: its first where the case says nothing."""
    kind = boat.kind(part)
    first = kind.states[0] if kind and kind.states else "on"
    return (case.switches or {}).get(part.id, first)


def works(boat: Boat, case: Case, part: Part) -> bool:
    """Whether a source gives anything in the case."""
    return duty_of(boat, part, case) > 0


def stopped(boat: Boat, case: Case) -> frozenset[str]:
    """The ids of the sources that give nothing in the case."""
    return frozenset(part.id for part in stoppable(boat) if not works(boat, case, part))


def live_in(boat: Boat, case: Case) -> Live:
    """What is live in the case."""
    return live(boat, case.switches or {}, stopped(boat, case))


def motors(boat: Boat) -> tuple[Part, ...]:
    """The loads whose starting current is known: those that can be asked what they have while they start."""
    names = (*STARTING, "cranking_a")
    return tuple(part for part in boat.network.parts if any(quantity(part, name) is not None for name in names))


def as_condition(boat: Boat, case: Case) -> tuple[dict[str, str], dict[str, float]]:
    """The switches and duties of a condition that says what the case says: what it does not name rests."""
    resting = Case(rests=True)
    named = boat.with_role(*CONSUMERS) + stoppable(boat)
    said = {part.id: duty_of(boat, part, case) for part in named}
    duty = {part.id: said[part.id] for part in named if said[part.id] != duty_of(boat, part, resting)}
    others = {part: share for part, share in case.duty.items() if part in boat.parts and part not in said}
    return dict(case.switches or {}), {**duty, **others}

"""What covers AC live parts: which parts have terminals of their own to cover, and what is said about their box and guard.

Outlets, appliances, chargers, inverters, generators and inlets are enclosures by kind and are not asked here. Knows no rule.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.model.network import AC_POLES, Enclosure, Part

WITH_TERMINALS = ("ac_panel", "bus", "protection", "switch", "meter")


class Said(msgspec.Struct, frozen=True):
    """What the drawing says on one question: each statement, and the fields that say nothing."""

    answers: tuple[bool, ...] = ()
    silent: tuple[str, ...] = ()

    @property
    def yes(self) -> bool:
        """At least one statement, and none against it."""
        return bool(self.answers) and all(self.answers)

    @property
    def no(self) -> bool:
        """One statement against it is enough."""
        return not all(self.answers)


def bare_by_kind(boat: Boat) -> tuple[Part, ...]:
    """The parts whose AC terminals need a box or a guard around them."""
    return tuple(part for part in boat.with_role(*WITH_TERMINALS) if has_poles(boat, part, AC_POLES))


def has_poles(boat: Boat, part: Part, poles: frozenset[str]) -> bool:
    """Whether a port of the part carries one of the poles."""
    return any(poles & set(port.poles) for port in boat.ports(part))


def guard(part: Part | None, box: Enclosure | None) -> Said:
    """Whether a guard that needs a tool stands over the AC live parts, after the box and the part itself."""
    stated = {f"box:{box.id} ac_guard": None if box.ac_guard is None else box.ac_guard == "tool"} if box else {}
    return _said(stated, _own(part, "guard_needs_tool"))


def partition(parts: Iterable[Part], box: Enclosure) -> Said:
    """Whether a wall parts AC from DC, after the box and the panels in it."""
    own = {key: value for part in parts for key, value in _own(part, "dc_partition").items()}
    return _said({f"box:{box.id} partition": box.partition}, own)


def _own(part: Part | None, field: str) -> Mapping[str, bool | None]:
    """What the part itself says; silence of a part is no gap where its box speaks."""
    value = part.values.get(field) if part else None
    return {f"part:{part.id} {field}": value} if part and isinstance(value, bool) else {}


def _said(*stated: Mapping[str, bool | None]) -> Said:
    pairs = [pair for each in stated for pair in each.items()]
    answers = tuple(value for _, value in pairs if value is not None)
    return Said(answers, () if answers else tuple(key for key, _ in pairs))

"""What a yard asks beyond the rulebooks, and where it departs from one on purpose: its house rules and its deviations.

House rules are the yard's and go from boat to boat; a deviation is one boat's. Each says why. Knows no rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from engine.model.record import Record

Severity = Literal["danger", "requirement", "advice"]

Limit = Literal[
    "critical-drop-percent",
    "ordinary-drop-percent",
    "battery-drop-percent",
    "allowed-current-share",
    "spare-ways-share",
]
"""Voltage drop of critical and of ordinary circuits by the rulebook's way of counting; that of any circuit counted from the
battery; service current as a share of the allowed current; free ways as a share of all ways of a panel."""


class HouseLimit(Record, frozen=True, kw_only=True):
    """A limit of the yard's own; the rulebooks' are asked besides."""

    limit: Limit
    value: float
    """In % for a drop, 0 to 1 for a share."""
    reason: str


class HouseSeverity(Record, frozen=True, kw_only=True):
    """How grave the yard takes one finding of a rule. A danger stays a danger."""

    rule: str
    code: str
    severity: Severity
    reason: str


class HouseColour(Record, frozen=True, kw_only=True):
    """The colour the yard gives conductors of one pole: "+", "-", "L", "L1", "L2", "N", "PE" or "BOND"."""

    pole: str
    colour: str
    """IEC 60757 letters: "RD", "YE", "GNYE"."""
    reason: str


class House(Record, frozen=True, kw_only=True):
    """The house rules of a yard. Empty: none."""

    name: str = ""
    date: str = ""
    limits: tuple[HouseLimit, ...] = ()
    severities: tuple[HouseSeverity, ...] = ()
    colours: tuple[HouseColour, ...] = ()
    sizes: tuple[str, ...] = ()
    """The conductor sizes that the yard stocks; empty: any."""
    sizes_reason: str = ""
    wire_number: str = ""
    """How wire numbers look: 9 a digit, A a capital letter, * anything, every other sign itself. Empty: in any way."""
    wire_number_reason: str = ""


class Deviation(Record, frozen=True, kw_only=True):
    """What is left as it is though a rule asks otherwise, by somebody's decision."""

    rule: str
    """Id of the rule."""
    code: str
    """Which of its findings."""
    subject: str
    """What the finding is about first: "part:p3", "run:w2", "position:p4/12" or "boat"."""
    reason: str
    by: str
    date: str


def limits_of(house: House) -> Mapping[Limit, HouseLimit]:
    """The limits by name; of one that is stated twice the last."""
    return {each.limit: each for each in house.limits}

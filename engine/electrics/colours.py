"""Conductor colours: letter codes, the colours each pole may have, and the colours of functions.

A colour is written as IEC 60757 does, two letters each ("RD", "GNYE", "BNYE" for brown with a yellow stripe); "LB"
(light blue) and "TN" (tan) are added because boat wiring has them. Colour never decides what a conductor is for.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import msgspec

from engine.electrics.sources import ElectricsError, Source
from engine.electrics.tables import Row, row_source, table_rows

Pole = Literal["+", "-", "L", "L1", "L2", "N", "PE", "BOND"]
Region = Literal["us", "iso"]
Verdict = Literal["permitted", "reserved", "not-listed"]


class ColourUse(msgspec.Struct, frozen=True):
    """A colour that a pole or a function may have. `condition` is empty or a sentence that limits it."""

    code: str
    preferred: bool
    condition: str
    source: Source


@cache
def colour_codes() -> dict[str, str]:
    """Code to English name, single colours and GNYE: {"BK": "black", …}."""
    return {row["code"]: row["rank"] for row in table_rows("conductor_colours") if row["kind"] == "code"}


def colour_name(code: str) -> str:
    """English name of a code; a second colour is a stripe ("BNYE": "brown with yellow stripe").

    Raises ElectricsError "colour-unknown".
    """
    names = colour_codes()
    if code in names:
        return names[code]
    base, stripe = code[:2], code[2:]
    if base not in names or stripe not in names or base == stripe or len(stripe) != 2:
        raise ElectricsError("colour-unknown", "{colour} is no colour code; write RD, BK, GNYE …", colour=code)
    return f"{names[base]} with {names[stripe]} stripe"


def is_colour(code: str) -> bool:
    """Whether a code can be read."""
    try:
        colour_name(code)
    except ElectricsError:
        return False
    return True


@cache
def permitted_colours(pole: Pole, region: Region) -> tuple[ColourUse, ...]:
    """The colours listed for a pole, preferred first. For "+" these are the mains; see colour_verdict for others."""
    rows = (row for row in table_rows("conductor_colours") if (row["kind"], row["key"]) == ("pole", pole))
    return tuple(_use(row) for row in rows if row["rulebook"] == region)


@cache
def function_colours(function: str) -> tuple[ColourUse, ...]:
    """The US colours of a function, see functions(); empty for one that has none."""
    rows = (row for row in table_rows("conductor_colours") if (row["kind"], row["key"]) == ("function", function))
    return tuple(_use(row) for row in rows)


@cache
def functions() -> tuple[str, ...]:
    """The functions that have a colour of their own in the US code: "bilge blower", "navigation lights" …"""
    return tuple(dict.fromkeys(row["key"] for row in table_rows("conductor_colours") if row["kind"] == "function"))


def colour_verdict(code: str, pole: Pole, region: Region) -> Verdict:
    """Whether a colour may be on a pole: "permitted", "reserved" (listed for another pole of its system), "not-listed".

    A positive conductor may have any colour that is not reserved for the negative or for bonding, as long as the wiring
    diagram says so; it is then "permitted". Raises ElectricsError "colour-unknown".
    """
    colour_name(code)
    if any(use.code == code for use in permitted_colours(pole, region)):
        return "permitted"
    if any(use.code == code for other in _others(pole) for use in permitted_colours(other, region)):
        return "reserved"
    return "permitted" if pole == "+" else "not-listed"


def _others(pole: Pole) -> tuple[Pole, ...]:
    system: tuple[Pole, ...] = ("+", "-", "BOND") if pole in ("+", "-", "BOND") else ("L", "L1", "L2", "N", "PE")
    return tuple(other for other in system if other != pole)


def _use(row: Row) -> ColourUse:
    return ColourUse(row["code"], row["rank"] == "preferred", row["condition"], row_source(row))

"""The insulation colour a new core gets, by pole, rulebook and shore region. IEC 60757 codes and "LB" for light blue.

Sources: ABYC E-11 colour tables (second hand; yellow for DC negative preferred where a black AC line is aboard),
ISO 13297 (from memory: line brown, neutral light blue, protective green-yellow). Two AC lines in the ISO scheme follow
IEC 60445 (brown, black; second hand). Only a start: the rules judge what is drawn.
"""

from __future__ import annotations

from collections.abc import Mapping

from engine.model.network import Particulars

DC: Mapping[str, str] = {"+": "RD", "-": "YE", "BOND": "GN"}
AC_AMERICA: Mapping[str, str] = {"L": "BK", "L1": "BK", "L2": "RD", "N": "WH", "PE": "GN"}
AC_IEC: Mapping[str, str] = {"L": "BN", "L1": "BN", "L2": "BK", "N": "LB", "PE": "GNYE"}
AMERICA = frozenset({"us", "na", "north_america", "ca"})
"""Shore regions with North American colours."""


def core_colour(pole: str, particulars: Particulars) -> str:
    """The usual colour of a core of this pole on this boat; "" where none is usual."""
    ac = AC_AMERICA if _is_american(particulars) else AC_IEC
    return DC.get(pole) or ac.get(pole, "")


def core_colours(poles: tuple[str, ...], particulars: Particulars) -> tuple[str, ...]:
    """The usual colour of each core."""
    return tuple(core_colour(pole, particulars) for pole in poles)


def _is_american(particulars: Particulars) -> bool:
    """By the shore region where it is set, else by the first rulebook."""
    if particulars.shore_region:
        return particulars.shore_region.lower() in AMERICA
    return particulars.rulebooks[:1] == ("us",)

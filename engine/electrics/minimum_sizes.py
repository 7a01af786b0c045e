"""The smallest conductor each rulebook allows, alone, in a sheath, or inside a panel."""

from __future__ import annotations

from functools import cache
from typing import Literal

import msgspec

from engine.electrics.sizes import ConductorSize, parse_size
from engine.electrics.sources import ElectricsError, Rulebook, Source
from engine.electrics.tables import row_source, table_rows

Situation = Literal["alone", "in-sheath", "in-panel"]


class MinimumSize(msgspec.Struct, frozen=True):
    """The least size; `exposed_max_m` is how far a core of that size may leave its sheath, where the rulebook says."""

    size: ConductorSize
    condition: str
    exposed_max_m: float | None
    source: Source


@cache
def minimum_size(rulebook: Rulebook, situation: Situation) -> MinimumSize:
    """The least conductor size. ISO "alone" counts for conductors longer than 200 mm.

    Cranking conductors, circuits under 1 A of electronics, pigtails under 7 in and the inside of equipment are excluded
    by the US rules; the caller leaves them out. Raises ElectricsError "no-minimum-size".
    """
    for row in table_rows("minimum_sizes"):
        if row["rulebook"] == rulebook and row["situation"] == situation:
            exposed_m = float(row["exposed_max_m"]) if row["exposed_max_m"] else None
            return MinimumSize(parse_size(row["size"]), row["condition"], exposed_m, row_source(row))
    sentence = "No minimum size for {situation} under {rulebook}."
    raise ElectricsError("no-minimum-size", sentence, situation=situation, rulebook=rulebook)

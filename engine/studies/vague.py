"""Sources that reach a part of the boat and of which too little is known to solve it.

What they feed is not dead: what it gets cannot be told. Knows no solution.
"""

from __future__ import annotations

from collections.abc import Mapping

from engine.graph.boat import Boat, quantity
from engine.graph.sources import Source
from engine.model.network import Part
from engine.studies.ac import VOLTS
from engine.studies.island import Layout
from engine.studies.supplies import RATED


def vague_sources(boat: Boat, layout: Layout) -> Mapping[int, tuple[Part, ...]]:
    """Number of an island that has no solution -> the sources in it that may give something."""
    found: dict[int, dict[str, Part]] = {}
    for source in boat.sources:
        number = layout.island.get(source.live)
        if number is not None and layout.islands[number].reason == "no-source" and field_of_source(boat, source):
            found.setdefault(number, {})[source.part.id] = source.part
    return {number: tuple(parts.values()) for number, parts in found.items()}


def field_of_source(boat: Boat, source: Source) -> str:
    """The field without which the source cannot be counted ("part:p1 nominal_v"); "" where it can."""
    if boat.role(source.part) == "battery":
        wanted: tuple[str, ...] = ("nominal_v",)
    else:
        wanted = VOLTS[::-1] if source.is_ac else RATED
    if any(quantity(source.part, name) is not None for name in wanted):
        return ""
    named = next((name for name in wanted if name in source.part.values), wanted[0])
    return f"part:{source.part.id} {named}"
